"""A nesting problem: the bars there are, the pieces wanted, the saw's losses and the room's rules.

Lengths are whole micrometres and prices whole millionths of the currency, so that every sum is exact. A
problem that exists is valid. Everything beyond bars, pieces, kerf, facing and grip has a default that asks
for nothing.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from kerfsmith.errors import InvalidValue
from kerfsmith.nesting.aims import Aim, Leftovers, Rates, SawTime
from kerfsmith.nesting.ends import Turn, bottom_length


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on a bar: which, how it is turned, and by how much it is cut over its length [um]."""

    piece: str
    turn: Turn = Turn.AS_IS
    over_um: int = 0


@dataclass(frozen=True, slots=True)
class BarStock:
    """``count`` equal bars (None: as many as wanted), ``cost`` millionths of the currency each.

    ``heat`` is empty where it isn't known; such a bar serves no piece that asks for a heat. ``material``
    names the grade or section where pieces may come from several. ``end_is_good``: the far end is square
    and sound, so that the last piece may be what is left in the vise. ``begun``: pieces already cut from
    this one bar, in their order; the plan must go on from there.

    Raises InvalidValue for a length that isn't above zero, a count or cost below zero, a begun bar that
    isn't one.
    """

    id: str
    length_um: int
    count: int | None
    cost: int
    is_remnant: bool = False
    heat: str = ""
    material: str = ""
    end_is_good: bool = False
    begun: tuple[Placed, ...] = ()

    def __post_init__(self) -> None:
        if self.length_um <= 0:
            raise InvalidValue(f"bar {self.id}: length must be above zero")
        if self.cost < 0 or (self.count is not None and self.count < 0):
            raise InvalidValue(f"bar {self.id}: count and cost must not be below zero")
        if self.begun and self.count != 1:
            raise InvalidValue(f"bar {self.id}: a begun bar is one bar")


@dataclass(frozen=True, slots=True)
class Piece:
    """``count`` equal pieces, ``length_um`` from the furthest point to the furthest.

    ``left_um`` and ``right_um`` say how far the top edge of each end lies further along the bar than its
    bottom edge (0: square). A piece may be up to ``over_um`` longer, never shorter. ``due_ms``: saw time
    from now by which it must be cut. ``heats``: the approved ones (None: any). ``materials``: those it may
    come from, first choice first.

    Raises InvalidValue for a length that isn't above zero, ends that cross, a count or tolerance below zero.
    """

    id: str
    length_um: int
    count: int
    left_um: int = 0
    right_um: int = 0
    over_um: int = 0
    order: str = ""
    due_ms: int | None = None
    heats: frozenset[str] | None = None
    materials: tuple[str, ...] = ("",)

    def __post_init__(self) -> None:
        if self.length_um <= 0:
            raise InvalidValue(f"piece {self.id}: length must be above zero")
        if min(self.count, self.over_um, self.due_ms or 0) < 0:
            raise InvalidValue(f"piece {self.id}: count, tolerance and due time must not be below zero")
        bottom = bottom_length(self.length_um, self.left_um, self.right_um)
        if min(bottom, bottom + self.right_um - self.left_um) < 0:
            raise InvalidValue(f"piece {self.id}: its ends cross")
        if not self.materials:
            raise InvalidValue(f"piece {self.id}: it must come from something")

    @property
    def is_mitred(self) -> bool:
        """Whether either end is not square."""
        return self.left_um != 0 or self.right_um != 0


@dataclass(frozen=True, slots=True)
class Promise:
    """At least ``count`` of a piece come from bars of one stock: it has been said so."""

    piece: str
    bar: str
    count: int


@dataclass(frozen=True, slots=True)
class FormerBars:
    """``times`` bars of the former plan with the same pieces on each: (piece, count), in the pieces'
    order."""

    bar: str
    pieces: tuple[tuple[str, int], ...]
    times: int


