"""The week as it stands now: the plan's runs less what is cut, saws with their hours, bands and stops."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from types import MappingProxyType

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import ForLine, Plan, PlanGroup, PlannedBar
from kerfsmith.scheduling.calendar import Calendar, Hours, Stop
from kerfsmith.scheduling.from_plan import SawOnFloor, left_out, week_problem
from kerfsmith.scheduling.hours import PlannedStop, ShopHours
from kerfsmith.scheduling.kept import Begun, KeptWeek, Wish, Wished
from kerfsmith.scheduling.problem import WEEK_AIMS, Aim, Pin, Problem
from kerfsmith.scheduling.problem import Run as WeekRun
from kerfsmith.scheduling.replan import window_now
from kerfsmith.scheduling.shifts import Clock, calendar_of, crews_of, hours_of_shift
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.rack import BarKind
from kerfsmith.shop.run import Run, RunState
from kerfsmith.units.told import Told
from kerfsmith.workflow.bar_progress import still_to_cut
from kerfsmith.workflow.floor_ports import BarAtSaw, FloorReading
from kerfsmith.workflow.load_progress import cut_together
from kerfsmith.workflow.ports import Look

REACH = (14, 28, 56, 112)
"""How many days are looked at, from Monday on: the first that hold twice the work there is, else the last."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a week is made of beside the records: the tables, the shop's clock, and a standing saw's likely
    end.

    ``now`` and ``back`` (saw -> when it will run again) are by the shop's clock, without a zone; ``zone``
    turns the records' moments into such.
    """

    saws: tuple[SawSheet, ...]
    bands: Mapping[str, Band]
    hazards: Mapping[str, tuple[Hazard, ...]]
    now: datetime
    back: Mapping[str, datetime] = field(default_factory=lambda: MappingProxyType({}))

    def by_clock(self, moment: datetime) -> datetime:
        """A moment of the records by the shop's clock."""
        return moment.astimezone().replace(tzinfo=None)


USUAL_STANDSTILL = timedelta(hours=2)
"""How long a saw that stands is taken to stand where nobody has said (common practice)."""


@dataclass(frozen=True, slots=True)
class WeekNow:
    """The problem of what is left, with what has begun and what has no place."""

    clock: Clock
    now: int
    problem: Problem
    left_out: tuple[tuple[str, Told], ...]
    begun: tuple[Begun, ...]
    standing: tuple[str, ...]


def week_now(
    look: Look,
    plan: Plan,
    room: Room,
    base: KeptWeek | None,
    wishes: Sequence[Wish],
    options: Sequence[PlanGroup] | None = None,
) -> WeekNow:
    """The week of ``plan`` from now on. What has begun stays first at its saw; ``wishes`` are kept to.

    The runs of ``base`` in their places are what moves are counted against. ``options`` are groups as other
    saws would cut them, None for those on record.
    """
    hours = look.weeks.hours()
    clock = Clock(room.now.date() - timedelta(days=room.now.weekday()))
    now = clock.tick(room.now)
    work = _work_left(look.floor, plan, room)
    done = {run.group_id for run in look.floor.runs(state=RunState.FINISHED) if run.plan_id == plan.id}
    shown = replace(plan, groups=tuple(one for one in plan.groups if one.id not in done))
    groups = replace(shown, groups=(*work.groups, *(g for g in shown.groups if g.id not in work.released)))
    days = _days(sum(group.times.total_s for group in groups.groups) / 3600, room.saws, hours)
    floor = [_saw_now(look, saw, hours, clock, days, room, base) for saw in room.saws]
    fitting = look.weeks.options(plan.id) if options is None else options
    others = [one for one in fitting if one.id not in work.released | done]
    problem = week_problem(
        groups,
        floor,
        clock,
        days,
        rules=replace(hours.rules(), break_in_cm2=look.rules().break_in_cm2),
        hazards=room.hazards,
        others=others,
        crews=crews_of(hours.crew, clock, days, hours.away),
        crane=hours.crane,
        dues=_dues(look.floor, groups.groups),
        in_saw=work.in_saw,
    )
    pins = {run: Pin(saw, rank=rank) for saw, runs in work.in_order.items() for rank, run in enumerate(runs)}
    runs = tuple(_wished(run, wishes, clock, now, pins.get(run.id)) for run in problem.runs)
    problem = replace(problem, runs=runs)
    if base is not None:
        known = {run.id for run in problem.runs}
        old = {saw: tuple(r for r in row if r in known) for saw, row in base.week.sequences.items()}
        saws = {saw.id for saw in problem.saws}
        problem = replace(
            problem,
            previous=MappingProxyType({saw: row for saw, row in old.items() if saw in saws}),
            aims=(*WEEK_AIMS, Aim.MOVES),
        )
    standing = tuple(saw.id for saw in room.saws if look.floor.open_stop(saw.id) is not None)
    return WeekNow(clock, now, problem, left_out(groups, floor), work.begun, standing)


