"""A cut plan: which saw, which setting, which bars, and what lies on each bar."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from kerfsmith.catalog.section import Section
from kerfsmith.cutting.setting import CutSetting, Misfit
from kerfsmith.errors import Finding, InvalidValue
from kerfsmith.nesting.ends import Turn
from kerfsmith.planning.substituted import Substituted, SubstitutesPrice
from kerfsmith.shop.factors import Factor
from kerfsmith.shop.order import Material
from kerfsmith.shop.rack import BarKind
from kerfsmith.shop.rules import NextAim
from kerfsmith.units.told import Told


class PlanStatus(StrEnum):
    """How a group stands: proven best, good but not proven, short of bars, not to be cut here, or stopped."""

    BEST = "proven best"
    GOOD = "good, not proven"
    SHORT = "short of bars"
    CANNOT = "cannot be cut"
    OPEN = "not planned yet"


@dataclass(frozen=True, slots=True)
class ForLine:
    """The order line that a piece serves, and its mark."""

    line_id: str
    mark: str


@dataclass(frozen=True, slots=True)
class PlannedPiece:
    """One piece on a bar: of which order line, its length and ends, and the kerfs it is charged with.

    ``over_um`` is how much longer than its nominal length it is dialled in, to aim for the middle of what is
    allowed; the bar is booked with the nominal length. ``turn`` says how it lies against its drawing.
    ``lap_um`` is how far it reaches into the slant of the piece before it, so that two mitred neighbours take
    less bar than their lengths. ``near_cut`` is whether its near end has a cut of its own beside the far cut
    of the piece before; ``far_cut`` is missing only where the piece's far end is the bar's own.
    ``others`` names the lines that the second, third ... bar of a load serve with their pieces here; it is
    empty where they all serve this one.
    """

    line_id: str
    mark: str
    length_um: int
    kerf_um: int
    angle_a_deg: float = 0.0
    angle_b_deg: float = 0.0
    turn: Turn = Turn.AS_IS
    lap_um: int = 0
    near_cut: bool = False
    far_cut: bool = True
    over_um: int = 0
    others: tuple[ForLine, ...] = ()

    @property
    def dial_um(self) -> int:
        """The length to be dialled in."""
        return self.length_um + self.over_um

    @property
    def taken_um(self) -> int:
        """Bar that goes with it: its length and kerfs less what it shares with the piece before."""
        return self.length_um + self.kerf_um - self.lap_um

    @property
    def is_mitred(self) -> bool:
        """Whether either end is not square."""
        return self.angle_a_deg != 0 or self.angle_b_deg != 0

    @property
    def ends_deg(self) -> tuple[float, float]:
        """Head angles of its near and its far end as it lies on the bar, signed."""
        match self.turn:
            case Turn.AS_IS:
                return self.angle_a_deg, self.angle_b_deg
            case Turn.OVER:
                return -self.angle_a_deg, -self.angle_b_deg
            case Turn.END_FOR_END:
                return -self.angle_b_deg, -self.angle_a_deg
            case Turn.HALF_TURN:
                return self.angle_b_deg, self.angle_a_deg


@dataclass(frozen=True, slots=True)
class PlannedBar:
    """``times`` equal bars of one rack entry, cut in one pattern, ``at_once`` of them in the vise at a time.

    From the front: the facing cut (``facing_um`` of waste and its kerf), each piece with its kerf, and the
    remnant, of which the saw's least grip is part. ``keep`` says whether the remnant goes back to the rack.

    Raises InvalidValue when the parts don't add up to the bar, to the micrometre, when the bars don't make
    whole loads, or a piece names lines for more or fewer bars than lie in a load.
    """

    bar_id: str
    kind: BarKind
    length_um: int
    times: int
    heat: str
    place: str
    facing_um: int
    facing_kerf_um: int
    pieces: tuple[PlannedPiece, ...]
    remnant_um: int
    keep: bool
    at_once: int = 1

    def __post_init__(self) -> None:
        if self.at_once < 1 or self.times % self.at_once:
            raise InvalidValue(f"bar {self.bar_id}: {self.times} bars don't make loads of {self.at_once}")
        if any(len(piece.others) not in (0, self.at_once - 1) for piece in self.pieces):
            raise InvalidValue(f"bar {self.bar_id}: a load of {self.at_once} serves as many lines at a place")
        if self.parts_um != self.length_um:
            raise InvalidValue(f"bar {self.bar_id}: parts make {self.parts_um} um of {self.length_um} um")

    @property
    def ends_in_vise(self) -> bool:
        """Whether the last piece is the bar's own end, left in the vise without a cut."""
        return bool(self.pieces) and not self.pieces[-1].far_cut

    @property
    def left_um(self) -> int:
        """What is left of each bar once its pieces are cut as they are dialled."""
        return self.remnant_um - sum(piece.over_um for piece in self.pieces)

    @property
    def loads(self) -> int:
        """How many times the saw is loaded with them."""
        return self.times // self.at_once

    def laid(self, at: int) -> tuple[PlannedPiece, ...]:
        """The pieces of one bar of a load, each with the line it serves; ``at`` counts from 0."""
        return tuple(_served(piece, at) for piece in self.pieces)

    def each_piece(self) -> Iterator[tuple[PlannedPiece, int]]:
        """Every piece with the line it serves and how many such come off all these bars."""
        for piece in self.pieces:
            if not piece.others:
                yield piece, self.times
                continue
            yield from ((_served(piece, at), self.loads) for at in range(self.at_once))

    def of_load(self, piece: PlannedPiece) -> Counter[ForLine]:
        """How many of the pieces that one load gives at the place of ``piece`` serve each line."""
        own = ForLine(piece.line_id, piece.mark)
        return Counter((own, *piece.others)) if piece.others else Counter({own: self.at_once})

    @property
    def parts_um(self) -> int:
        """Facing, kerfs, pieces and remnant together."""
        return self.facing_um + self.facing_kerf_um + self.used_um + self.remnant_um

    @property
    def used_um(self) -> int:
        """Pieces with their kerfs."""
        return sum(piece.taken_um for piece in self.pieces)

    @property
    def pieces_um(self) -> int:
        """Pieces alone, laps counted once."""
        return sum(piece.length_um - piece.lap_um for piece in self.pieces)


