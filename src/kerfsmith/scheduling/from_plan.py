"""The scheduling problem of a cut plan: each group a run, its bars loads, its saws' hours a calendar."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, time
from math import ceil
from types import MappingProxyType

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import InvalidValue
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar
from kerfsmith.planning.times import cuts_of_bar, group_times
from kerfsmith.scheduling.calendar import Calendar
from kerfsmith.scheduling.changeover import ChangeRules, break_in_seconds, set_up_table
from kerfsmith.scheduling.problem import (
    NO_BAND,
    WEEK_AIMS,
    Aim,
    Crew,
    Load,
    Option,
    Problem,
    Run,
    Saw,
    Unattended,
    Wanted,
)
from kerfsmith.scheduling.shifts import Clock
from kerfsmith.scheduling.unattended import Part, UnattendedRules, judge_unattended
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.told import Told, sentence


@dataclass(frozen=True, slots=True)
class WeekRules:
    """The shop's habits in planning a week. All but the first are common practice until the shop sets
    its own.

    ``due_at``: by when a piece is wanted on its due day. ``bars_a_load``: how many bars the infeed takes
    at a time. ``tending``: hundredths of a person that a saw ties up while it cuts. ``first_piece_s``:
    somebody stays until the first piece of a run is measured.
    """

    due_at: time = time(16)
    bars_a_load: int = 1
    tending: int = 50
    first_piece_s: float = 120.0
    break_in_cm2: float = 500.0
    changes: ChangeRules = field(default_factory=ChangeRules)
    unattended: UnattendedRules = field(default_factory=UnattendedRules)

    def __post_init__(self) -> None:
        if self.bars_a_load < 1 or self.first_piece_s < 0:
            raise InvalidValue("a load has a bar at least, and measuring takes no less than no time")


@dataclass(frozen=True, slots=True)
class SawOnFloor:
    """A saw as it stands when the week begins: its sheet, hours, the band on it, and bands that are new to
    it.
    """

    sheet: SawSheet
    calendar: Calendar
    mounted: Band | None = None
    fresh: frozenset[str] = frozenset()


def week_problem(
    plan: Plan,
    floor: Sequence[SawOnFloor],
    clock: Clock,
    days: int,
    *,
    rules: WeekRules,
    hazards: Mapping[str, tuple[Hazard, ...]],
    others: Iterable[PlanGroup] = (),
    crews: tuple[Crew, ...] = (),
    crane: int | None = 1,
    released: Mapping[str, int] = MappingProxyType({}),
    dues: Mapping[str, date] = MappingProxyType({}),
    in_saw: Mapping[str, int] = MappingProxyType({}),
    aims: tuple[Aim, ...] = WEEK_AIMS,
) -> Problem:
    """The week of all groups of ``plan`` that can be cut, up to ``days`` days from the clock's first.

    ``others`` are the same groups (by id) planned for other saws of the floor: each is one more saw that
    the run may go to. ``hazards`` maps a grade to its own, ``released`` a group to the tick from which
    its bars are there. ``dues`` maps an order line to its due date, so that each piece counts by its own;
    without them a whole group is wanted when the first of it is. ``in_saw`` says how many of a group's first
    bars lie in the saw already. Groups without bars, or whose saw isn't on the floor, are left out: ask
    `left_out`.

    Raises InvalidValue for a group planned twice for one saw.
    """
    sheets = {one.sheet.id: one for one in floor}
    alternatives: dict[str, list[PlanGroup]] = {}
    for group in (*plan.groups, *others):
        if group.bars and group.settings and group.saw in sheets:
            alternatives.setdefault(group.id, []).append(group)
    asked = _Asked(clock, rules, {line: clock.due(day, rules.due_at) for line, day in dues.items()})
    runs = [
        _run(
            groups,
            sheets,
            asked,
            hazards.get(groups[0].grade, ()),
            released.get(name, 0),
            in_saw.get(name, 0),
        )
        for name, groups in alternatives.items()
    ]
    taken = [group for groups in alternatives.values() for group in groups]
    return Problem(
        runs=tuple(runs),
        saws=tuple(_saw(one, taken, clock, rules) for one in floor),
        horizon=days * 86_400 // clock.tick_s,
        crane=crane,
        crews=crews,
        aims=aims,
        tick_s=clock.tick_s,
    )


def left_out(plan: Plan, floor: Iterable[SawOnFloor]) -> tuple[tuple[str, Told], ...]:
    """Groups that the week leaves out, each with the reason."""
    names = {one.sheet.id for one in floor}
    found = []
    for group in plan.groups:
        if not group.bars or not group.settings:
            found.append((group.id, sentence("the plan has no bars for it ({status})", status=group.status)))
        elif group.saw not in names:
            found.append(
                (
                    group.id,
                    sentence("its saw {saw} isn't on the floor", saw=group.saw_name or group.saw),
                )
            )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What every run is reckoned with; ``dues`` are ticks by order line."""

    clock: Clock
    rules: WeekRules
    dues: Mapping[str, int]


