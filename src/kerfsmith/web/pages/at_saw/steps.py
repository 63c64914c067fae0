"""Steps of a bar as the panel shows them: what to dial in, how many strokes, what is allowed."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.run import RunLine
from kerfsmith.units.length import UM_PER_MM, Measure
from kerfsmith.units.show import show_length
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say
from kerfsmith.workflow.bar_progress import angles_of_piece

FACING = "facing"
PIECE = "piece"


@dataclass(frozen=True, slots=True)
class Step:
    """One cut still to be made, or made already.

    ``key`` names its part of the drawn bar, ``order`` its turn. ``dial`` is the figure to be read from two
    metres. ``takes_um`` is the bar that goes with it, kerf and all; ``needs_um`` what must be left for it.
    ``angles`` are the head angles of its own cuts, in their order, as `angle_key` writes them.
    """

    key: str
    order: int
    kind: str
    line_id: str
    mark: str
    dial: str
    length_um: int
    needs_um: int
    takes_um: int
    strokes: str
    ends: str
    allowed: str
    angles: tuple[str, ...] = ("0",)


@dataclass(frozen=True, slots=True)
class Bench:
    """What all steps of one run share: the reader, the saw, the run's lines."""

    reading: Reading
    saw: SawSheet | None
    lines: dict[str, RunLine]

    def dial(self, length_um: int) -> str:
        """A length as it is dialled in, without its unit: 0.01 mm or 0.001 in, for counters show no more."""
        shown = show_length(length_um, self.reading.measure, denominator=1, decimals=2)
        return shown.rpartition(" ")[0]

    def piece(self, piece: PlannedPiece, order: int, key: str = "") -> Step:
        """The step of a piece."""
        line = self.lines.get(piece.line_id)
        needs_um = piece.length_um - piece.lap_um
        return Step(
            key=key or f"o{order}",
            order=order,
            kind=PIECE,
            line_id=piece.line_id,
            mark=piece.mark,
            dial=self.dial(piece.dial_um),
            length_um=piece.length_um,
            needs_um=needs_um,
            takes_um=piece.taken_um,
            strokes=self._way(piece),
            ends=_ends(piece),
            allowed=self.allowed(line),
            angles=tuple(dict.fromkeys(map(angle_key, angles_of_piece(piece)))) or ("0",),
        )

    def facing(self, facing_um: int, kerf_um: int, angle_deg: float = 0.0) -> Step:
        """The step of the facing cut, made at the near angle of the first piece."""
        return Step(
            key="o0",
            order=0,
            kind=FACING,
            line_id="",
            mark=say("Facing cut"),
            dial=self.dial(facing_um),
            length_um=facing_um,
            needs_um=facing_um,
            takes_um=facing_um + kerf_um,
            strokes=say("clean the bar's end"),
            ends="",
            allowed="",
            angles=(angle_key(angle_deg),),
        )

    def _way(self, piece: PlannedPiece) -> str:
        """How the bar gets to where it is cut."""
        if not angles_of_piece(piece):
            return say("no cut: what is left in the vise")
        if piece.is_mitred:
            return say("by the head's pivot")
        return self._strokes(piece.taken_um + piece.over_um)

    def _strokes(self, advance_um: int) -> str:
        """``2 × 601.00``: strokes of the shuttle and how far each goes, the kerf in it."""
        if self.saw is None:
            return ""
        count = self.saw.strokes(advance_um / UM_PER_MM)
        return f"{count} × {self.dial(round(advance_um / count))}"

    def allowed(self, line: RunLine | None) -> str:
        """The least and the greatest length that is good, or nothing where none is stated."""
        if line is None or (line.plus_um is None and line.minus_um is None):
            return ""
        low = None if line.minus_um is None else self.dial(line.length_um - line.minus_um)
        high = None if line.plus_um is None else self.dial(line.length_um + line.plus_um)
        if low and high:
            return say("{low} to {high}", low=low, high=high)
        return say("{low} at least", low=low) if low else say("{high} at most", high=high)


def angle_key(angle_deg: float) -> str:
    """A head angle without its side: the setting is the same to the left and to the right."""
    return f"{abs(angle_deg):g}"


def _ends(piece: PlannedPiece) -> str:
    if not piece.is_mitred:
        return ""
    near, far = (f"{angle:+g}°".replace("-", "−") for angle in piece.ends_deg)
    return say("head {near} near, {far} far", near=near, far=far)


def clock(at: datetime) -> str:
    """A moment as the wall clock of the machine shows it."""
    return f"{at.astimezone():%H:%M}"


def unit_of(measure: Measure) -> str:
    """The unit that lengths are keyed and dialled in."""
    return "mm" if measure is Measure.METRIC else "in"