@dataclass(frozen=True, slots=True)
class _WorkLeft:
    """Released runs as groups of what is left of them; ``released`` names groups and runs that are there."""

    groups: tuple[PlanGroup, ...]
    released: frozenset[str]
    in_saw: dict[str, int]
    in_order: dict[str, list[str]]
    begun: tuple[Begun, ...]


def _work_left(floor: FloorReading, plan: Plan, room: Room) -> _WorkLeft:
    groups: list[PlanGroup] = []
    in_saw: dict[str, int] = {}
    begun: list[Begun] = []
    for run in floor.runs(state=RunState.RELEASED):
        group = floor.plan_group(run.plan_id, run.group_id)
        if group is None:
            continue
        name = run.group_id if run.plan_id == plan.id else run.id
        bars = [one for one in floor.bars(run.id) if one.bar.state is not BarState.RETURNED]
        lying = [rest for together in cut_together(bars) for rest in _lying(floor, group, together)]
        waiting = [bar for one in floor.planned(run.id) for bar in one.to_come]
        if bars:
            since = room.by_clock(min(one.bar.loaded_at for one in bars))
            begun.append(Begun(name, run.saw, f"{run.grade} {run.section.name}", since))
        if lying or waiting:
            in_saw[name] = sum(bar.times for bar in lying)
            groups.append(replace(group, id=name, bars=(*lying, *waiting)))
    left = {group.id for group in groups}
    order: dict[str, list[str]] = {}
    for one in sorted(begun, key=lambda one: (not in_saw.get(one.run, 0), one.since)):
        if one.run in left:
            order.setdefault(one.saw, []).append(one.run)
    finished = tuple(_finished(floor, run, plan, room) for run in floor.runs(state=RunState.FINISHED))
    released = frozenset(
        run.group_id if run.plan_id == plan.id else run.id for run in floor.runs(state=RunState.RELEASED)
    )
    ended = [one for one in finished if one is not None]
    return _WorkLeft(tuple(groups), released, in_saw, order, (*ended, *begun))


def _finished(floor: FloorReading, run: Run, plan: Plan, room: Room) -> Begun | None:
    """A run that was finished in the last days, for the picture; None for an older one."""
    bars = floor.bars(run.id)
    if run.finished_at is None or not bars:
        return None
    until = room.by_clock(run.finished_at)
    if until < room.now - timedelta(days=7):
        return None
    since = room.by_clock(min(one.bar.loaded_at for one in bars))
    name = run.group_id if run.plan_id == plan.id else run.id
    label = f"{run.grade} {run.section.name}"
    return Begun(name, run.saw, label, since, max(until, since + timedelta(minutes=1)))


def _lying(floor: FloorReading, group: PlanGroup, together: Sequence[BarAtSaw]) -> tuple[PlannedBar, ...]:
    """What is to be cut from bars in the saw: of a load at once, where the plan has a setting for it."""
    rests = tuple(rest for one in together if (rest := _rest(floor, one)) is not None)
    count = len(rests)
    lengths = {tuple(piece.dial_um for piece in rest.pieces) for rest in rests}
    if count < 2 or len(lengths) > 1 or group.setting_for(0.0, count) is None:
        return rests
    places = zip(*(rest.pieces for rest in rests), strict=True)
    pieces = (
        replace(first, others=tuple(ForLine(one.line_id, one.mark) for one in others))
        for first, *others in places
    )
    return (replace(rests[0], times=count, at_once=count, pieces=tuple(pieces)),)


def _rest(floor: FloorReading, at_saw: BarAtSaw) -> PlannedBar | None:
    """What is still to be cut from a bar in the saw, as a bar of just that."""
    pieces = still_to_cut(at_saw, floor.entries(at_saw.bar.id))
    length_um = sum(piece.taken_um for piece in pieces)
    if not pieces:
        return None
    return PlannedBar(
        bar_id=at_saw.bar.label,
        kind=BarKind.BAR,
        length_um=length_um,
        times=1,
        heat=at_saw.bar.heat,
        place="",
        facing_um=0,
        facing_kerf_um=0,
        pieces=pieces,
        remnant_um=0,
        keep=False,
    )


