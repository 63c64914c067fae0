"""What is still to be cut from a load: passes that all its bars need, and pieces that one bar alone does."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.workflow.bar_progress import still_to_cut
from kerfsmith.workflow.floor_ports import BarAtSaw


@dataclass(frozen=True, slots=True)
class PieceOfBar:
    """A piece as one bar of the load gives it."""

    bar_id: str
    piece: PlannedPiece


@dataclass(frozen=True, slots=True)
class LoadPass:
    """One pass still to be made: a piece of each bar, all of one length, for one line or several."""

    pieces: tuple[PieceOfBar, ...]

    @property
    def piece(self) -> PlannedPiece:
        """The first bar's: length, kerf and ends are the same in all."""
        return self.pieces[0].piece


@dataclass(frozen=True, slots=True)
class LoadToCut:
    """Passes in their order, and what single bars need beyond them, as after a piece that was scrapped."""

    passes: tuple[LoadPass, ...]
    alone: tuple[PieceOfBar, ...]


LogOfBar = tuple[BarAtSaw, Sequence[CutEntry]]


def load_to_cut(bars: Sequence[LogOfBar]) -> LoadToCut:
    """What is left to be cut from the bars of a load.

    A pass takes of each bar the next piece of the first bar's length; what no pass of all of them can take
    is for its bar alone.
    """
    rest = {at_saw.bar.id: list(still_to_cut(at_saw, entries)) for at_saw, entries in bars}
    first = next(iter(rest), "")
    passes = []
    for piece in tuple(rest.get(first, ())):
        like = {bar_id: _alike(pieces, piece) for bar_id, pieces in rest.items()}
        if any(one is None for one in like.values()):
            continue
        taken = tuple(PieceOfBar(bar_id, one) for bar_id, one in like.items() if one is not None)
        for one in taken:
            rest[one.bar_id].remove(one.piece)
        passes.append(LoadPass(taken))
    alone = tuple(PieceOfBar(bar_id, piece) for bar_id, pieces in rest.items() for piece in pieces)
    return LoadToCut(tuple(passes), alone)


def cut_together(bars: Iterable[BarAtSaw]) -> Iterable[list[BarAtSaw]]:
    """Bars in the saw, those of a load together and each other one by itself, first loaded first."""
    found: dict[str, list[BarAtSaw]] = {}
    for one in bars:
        if one.bar.state is BarState.LOADED:
            found.setdefault(one.bar.load_id or one.bar.id, []).append(one)
    return found.values()


def _alike(pieces: Sequence[PlannedPiece], wanted: PlannedPiece) -> PlannedPiece | None:
    """The first piece that one pass gives together with ``wanted``."""
    same = (
        one
        for one in pieces
        if (one.dial_um, one.far_cut, one.ends_deg) == (wanted.dial_um, wanted.far_cut, wanted.ends_deg)
    )
    return next(same, None)