def _run(
    groups: Sequence[PlanGroup],
    sheets: Mapping[str, SawOnFloor],
    asked: _Asked,
    hazards: tuple[Hazard, ...],
    release: int,
    in_saw: int,
) -> Run:
    first = groups[0]
    verdicts = [
        judge_unattended(part_of(group, sheets[group.saw].sheet, hazards), asked.rules.unattended)
        for group in groups
    ]
    against = next((verdict for verdict in verdicts if not verdict.allowed), None)
    verdict = against or verdicts[0]
    due = None if first.first_due is None else asked.clock.due(first.first_due, asked.rules.due_at)
    return Run(
        id=first.id,
        options=tuple(_option(group, sheets[group.saw], asked, verdict, in_saw) for group in groups),
        due=due,
        release=release,
        weight=first.pieces_planned,
        label=f"{first.grade} {first.section.name}",
        unattended=verdict,
    )


def _option(group: PlanGroup, saw: SawOnFloor, asked: _Asked, verdict: Unattended, in_saw: int) -> Option:
    """The loads of one group on one saw; those of its bars that are in the saw need no crane any more."""
    rules, tick_s = asked.rules, asked.clock.tick_s
    longest = _longest_stretch(saw.calendar, verdict.allowed)
    loads: list[Load] = []
    for bars, place in brought_together(group.bars, rules.bars_a_load, in_saw):
        # Of bars cut at once the first piece of each is measured.
        hand_s = rules.first_piece_s * bars[0].at_once if place == 0 else 0.0
        load = load_of(bars, group, saw.sheet, tick_s, hand_s)
        if place < in_saw:
            load = replace(load, crane=0, hand=max(1, load.hand))
        load = replace(load, wanted=_wanted(bars, asked.dues))
        loads += split_load(load, longest, sum(bar.loads * len(cuts_of_bar(bar)) for bar in bars))
    return Option(saw.sheet.id, group.settings[0].band.id, tuple(loads), rules.tending)


def brought_together(
    bars: Iterable[PlannedBar], most: int, in_saw: int
) -> Iterator[tuple[list[PlannedBar], int]]:
    """Loads as the crane brings them, each with how many bars come before: what is cut at once, or up to
    ``most`` bars cut alone. The first ``in_saw`` bars come by themselves, as they lie in the saw; what is cut
    at once with them does too.
    """
    each = [replace(bar, times=bar.at_once) for bar in bars for _ in range(bar.loads)]
    together: list[PlannedBar] = []
    before = count = 0
    for bar in each:
        alone = count < in_saw or bar.at_once > 1
        if together and (alone or len(together) == most):
            yield together, before
            together = []
        if not together:
            before = count
        together.append(bar)
        count += bar.times
        if alone:
            yield together, before
            together = []
    if together:
        yield together, before


def _wanted(bars: Iterable[PlannedBar], dues: Mapping[str, int]) -> tuple[Wanted, ...]:
    """The pieces on some bars by their lines, those with a due time."""
    count: Counter[tuple[str, str]] = Counter()
    for bar in bars:
        for piece, pieces in bar.each_piece():
            count[piece.line_id, piece.mark] += pieces
    found = [Wanted(dues[line], pieces, line, mark) for (line, mark), pieces in count.items() if line in dues]
    return tuple(sorted(found, key=lambda one: (one.due, one.line)))