def _served(piece: PlannedPiece, at: int) -> PlannedPiece:
    """The piece as the bar ``at`` of a load gives it."""
    if not piece.others:
        return piece
    line = (ForLine(piece.line_id, piece.mark), *piece.others)[at]
    return replace(piece, line_id=line.line_id, mark=line.mark, others=())


@dataclass(frozen=True, slots=True)
class GroupTimes:
    """Seconds of one group: sawing with its range, feeding the bar, loading, and putting pieces down."""

    sawing_s: float
    sawing_low_s: float
    sawing_high_s: float
    indexing_s: float
    loading_s: float
    unloading_s: float

    @property
    def total_s(self) -> float:
        """All of it, with the likeliest sawing time."""
        return self.sawing_s + self.indexing_s + self.loading_s + self.unloading_s


@dataclass(frozen=True, slots=True)
class Unplanned:
    """Pieces that aren't in the plan, and why."""

    line_id: str
    mark: str
    count: int
    reason: Told


@dataclass(frozen=True, slots=True)
class PlannedAim:
    """What a group's plan reaches beyond its cost: remnants' worth in the unit of cost, or a number.

    ``best`` is the proven best there could be at that cost and with the aims before as they are; None where
    nothing was proven in the time given.
    """

    aim: NextAim
    value: float
    best: float | None

    @property
    def is_proven(self) -> bool:
        """Whether nothing better is possible."""
        return self.best is not None and abs(self.best - self.value) < 1e-9


