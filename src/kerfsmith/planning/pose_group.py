"""A group's work and bars put as a nesting problem: prices, kinds of piece, and the shop's own rules."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.nesting.aims import Leftovers, SawTime, WorthStep
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.planning.lengths import over_um, spare_um
from kerfsmith.planning.mitred_ends import depth_um, lean_um, turns_allowed
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um

MILLION = 1_000_000
TO_BE_BOUGHT = "to be bought"
"""The heat of bars that are still to be bought."""


@dataclass(frozen=True, slots=True)
class BarCosting:
    """How bars are charged while they are chosen: in money where every price is known, else in metres."""

    unit: str
    cost_of: Mapping[str, int]
    """Bar id -> cost in millionths of the unit."""


def charge(bars: Sequence[Bar], rules: ShopRules) -> BarCosting:
    """Price each bar for the choice; one still to be bought weighs ``rules.buying_weight`` times as much.

    The weight makes a plan use the rack before it buys; within either the least cost decides.
    """
    priced = all(bar.price is not None for bar in bars)
    costs = {}
    for bar in bars:
        cost = bar.price * MILLION if priced and bar.price is not None else Decimal(bar.length_um)
        weight = rules.buying_weight if bar.kind is BarKind.TO_BUY else 1
        costs[bar.id] = int(cost) * weight
    bought = any(bar.kind is BarKind.TO_BUY for bar in bars)
    unit = rules.currency if priced else "m of bar"
    return BarCosting(unit + (f", bought bars x{rules.buying_weight}" if bought else ""), costs)


@dataclass(frozen=True, slots=True)
class Bench:
    """What a group's bars are laid on: the saw, its kerf, and how the section lies under the band.

    ``time`` is what its loads take; ``at_once`` are the numbers of bars, two and more, that may be cut at
    once.
    """

    saw: SawSheet
    kerf_um: int
    lie: str
    time: SawTime = SawTime()  # noqa: RUF009 - frozen
    at_once: frozenset[int] = frozenset()


def pose(
    work: Work,
    bars: Sequence[Bar],
    bench: Bench,
    costing: BarCosting,
    rules: ShopRules,
    due_bars: Mapping[date, int] | None = None,
) -> Problem:
    """The group as a nesting problem: a kind of piece for each length and ends, of bar for each entry.

    Pieces are as long as they are dialled in. ``due_bars``: on how many bars at most the pieces due by each
    day may lie. Where it says anything, or the shop wants one heat for an order, pieces are kept apart by day
    or order.
    """
    mitred = any(line.is_mitred for line in work.lines)
    across_um = depth_um(work.section, bench.lie) if mitred else 0
    due_bars = due_bars or {}
    # What is left in the vise takes up what the others are dialled over; less than nothing it can't.
    may_end = any(bar.end_is_good for bar in bars) and all(over_um(line) >= 0 for line in work.lines)
    pieces = [
        Piece(
            id=name,
            length_um=lines[0].length_um + over_um(lines[0]),
            count=sum(line.quantity for line in lines),
            left_um=lean_um(lines[0].angle_a_deg, across_um),
            right_um=lean_um(lines[0].angle_b_deg, across_um),
            # Whichever of its lines the piece that is left serves.
            over_um=min(map(spare_um, lines)) if may_end else 0,
            order=lines[0].order if rules.one_heat_an_order else "",
            due_ms=due_bars.get(lines[0].due) if lines[0].due else None,
        )
        for name, lines in piece_kinds(work, rules, by_day=bool(due_bars)).items()
    ]
    orders = {line.order for line in work.lines} if rules.one_heat_an_order else set()
    return Problem(
        kerf_um=bench.kerf_um,
        front_trim_um=mm_to_um(bench.saw.facing_mm),
        grip_um=mm_to_um(bench.saw.least_grip_mm),
        bars=tuple(_stock(bar, costing, may_end) for bar in bars),
        pieces=tuple(sorted(pieces, key=lambda piece: (-piece.length_um, piece.id))),
        depth_um=across_um,
        turns=turns_allowed(work.section, bench.lie) if mitred else frozenset({Turn.AS_IS}),
        leftovers=_leftovers(bars, costing, rules),
        saw_time=bench.time,
        # A "millisecond" a bar: days are counted in bars.
        due_clock=SawTime(bar_ms=1) if due_bars else None,
        one_heat_orders=frozenset(orders),
    )


def _leftovers(bars: Sequence[Bar], costing: BarCosting, rules: ShopRules) -> Leftovers:
    """What the shop says of remnants: a long one is worth a share of the cheapest metre of bar."""
    metre = min((costing.cost_of[bar.id] * 1_000_000 // bar.length_um for bar in bars), default=0)
    worth = metre * rules.long_remnant_percent // 100
    steps = (WorthStep(rules.long_remnant_um, worth),) if worth else ()
    return Leftovers(rules.least_remnant_um, steps, rules.most_new_remnants)


def _stock(bar: Bar, costing: BarCosting, may_end: bool) -> BarStock:
    return BarStock(
        id=bar.id,
        length_um=bar.length_um,
        count=bar.count,
        cost=costing.cost_of[bar.id],
        is_remnant=bar.kind is BarKind.REMNANT,
        # What is to be bought comes from one heat, whichever it will be.
        end_is_good=may_end and bar.end_is_good,
        heat=bar.heat or (TO_BE_BOUGHT if bar.kind is BarKind.TO_BUY else ""),
    )


def piece_kinds(work: Work, rules: ShopRules, by_day: bool = False) -> dict[str, list[OrderLine]]:
    """Lines of equal length, tolerance and ends, due first, under a name a person knows them by: their
    marks.

    Kept apart by order too where the shop wants one heat for an order, and by the day they are due
    ``by_day``. Lines may bear the same mark and yet differ; the later kind is then numbered.
    """
    alike: dict[tuple[int, int, float, float, str, date | None], list[OrderLine]] = {}
    for line in sorted(work.lines, key=lambda line: (line.due or date.max, line.id)):
        order = line.order if rules.one_heat_an_order else ""
        day = line.due if by_day else None
        key = line.length_um, over_um(line), line.angle_a_deg, line.angle_b_deg, order, day
        alike.setdefault(key, []).append(line)
    named: dict[str, list[OrderLine]] = {}
    for number, lines in enumerate(alike.values(), start=1):
        name = " + ".join(dict.fromkeys(line.mark for line in lines))
        named[name if name not in named else f"{name} (kind {number})"] = lines
    return named