def load_of(bars: Sequence[PlannedBar], group: PlanGroup, saw: SawSheet, tick_s: int, hand_s: float) -> Load:
    """Some bars brought together: loading by crane, then a person for ``hand_s`` of the cutting, then the
    rest.

    The likeliest sawing time. Each part is rounded up so that the whole is less than a tick too long.
    """
    settings = {setting.angle_deg: setting for setting in group.settings}
    times = group_times(bars, settings, saw, group.factors, group.bundle_settings)
    crane = ceil(times.loading_s / tick_s)
    whole = max(crane + 1, ceil(times.total_s / tick_s))
    hand = min(whole - crane, ceil(hand_s / tick_s))
    return Load(crane, hand, whole - crane - hand)


def split_load(load: Load, longest: int, cuts: int) -> list[Load]:
    """A load in parts that each fit ``longest`` ticks: between two cuts the saw may be left with the bar in
    the vise.

    Whoever starts it again needs a tick by hand. A load that can't be split so far is returned as it is.
    """
    if load.ticks <= longest or cuts < 2 or longest <= load.crane + load.hand + 1:
        return [load]
    a_cut = ceil(load.cut / cuts)
    first = (longest - load.crane - load.hand) // a_cut * a_cut
    following = (longest - 1) // a_cut * a_cut
    if first < 1 or following < 1:
        return [load]
    parts, left = [Load(load.crane, load.hand, first)], load.cut - first
    while left > 0:
        cut = min(left, following)
        parts.append(Load(0, 1, cut))
        left -= cut
    # Which piece comes off before the break isn't told here: all of them count when the bar is done.
    return [*parts[:-1], replace(parts[-1], wanted=load.wanted)]


def _longest_stretch(calendar: Calendar, unattended: bool) -> int:
    """The shortest of the stretches at least half as long as the longest: what any usual shift holds."""
    spans = calendar.running() if unattended else calendar.attended()
    longest = max((span.ticks for span in spans), default=0)
    return min((span.ticks for span in spans if 2 * span.ticks >= longest), default=0)


def part_of(group: PlanGroup, saw: SawSheet, hazards: tuple[Hazard, ...]) -> Part:
    """What the unattended rule looks at in a group."""
    pieces = [piece for bar in group.bars for piece in bar.pieces]
    lengths = [um_to_mm(piece.length_um) for piece in pieces] or [0.0]
    used = (group.settings[0], *group.bundle_settings)
    return Part(
        piece_kg=group.mass_kg_per_m * max(lengths) / 1000,
        shortest_mm=min(lengths),
        longest_mm=max(lengths),
        height_mm=max((one.depth_mm for setting in used for one in setting.slices), default=0.0),
        bar_mm=max((um_to_mm(bar.length_um) for bar in group.bars), default=0.0),
        strokes=max((saw.strokes(um_to_mm(piece.taken_um)) for piece in pieces), default=1),
        hazards=hazards,
        force_share=max(setting.band_force_share for setting in used),
        mitred=any(piece.is_mitred for piece in pieces),
        bundle=max((bar.at_once for bar in group.bars), default=1),
        dry=not saw.coolant,
    )


def _saw(one: SawOnFloor, groups: Sequence[PlanGroup], clock: Clock, rules: WeekRules) -> Saw:
    here = [group for group in groups if group.saw == one.sheet.id]
    bands = {group.settings[0].band.id: group.settings[0].band for group in here}
    if one.mounted is not None:
        bands[one.mounted.id] = one.mounted
    fresh = {
        name: ceil(_break_in_s(name, here, rules) / clock.tick_s)
        for name in sorted(one.fresh)
        if name in bands
    }
    return Saw(
        id=one.sheet.id,
        calendar=one.calendar,
        name=one.sheet.name,
        mounted=one.mounted.id if one.mounted is not None else NO_BAND,
        set_ups=MappingProxyType(set_up_table(one.sheet, bands.values(), rules.changes, clock.tick_s)),
        fresh=MappingProxyType(fresh),
    )


def _break_in_s(band: str, groups: Iterable[PlanGroup], rules: WeekRules) -> float:
    """The slowest of the runs that may be first with the new band decides how long breaking it in takes."""
    rates = [
        group.settings[0].cut_seconds / group.settings[0].area_cm2
        for group in groups
        if group.settings[0].band.id == band and group.settings[0].area_cm2 > 0
    ]
    return max((break_in_seconds(rules.break_in_cm2, rate, rules.changes) for rate in rates), default=0.0)