@dataclass(frozen=True, slots=True)
class SawTried:
    """A saw that was weighed for a group: its hours and cost when it fits, its misfits when it doesn't."""

    saw: str
    saw_name: str
    fits: bool
    hours: float | None
    cost: float | None
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True, slots=True)
class PlanGroup:
    """The work of one grade and section: one run at one saw.

    ``settings`` has one entry for each head angle wanted, the square cut through one bar first;
    ``bundle_settings`` the square cut's for each number of bars at once that the plan uses. ``cost`` and
    ``lower_bound`` are in ``cost_unit`` (a currency, or metres of bar where prices aren't known); no plan can
    cost less than the bound. ``next_aims``: what decided between plans of that cost.
    """

    id: str
    grade: str
    section: Section
    saw: str
    saw_name: str
    status: PlanStatus
    settings: tuple[CutSetting, ...]
    bars: tuple[PlannedBar, ...]
    cost: float
    lower_bound: float
    cost_unit: str
    bound_source: str
    pieces_wanted: int
    unplanned: tuple[Unplanned, ...]
    times: GroupTimes
    mass_kg_per_m: float
    first_due: date | None
    tried: tuple[SawTried, ...]
    notes: tuple[Told, ...] = ()
    next_aims: tuple[PlannedAim, ...] = ()
    factors: tuple[Factor, ...] = ()
    """What the shop's records put on its times and band lives, accepted by a person before it was made."""
    bundle_settings: tuple[CutSetting, ...] = ()
    substituted: tuple[Substituted, ...] = ()
    """Its pieces for which something else was ordered."""
    substitutes_price: SubstitutesPrice | None = None
    """What the substitutes save this group and those joined with it; None where none may be taken."""

    @property
    def material(self) -> Material:
        """What it is cut from."""
        return Material(self.grade, self.section)

    def ordered_for(self, line_id: str) -> Material | None:
        """What was ordered for a line that is cut here as a substitute; None where it is as ordered."""
        return next((one.ordered for one in self.substituted if one.line_id == line_id), None)

    def setting_for(self, angle_deg: float, at_once: int = 1) -> CutSetting | None:
        """The setting of a cut at a head angle (without sign) through so many bars; None where there is
        none.
        """
        among = self.settings if at_once == 1 else self.bundle_settings
        return next(
            (one for one in among if one.angle_deg == angle_deg and one.bundle == at_once),
            None,
        )

    @property
    def loads(self) -> int:
        """How many times the saw is loaded."""
        return sum(bar.loads for bar in self.bars)

    @property
    def pieces_planned(self) -> int:
        """Pieces that lie on bars."""
        return sum(bar.times * len(bar.pieces) for bar in self.bars)

    @property
    def bars_used(self) -> int:
        """Bars and remnants taken."""
        return sum(bar.times for bar in self.bars)

    @property
    def bars_to_buy(self) -> int:
        """Bars taken that aren't on the rack yet."""
        return sum(bar.times for bar in self.bars if bar.kind is BarKind.TO_BUY)

    @property
    def yield_share(self) -> float:
        """Share of the length of the bars taken that becomes pieces."""
        taken = sum(bar.times * bar.length_um for bar in self.bars)
        return sum(bar.times * bar.pieces_um for bar in self.bars) / taken if taken else 0.0

    @property
    def gap(self) -> float:
        """How far the plan may be from the best possible: (cost - bound) / cost."""
        return (self.cost - self.lower_bound) / self.cost if self.cost else 0.0


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole shop's plan, group by group, with the findings of what it was made from."""

    id: str
    name: str
    groups: tuple[PlanGroup, ...]
    findings: tuple[Finding, ...]
    seed: int

    @property
    def pieces_wanted(self) -> int:
        """Pieces asked for."""
        return sum(group.pieces_wanted for group in self.groups)

    @property
    def pieces_planned(self) -> int:
        """Pieces that lie on bars."""
        return sum(group.pieces_planned for group in self.groups)

    @property
    def bars_used(self) -> int:
        """Bars and remnants taken."""
        return sum(group.bars_used for group in self.groups)

    @property
    def hours(self) -> float:
        """Saw hours of all groups together."""
        return sum(group.times.total_s for group in self.groups) / 3600

    def group(self, group_id: str) -> PlanGroup | None:
        """The group of that id, or None."""
        return next((group for group in self.groups if group.id == group_id), None)