def _dues(floor: FloorReading, groups: Iterable[PlanGroup]) -> dict[str, date]:
    """Due dates of every order line that the groups cut."""
    lines = {piece.line_id for group in groups for bar in group.bars for piece, _ in bar.each_piece()}
    known = floor.order_lines(tuple(sorted(lines)))
    return {line_id: line.due for line_id, (_, line) in known.items() if line.due is not None}


def _wished(run: WeekRun, wishes: Sequence[Wish], clock: Clock, now: int, begun: Pin | None) -> WeekRun:
    """A run as people wish it, as far as that can still be; what has begun stays whatever was wished."""
    if begun is not None:
        options = tuple(option for option in run.options if option.saw == begun.saw)
        return replace(run, options=options or run.options, pin=begun if options else None)
    own = [wish for wish in wishes if wish.run == run.id]
    refused = {wish.saw for wish in own if wish.wished is Wished.NOT_HERE}
    options = tuple(option for option in run.options if option.saw not in refused) or run.options
    pin = None
    for wish in own:
        if wish.wished is Wished.NOT_HERE or all(option.saw != wish.saw for option in options):
            continue
        start = clock.tick(wish.at) if wish.at is not None else None
        pin = Pin(wish.saw, start if start is not None and start >= now else None)
    return replace(run, options=options, pin=pin)


def _days(work_h: float, saws: Sequence[SawSheet], hours: ShopHours) -> int:
    """How many days to look at: shifts with somebody there, of all saws, hold the work twice over."""
    a_week = sum(
        hours_of_shift(shift) for saw in saws for shift in hours.of(saw.id) if shift.hours is Hours.ATTENDED
    )
    return next((days for days in REACH if a_week * (days - 7) / 7 >= 2 * work_h), REACH[-1])


def _saw_now(
    look: Look, saw: SawSheet, hours: ShopHours, clock: Clock, days: int, room: Room, base: KeptWeek | None
) -> SawOnFloor:
    mounted = look.crib.mounted(saw.id)
    on = look.crib.band(mounted.band_id) if mounted is not None else None
    kinds: dict[str, list[bool]] = {}
    for band in look.crib.bands():
        if band.is_in_crib or (on is not None and band.id == on.id):
            kinds.setdefault(band.kind, []).append(band.break_in_left_cm2 > 0)
    fresh = frozenset(kind for kind, news in kinds.items() if all(news) and (on is None or on.kind != kind))
    return SawOnFloor(
        saw,
        _calendar(look, saw.id, hours, clock, days, room, base),
        room.bands.get(on.kind) if on is not None else None,
        fresh,
    )


def _calendar(
    look: Look, saw: str, hours: ShopHours, clock: Clock, days: int, room: Room, base: KeptWeek | None
) -> Calendar:
    """Hours still to come; those gone by are a stop, overtime under way is as it was asked for."""
    now = clock.tick(room.now)
    stops = [_ticks(stop, clock) for stop in hours.stops_of(saw) if stop.end > clock.moment(0)]
    standing = look.floor.open_stop(saw)
    if standing is not None:
        back = max(room.back.get(saw, room.now + USUAL_STANDSTILL), room.now + timedelta(minutes=1))
        said = f"{standing.reason}{f', {standing.note}' if standing.note else ''}"
        stops.append(Stop(now, max(now + 1, clock.tick(back)), f"{said}; expected back {back:%a %H:%M}"))
    gone_by = (Stop(0, now, GONE_BY),) if now else ()
    calendar = calendar_of(hours.of(saw), clock, days, (*stops, *gone_by), hours.away)
    opened = opened_of(base, saw)
    windows = tuple(
        window_now(window, clock.moment(window.start) in opened, now) for window in calendar.windows
    )
    return Calendar(windows, calendar.stops)


GONE_BY = "gone by"
"""Why a saw stands in hours that are over; pictures leave it out."""


def _ticks(stop: PlannedStop, clock: Clock) -> Stop:
    start = max(0, clock.tick(stop.begin))
    return Stop(start, max(start + 1, clock.tick(stop.end)), stop.why or "planned stop")


def opened_of(base: KeptWeek | None, saw: str) -> frozenset[datetime]:
    """When the overtime that is asked for begins."""
    if base is None or all(one.id != saw for one in base.problem.saws):
        return frozenset()
    windows = base.problem.saw(saw).calendar.windows
    places = base.week.opened.get(saw, ())
    return frozenset(
        base.clock.moment(windows[place].start) for place in places if windows[place].hours is Hours.OVERTIME
    )
