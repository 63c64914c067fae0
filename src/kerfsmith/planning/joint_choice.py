"""Which pieces come from which grade and section where lines leave a choice: all laid as one problem."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result, Status
from kerfsmith.planning.lay_group import bar_to_buy, part_lines
from kerfsmith.planning.lengths import over_um, spare_um
from kerfsmith.planning.mitred_ends import depth_um, lean_um, turns_allowed
from kerfsmith.planning.nest_group import Effort, chosen_further, solved
from kerfsmith.planning.part_lines import part_by_saw
from kerfsmith.planning.pick_saw import Trial, fitting_first, try_saws
from kerfsmith.planning.pose_group import TO_BE_BOUGHT, charge
from kerfsmith.planning.tasks import JoinedTask, Source
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import Material, OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um


@dataclass(frozen=True, slots=True)
class Station:
    """A grade and section with the saw it would be cut on (and the bars that takes), and the lines it can
    give.

    ``bars`` are all of it on the rack, ``bought`` the one in which more would be bought where any is ordered.
    """

    material: Material
    bars: tuple[Bar, ...]
    trial: Trial
    bought: tuple[Bar, ...]
    serves: frozenset[str]


@dataclass(frozen=True, slots=True)
class Losses:
    """What a saw takes of every bar."""

    kerf_um: int
    facing_um: int
    grip_um: int


@dataclass(frozen=True, slots=True)
class Weighing:
    """What bars weigh in the choice: in money where every price is known, else by mass, since a metre of one
    section isn't a metre of another. ``cost_of`` is in millionths of the unit by the bar's id."""

    unit: str
    cost_of: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Choice:
    """How many pieces of each line are cut from what, and less than which cost no choice is possible.

    ``counts`` maps a line's id to (material, pieces); lines that nothing can give are left out.
    """

    counts: Mapping[str, Mapping[Material, int]]
    bound: int


def stations_of(task: JoinedTask, catalog: Catalog, rules: ShopRules) -> tuple[Station, ...]:
    """Where pieces may come from: each source for which there is a saw, and bars or an order.

    Raises UnknownName for a grade that isn't in the catalog.
    """
    lines = [line for work in task.works for line in work.lines]
    found = (_station(source, lines, catalog, rules) for source in task.sources)
    return tuple(station for station in found if station is not None)


def _station(
    source: Source, lines: Sequence[OrderLine], catalog: Catalog, rules: ShopRules
) -> Station | None:
    material, grade = source.material, catalog.find_grade(source.material.grade)
    own = [line for line in lines if line.material == material]
    taken = [line for line in lines if material in line.materials]
    if not taken or not (own or source.bars):
        return None

    def works() -> Iterator[Work]:
        # Substitutes may ask more than any saw does; what is ordered of it must still be cut, or part of it.
        whole = [_work(material, among) for among in (taken, own) if among]
        yield from whole
        part = part_by_saw(whole[-1], grade, catalog, source.bars, rules).part
        if part is not None:
            yield part

    for work in works():
        trials = try_saws(work, grade, catalog, source.bars, rules)
        fitting = fitting_first(work, trials)
        if fitting:
            trial = fitting[0]
            bought = (bar_to_buy(work, trial, rules),) if own else ()
            good, _ = part_lines(work, trial, (*trial.bars, *bought))
            return Station(material, source.bars, trial, bought, frozenset(line.id for line in good))
    return None


def _work(material: Material, lines: Sequence[OrderLine]) -> Work:
    cut = tuple(line.cut_from(material, line.quantity) for line in lines)
    return Work(material.grade, material.section, cut)


def weigh(stations: Sequence[Station], rules: ShopRules) -> Weighing:
    """Weigh every bar there is; one still to be bought weighs ``rules.buying_weight`` times as much."""
    bars = [bar for station in stations for bar in (*station.bars, *station.bought)]
    if all(bar.price is not None for bar in bars):
        return Weighing(rules.currency, charge(bars, rules).cost_of)
    costs = {}
    for station in stations:
        for bar in (*station.bars, *station.bought):
            weight = rules.buying_weight if bar.kind is BarKind.TO_BUY else 1
            costs[bar.id] = round(bar.length_um * station.trial.mass_kg_per_m) * weight
    return Weighing("kg of bar", costs)


def is_exact(task: JoinedTask, stations: Sequence[Station]) -> bool:
    """Whether one problem says all: no mitred ends, or one section that lies the same way everywhere."""
    mitred = any(line.is_mitred for work in task.works for line in work.lines)
    ways = {(one.material.section.key, one.trial.settings[0].lie) for one in stations}
    return not mitred or len(ways) == 1


def choose(
    task: JoinedTask, stations: Sequence[Station], weighing: Weighing, rules: ShopRules, effort: Effort
) -> Choice | None:
    """The cheapest choice, and of those that cost the same one with the fewest substitutes; None without one.

    Laid with the largest losses of the stations' saws, so that each group can be cut on its own; the bound is
    that of the smallest. Bars are bought, of what is ordered, only where the rack has no plan. On what day
    pieces are due is left to the groups. Raises UnsoundPlanError where the nesting referee refuses a plan.
    """
    losses = [_losses(station.trial) for station in stations]
    wide, tight = _each(max, losses), _each(min, losses)
    kinds = _kinds(task, stations, rules)
    if not kinds:
        return None
    for with_bought in (False, True):
        problem = _pose(kinds, stations, weighing, wide, rules, with_bought=with_bought)
        result = solved(problem, effort)
        if result.status is not Status.INFEASIBLE:
            break
    if result.cost is None:
        return None
    bound = result.lower_bound
    if tight != wide:
        narrow = _pose(kinds, stations, weighing, tight, rules, with_bought=with_bought)
        bound = solved(narrow, effort).lower_bound
    fewest = _fewest_substitutes(problem, result, effort)
    return Choice(_counts(fewest, kinds, stations), bound)


def _losses(trial: Trial) -> Losses:
    return Losses(trial.settings[0].kerf_um, mm_to_um(trial.saw.facing_mm), mm_to_um(trial.saw.least_grip_mm))


def _each(pick: Callable[[Iterator[int]], int], losses: Sequence[Losses]) -> Losses:
    return Losses(
        pick(one.kerf_um for one in losses),
        pick(one.facing_um for one in losses),
        pick(one.grip_um for one in losses),
    )


@dataclass(frozen=True, slots=True)
class _Kind:
    """Lines of equal length, tolerance and ends that may come from the same, due first."""

    lines: tuple[OrderLine, ...]
    materials: tuple[str, ...]
    order: str


def _kinds(task: JoinedTask, stations: Sequence[Station], rules: ShopRules) -> dict[str, _Kind]:
    serving = {station.material.key: station.serves for station in stations}
    alike: dict[tuple[int, int, int, float, float, str, tuple[str, ...]], list[OrderLine]] = defaultdict(list)
    lines = [line for work in task.works for line in work.lines]
    for line in sorted(lines, key=lambda line: (line.due or date.max, line.id)):
        sources = tuple(one.key for one in line.materials if line.id in serving.get(one.key, ()))
        # One heat is asked for what was ordered of one grade and section, and so one source.
        order = f"{line.order} {line.material.key}" if rules.one_heat_an_order else ""
        if sources:
            length = line.length_um, over_um(line), spare_um(line)
            alike[*length, line.angle_a_deg, line.angle_b_deg, order, sources].append(line)
    return {
        f"{one[0].mark} (kind {number})": _Kind(tuple(one), key[-1], key[-2])
        for number, (key, one) in enumerate(alike.items(), start=1)
    }


def _pose(
    kinds: Mapping[str, _Kind],
    stations: Sequence[Station],
    weighing: Weighing,
    losses: Losses,
    rules: ShopRules,
    *,
    with_bought: bool,
) -> Problem:
    """All groups as one problem. Where they lie in different ways mitred pieces count with their full
    length."""
    first, setting = stations[0].material, stations[0].trial.settings[0]
    ways = {(one.material.section.key, one.trial.settings[0].lie) for one in stations}
    mitred = len(ways) == 1 and any(kind.lines[0].is_mitred for kind in kinds.values())
    across_um = depth_um(first.section, setting.lie) if mitred else 0
    # As each group has it: what is left in the vise takes up what the others are dialled over.
    may_end = any(bar.end_is_good for station in stations for bar in station.trial.bars)
    may_end = may_end and all(over_um(line) >= 0 for kind in kinds.values() for line in kind.lines)
    return Problem(
        kerf_um=losses.kerf_um,
        front_trim_um=losses.facing_um,
        grip_um=losses.grip_um,
        bars=tuple(
            _stock(bar, station, weighing, may_end)
            for station in stations
            for bar in (*station.trial.bars, *(station.bought if with_bought else ()))
        ),
        pieces=tuple(_piece(name, kind, across_um, may_end) for name, kind in kinds.items()),
        depth_um=across_um,
        turns=turns_allowed(first.section, setting.lie) if mitred else frozenset({Turn.AS_IS}),
        one_heat_orders=frozenset(kind.order for kind in kinds.values() if rules.one_heat_an_order),
    )


def _piece(name: str, kind: _Kind, across_um: int, may_end: bool) -> Piece:
    line = kind.lines[0]
    return Piece(
        id=name,
        length_um=line.length_um + over_um(line),
        count=sum(one.quantity for one in kind.lines),
        left_um=lean_um(line.angle_a_deg, across_um),
        right_um=lean_um(line.angle_b_deg, across_um),
        over_um=spare_um(line) if may_end else 0,
        order=kind.order,
        materials=kind.materials,
    )


def _stock(bar: Bar, station: Station, weighing: Weighing, may_end: bool) -> BarStock:
    # What is to be bought comes from one heat, whichever it will be.
    to_come = f"{TO_BE_BOUGHT} {station.material.key}" if bar.kind is BarKind.TO_BUY else ""
    return BarStock(
        id=bar.id,
        length_um=bar.length_um,
        count=bar.count,
        cost=weighing.cost_of[bar.id],
        is_remnant=bar.kind is BarKind.REMNANT,
        heat=bar.heat or to_come,
        material=station.material.key,
        end_is_good=may_end and bar.end_is_good,
    )


def _fewest_substitutes(problem: Problem, result: Result, effort: Effort) -> Result:
    """Of all that cost the same, one with the fewest substitutes as far as a little work goes."""
    found = chosen_further(replace(problem, aims=(Aim.COST, Aim.SUBSTITUTED)), result, effort)
    worse = found.cost is None or result.cost is None or found.cost > result.cost
    return result if worse else found


def _counts(
    result: Result, kinds: Mapping[str, _Kind], stations: Sequence[Station]
) -> dict[str, dict[Material, int]]:
    """Pieces of each line by what they come from. Of a kind the lines due first get what is ordered."""
    by_key = {station.material.key: station.material for station in stations}
    material_of = {
        bar.id: station.material.key for station in stations for bar in (*station.trial.bars, *station.bought)
    }
    cut: dict[str, Counter[str]] = defaultdict(Counter)
    for run in result.runs:
        for placed in run.placed:
            cut[placed.piece][material_of[run.bar]] += run.times
    counts: dict[str, dict[Material, int]] = {}
    for name, kind in kinds.items():
        from_each = iter(_dealt(kind, cut[name]))
        for line in kind.lines:
            mine = Counter(by_key[next(from_each)] for _ in range(line.quantity))
            counts[line.id] = dict(mine)
    return counts


def _dealt(kind: _Kind, cut: Mapping[str, int]) -> Iterator[str]:
    for key in kind.materials:
        yield from (key for _ in range(cut[key]))