@dataclass(frozen=True)
class Problem:
    """Everything that decides which pieces come off which bars.

    ``depth_um`` is the section's size across the slant of mitred ends, ``turns`` how it may be turned.
    ``bundle_most`` equal bars may be cut at once. Pieces of an order in ``one_heat_orders`` all come from one
    heat. ``due_clock`` is what due times are counted by, where that isn't the saw's own time: bars, say.
    ``former`` is the plan now to be changed, in at most ``most_changes`` of its bars (None: freely).

    Raises InvalidValue for lengths below zero, ids that repeat or aren't known, aims that repeat.
    """

    kerf_um: int
    front_trim_um: int
    grip_um: int
    bars: tuple[BarStock, ...]
    pieces: tuple[Piece, ...]
    depth_um: int = 0
    turns: frozenset[Turn] = frozenset({Turn.AS_IS})
    leftovers: Leftovers = field(default_factory=Leftovers)
    bundle_most: int = 1
    saw_time: SawTime = field(default_factory=SawTime)
    due_clock: SawTime | None = None
    rates: Rates = field(default_factory=Rates)
    one_heat_orders: frozenset[str] = frozenset()
    promises: tuple[Promise, ...] = ()
    former: tuple[FormerBars, ...] = ()
    most_changes: int | None = None
    aims: tuple[Aim, ...] = (Aim.COST,)

    def __post_init__(self) -> None:
        if min(self.kerf_um, self.front_trim_um, self.grip_um, self.depth_um, self.most_changes or 0) < 0:
            raise InvalidValue("kerf, facing, grip, depth and changes must not be below zero")
        if self.bundle_most < 1 or Turn.AS_IS not in self.turns:
            raise InvalidValue("a bundle holds at least one bar, and a piece may lie as drawn")
        if not self.aims or len(set(self.aims)) < len(self.aims):
            raise InvalidValue("a problem needs aims, each named once")
        _refuse_repeats("bar", (bar.id for bar in self.bars))
        _refuse_repeats("piece", (piece.id for piece in self.pieces))
        if self.depth_um == 0 and any(piece.is_mitred for piece in self.pieces):
            raise InvalidValue("mitred pieces need the section's depth")
        self._refuse_unknown()

    def _refuse_unknown(self) -> None:
        named = [placed.piece for bar in self.bars for placed in bar.begun]
        named += [promise.piece for promise in self.promises]
        named += [piece for bars in self.former for piece, _ in bars.pieces]
        unknown = set(named) - self.piece_by_id.keys()
        # A former plan may well name bars that have gone since; a promise may not.
        unknown |= {promise.bar for promise in self.promises} - self.bar_by_id.keys()
        if unknown:
            raise InvalidValue(f"not in the problem: {', '.join(sorted(unknown))}")

    @cached_property
    def piece_by_id(self) -> dict[str, Piece]:
        """The pieces by their id."""
        return {piece.id: piece for piece in self.pieces}

    @cached_property
    def bar_by_id(self) -> dict[str, BarStock]:
        """The bars by their id."""
        return {bar.id: bar for bar in self.bars}

    @property
    def may_be_late(self) -> bool:
        """Whether a piece may be cut after it is due: only where the aims put a price on it."""
        return Aim.LATE in self.aims or (Aim.MONEY in self.aims and self.rates.per_late_piece > 0)

    @property
    def clock(self) -> SawTime:
        """What due times are counted by."""
        return self.due_clock or self.saw_time

    @cached_property
    def timed_leans(self) -> tuple[int, ...]:
        """Slants of faces whose cuts have a time of their own [um]."""
        return tuple(sorted({lean for time in (self.saw_time, self.clock) for lean, _ in time.slanted}))

    @property
    def facing_um(self) -> int:
        """What the facing cut of a bar takes: the trim and one kerf, nothing where there is no trim."""
        return self.front_trim_um + self.kerf_um if self.front_trim_um else 0

    def usable_um(self, bar: BarStock) -> int:
        """Bar length between the facing cut and the grip; below zero where even those don't fit."""
        return bar.length_um - self.facing_um - self.grip_um

    def may_come_from(self, piece: Piece, bar: BarStock) -> bool:
        """Whether material and heat of this bar will do for this piece."""
        if bar.material not in piece.materials:
            return False
        if piece.heats is not None and (not bar.heat or bar.heat not in piece.heats):
            return False
        return bool(bar.heat) or piece.order not in self.one_heat_orders

    def may_end_in_vise(self, piece: Piece, bar: BarStock) -> bool:
        """Whether this piece may be the bar's own end, held in the vise: no closing cut, nothing left over.

        Always where no grip is asked for; else where the bar's end is good and the piece is long enough to
        hold.
        """
        return self.grip_um == 0 or (bar.end_is_good and piece.length_um >= self.grip_um)


def _refuse_repeats(kind: str, ids: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in ids:
        if name in seen:
            raise InvalidValue(f"{kind} {name} is there twice")
        seen.add(name)
