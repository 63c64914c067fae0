"""The room's lengths alone, as the pure cutting-stock problem: a bound that is often sharp, perhaps a plan.

Heats, due times, promises, materials and bundles are left out, a mitred piece takes the mean of its edges,
and where a bar may end in the vise every load up to its end is let through. No plan of the room costs less
than the best plan of this problem, and the strong engine for it proves quickly what the room's own columns
would take long for.
"""

from dataclasses import dataclass, replace
from math import gcd

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.columns.instance import ColumnsInstance, ColumnsResult, Item, Kind
from kerfsmith.nesting.engines.columns.run import LATE
from kerfsmith.nesting.engines.columns.solve import solve_columns
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.filling import Loads
from kerfsmith.nesting.engines.sawroom.pricing import Pricer
from kerfsmith.nesting.stop import Watch

PROGRAM_S = 1e-3
"""Work [s] of one program of that engine, all between them included, roughly."""

SUMS_OF_BARS = frozenset({Aim.COST, Aim.NEW_STOCK, Aim.BARS})
"""Aims that count nothing but the bars taken."""


@dataclass(frozen=True, slots=True)
class Relaxed:
    """``bound``: what the aim is at least, its constant left out; ``loads``: the plan if it can be cut."""

    bound: int
    loads: Loads | None


def relaxed(room: Room, aim: Aim, watch: Watch, seed: int) -> Relaxed | None:
    """The bound and plan of lengths alone; None for an aim that isn't a sum of bars, or where there is no
    plan.
    """
    if aim not in SUMS_OF_BARS:
        return None
    pricer = Pricer(room, (aim,))
    left = [piece.count for piece in room.problem.pieces]
    base = 0
    kinds: list[Kind] = []
    bars: list[int] = []
    for number, bar in enumerate(room.problem.bars):
        cost = _price(room, number, aim)
        if bar.begun:
            # It is used in any case: what it costs is a constant, its rest is there for nothing.
            base, cost = base + cost, 0
            for place, count in room.begun(bar).items():
                left[place] -= count
        wide = pricer.wide(number)
        if bar.count != 0 and wide > 0:
            kinds.append(Kind(wide, bar.count, cost))
            bars.append(number)
    items = [
        item for item in range(len(room.items)) if not room.items[item].late and left[_place(room, item)] > 0
    ]
    if not kinds or not items:
        return None
    # Whole prices without their common divisor: the engine's own whole numbers stay small.
    unit = gcd(*(kind.cost for kind in kinds)) or 1
    kinds = [replace(kind, cost=kind.cost // unit) for kind in kinds]
    instance = ColumnsInstance(
        tuple(kinds), tuple(Item(pricer.sizes[item], left[_place(room, item)]) for item in items)
    )
    found = solve_columns(
        instance,
        seconds=watch.by_clock.left,
        seed=seed,
        should_stop=watch.should_stop,
        now=watch.by_clock.now,
        max_work=None if watch.work is None else max(1, int(watch.left / PROGRAM_S)),
        on_progress=lambda bound, _: watch.tell(None, base + unit * bound, "lengths alone"),
    )
    watch.count(PROGRAM_S * found.counters.get("work", 0))
    if found.counters.get(LATE, 0):
        watch.was_late()
    if found.status == "infeasible":
        return None
    return Relaxed(base + unit * found.lower_bound, _loads(room, found, bars, items))


def _place(room: Room, item: int) -> int:
    return room.items[item].piece


def _price(room: Room, bar: int, aim: Aim) -> int:
    return room.price(Column(bar, (), (0, 0), False, 0, 0, None), 1, aim)


def _loads(room: Room, found: ColumnsResult, bars: list[int], items: list[int]) -> Loads | None:
    """The patterns as loads of one bar each; None where one of them can't be cut in the room."""
    loads: Loads = {}
    problem = room.problem
    if any(bar.begun for bar in problem.bars):
        return None
    for use in found.patterns:
        bar = bars[use.kind]
        counts = {items[item]: count for item, count in use.counts.items()}
        if not all(problem.may_come_from(room.piece(item), problem.bars[bar]) for item in counts):
            return None
        column = max(room.columns_of(bar, counts), key=lambda one: (one.remnant_um, -one.cuts), default=None)
        if column is None:
            return None
        loads[column, 1] = loads.get((column, 1), 0) + use.times
    return loads or None
