"""The week changed in the middle of it: what has begun stays, and as little moves as asked."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from kerfsmith.scheduling.calendar import Calendar, Hours, Stop, Window
from kerfsmith.scheduling.problem import Aim, Load, Pin, Problem, Run, Saw
from kerfsmith.scheduling.result import LoadTimes, Placement, Week


@dataclass(frozen=True, slots=True)
class News:
    """What has happened by tick ``now``.

    ``down``: stops by saw, as a breakdown from when to when. ``came`` and ``gone``: runs new and cancelled.
    ``frozen_until``: runs that the week has before that tick keep saw and order (not on a saw that is down).
    ``most_moves``: how many runs may be taken from their place, None for as many as it takes.
    """

    now: int
    down: Mapping[str, tuple[Stop, ...]] = field(default_factory=lambda: MappingProxyType({}))
    came: tuple[Run, ...] = ()
    gone: frozenset[str] = frozenset()
    frozen_until: int = 0
    most_moves: int | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """The problem of what is left of the week, and the order to begin from."""

    problem: Problem
    order: Mapping[str, tuple[str, ...]]
    finished: tuple[str, ...]


def change_week(problem: Problem, week: Week, news: News) -> Change:
    """What is left to be planned at ``news.now``, as a problem with the same ticks.

    A run whose saw had begun it, its set-up included, goes first there with the loads that are left.
    Moves are the last aim.
    """
    placed = [one for one in week.placements if one.run not in news.gone]
    finished = tuple(one.run for one in placed if one.end <= news.now)
    rows = {
        saw.id: [one for one in placed if one.saw == saw.id and one.end > news.now] for saw in problem.saws
    }
    runs = [
        _left(problem.run(one.run), one, rank, news) for row in rows.values() for rank, one in enumerate(row)
    ]
    order = {saw: tuple(one.run for one in row) for saw, row in rows.items()}
    aims = tuple(aim for aim in problem.aims if aim is not Aim.MOVES)
    return Change(
        Problem(
            runs=(*runs, *news.came),
            saws=tuple(_saw_now(saw, week, news) for saw in problem.saws),
            horizon=problem.horizon,
            crane=problem.crane,
            crews=problem.crews,
            aims=(*aims, Aim.MOVES),
            tick_s=problem.tick_s,
            previous=MappingProxyType(order),
            most_moves=news.most_moves,
        ),
        MappingProxyType(order),
        finished,
    )


def _is_settled(one: Placement, news: News) -> bool:
    """Whether it keeps its place: begun, or within the freeze on a saw that runs."""
    return one.begins < news.now or (one.begins < news.frozen_until and one.saw not in news.down)


def _left(run: Run, one: Placement, rank: int, news: News) -> Run:
    """What is left of a run, pinned where it is settled; a pinned start on a saw that is down is given up."""
    now, is_down = news.now, one.saw in news.down
    option = run.on(one.saw)
    loads = tuple(
        _rest(load, times, now)
        for load, times in zip(option.loads, one.loads, strict=True)
        if times.end > now
    )
    begun = one.start < now
    options = (replace(option, loads=loads),) if begun else run.options
    start = run.pin.start if run.pin is not None and not (begun or is_down) else None
    pin = run.pin
    if _is_settled(one, news):
        pin = Pin(one.saw, start, rank)
    elif pin is not None:
        pin = Pin(pin.saw, start)
    return replace(run, options=options, pin=pin)


def _rest(load: Load, times: LoadTimes, now: int) -> Load:
    """A load less what was done of it before ``now``."""
    done = max(0, now - times.start)
    crane = max(0, load.crane - done)
    done = max(0, done - load.crane)
    hand = max(0, load.hand - done)
    return replace(load, crane=crane, hand=hand, cut=load.cut - max(0, done - load.hand))


def _saw_now(saw: Saw, week: Week, news: News) -> Saw:
    """The saw with the band that is on it now, the hours gone by closed and its stops added."""
    band, broken_in = saw.mounted, set[str]()
    for one in sorted(week.on(saw.id), key=lambda one: one.begins):
        ready = one.start if one.set_up is None else one.set_up.end
        if ready <= news.now and one.begins < news.now:
            band = one.band
            broken_in.add(band)
    opened = week.opened.get(saw.id, ())
    windows = tuple(
        window_now(window, place in opened, news.now) for place, window in enumerate(saw.calendar.windows)
    )
    gone_by = (Stop(0, news.now, "gone by"),) if news.now else ()
    stops = (*saw.calendar.stops, *gone_by, *news.down.get(saw.id, ()))
    return replace(
        saw,
        mounted=band,
        calendar=Calendar(windows, stops),
        fresh=MappingProxyType({name: ticks for name, ticks in saw.fresh.items() if name not in broken_in}),
    )


def window_now(window: Window, opened: bool, now: int) -> Window:
    """Overtime asked for that has begun is paid whatever comes; of what wasn't asked for the rest still can
    be.
    """
    if window.hours is not Hours.OVERTIME or window.start >= now:
        return window
    if opened:
        return replace(window, hours=Hours.ATTENDED)
    return replace(window, hours=Hours.UNATTENDED) if window.end <= now else replace(window, start=now)


def pinned(problem: Problem, run: str, pin: Pin | None) -> Problem:
    """``problem`` with one run pinned, or set free."""
    return _with_run(problem, run, lambda one: replace(one, pin=pin))


def refused(problem: Problem, run: str, saw: str) -> Problem:
    """``problem`` with one saw refused to a run. Raises InvalidValue where that leaves it none."""

    def without(one: Run) -> Run:
        options = [option for option in one.options if option.saw != saw]
        pin = None if one.pin is not None and one.pin.saw == saw else one.pin
        return replace(one, options=tuple(options), pin=pin)

    return _with_run(problem, run, without)


def _with_run(problem: Problem, name: str, change: Callable[[Run], Run]) -> Problem:
    runs = (change(run) if run.id == name else run for run in problem.runs)
    return replace(problem, runs=tuple(runs))
