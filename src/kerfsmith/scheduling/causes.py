"""Why a run is late: where the time went between its release and its end, and which of it made it late."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.scheduling.problem import Problem
from kerfsmith.scheduling.result import Placement, Week
from kerfsmith.scheduling.score import lateness
from kerfsmith.scheduling.wanted import wanted_of
from kerfsmith.units.told import Told, sentence

Ticks = tuple[int, int]


class Blame(StrEnum):
    """What can make a run late."""

    DUE = "the due time itself"
    STOP = "a stop"
    WAIT = "waiting for crane or people"
    BAND = "band changes"
    LOAD = "work ahead of it"
    HOURS = "hours in which the saw stands"


@dataclass(frozen=True, slots=True)
class Cause:
    """One late run: ticks late, what is to blame first, and how many ticks each kind took.

    ``ticks`` of all kinds but DUE, and the run's own work, add up to the time from its release to the end of
    the load whose pieces are the latest.
    """

    run: str
    saw: str
    late: int
    blame: Blame
    ticks: dict[Blame, int]
    ahead: tuple[str, ...]
    """Runs that were worked at on its saw meanwhile, the longest first."""
    text: Told


def causes(problem: Problem, week: Week, *, since: int = 0) -> tuple[Cause, ...]:
    """Every late run's cause, the latest first. ``since`` is the tick from which the week could be
    planned.
    """
    found = []
    for one in week.placements:
        late = lateness(problem, one)
        if late is not None and late > 0:
            found.append(_cause(problem, week, one, late, since))
    return tuple(sorted(found, key=lambda cause: (-cause.late, cause.run)))


def _cause(problem: Problem, week: Week, one: Placement, late: int, since: int) -> Cause:
    run, saw = problem.run(one.run), problem.saw(one.saw)
    option = run.on(one.saw)
    worst, owed = max(wanted_of(run, option), key=lambda pair: one.loads[pair[0]].end - pair[1].due)
    first, last = max(run.release, since), one.loads[worst].end
    before = [other for other in week.on(one.saw) if other.begins < one.begins]
    ahead = {other.run: _within(_worked(other), first, last) for other in before}
    set_ups = _set_ups([*before, one])
    busy = [span for other in [*before, one] for span in _worked(other)]
    idle = _minus([(first, last)], [*busy, *set_ups])
    stops = [(stop.start, stop.end) for stop in saw.calendar.stops if stop.end > since]
    windows = [(window.start, window.end) for window in saw.calendar.windows]
    attended = [(span.start, span.end) for span in saw.calendar.attended(week.opened.get(saw.id, ()))]
    stands = _overlap(_overlap(idle, stops), windows)
    waits = _overlap(_minus(idle, stops), attended)
    ticks = {
        Blame.STOP: _within(stands, first, last),
        Blame.WAIT: _within(waits, first, last),
        Blame.BAND: _within(set_ups, first, last),
        Blame.LOAD: sum(ahead.values()),
    }
    ticks[Blame.HOURS] = _within(idle, first, last) - ticks[Blame.STOP] - ticks[Blame.WAIT]
    own = sum(load.ticks for load in option.loads[: worst + 1])
    could = _within(windows, first, owed.due) if first < owed.due else 0
    blame = Blame.DUE if could < own else _blame(ticks, late)
    names = tuple(name for name, took in sorted(ahead.items(), key=lambda pair: -pair[1]) if took)
    text = _words(saw.name or saw.id, blame, ticks, late, names, problem)
    return Cause(one.run, one.saw, late, blame, ticks, names, text)


def _blame(ticks: dict[Blame, int], late: int) -> Blame:
    """The rarest that alone explains the lateness; else what took most."""
    for blame in (Blame.STOP, Blame.WAIT, Blame.BAND):
        if ticks[blame] >= late:
            return blame
    return max((Blame.LOAD, Blame.BAND, Blame.STOP, Blame.WAIT, Blame.HOURS), key=lambda blame: ticks[blame])


def _worked(one: Placement) -> list[Ticks]:
    return [(load.start, load.end) for load in one.loads]


def _set_ups(row: Iterable[Placement]) -> list[Ticks]:
    return [(one.set_up.start, one.set_up.end) for one in row if one.set_up is not None]


def _within(spans: Iterable[Ticks], first: int, last: int) -> int:
    return sum(max(0, min(end, last) - max(start, first)) for start, end in spans)


def _overlap(spans: Iterable[Ticks], others: Iterable[Ticks]) -> list[Ticks]:
    wanted = list(others)
    return [
        (max(start, one), min(end, two))
        for start, end in spans
        for one, two in wanted
        if max(start, one) < min(end, two)
    ]


def _minus(spans: Iterable[Ticks], taken: Iterable[Ticks]) -> list[Ticks]:
    """``spans`` without what is ``taken``."""
    left = list(spans)
    for first, last in taken:
        left = [
            part
            for start, end in left
            for part in ((start, min(end, first)), (max(start, last), end))
            if part[0] < part[1]
        ]
    return left


def _words(
    saw: str, blame: Blame, ticks: dict[Blame, int], late: int, ahead: tuple[str, ...], problem: Problem
) -> Told:
    def hours(count: int) -> str:
        return f"{count * problem.tick_s / 3600:.1f} h"

    tail = sentence("it ends {late} late", late=hours(late))
    match blame:
        case Blame.DUE:
            return sentence(
                "{tail}: from its release to its due time {saw} has fewer hours than it takes",
                tail=tail,
                saw=saw,
            )
        case Blame.STOP:
            return sentence(
                "{tail}: {saw} stands for {hours} in hours in which it could cut",
                tail=tail,
                saw=saw,
                hours=hours(ticks[blame]),
            )
        case Blame.WAIT:
            return sentence(
                "{tail}: {saw} waits {hours} for crane or people",
                tail=tail,
                saw=saw,
                hours=hours(ticks[blame]),
            )
        case Blame.BAND:
            return sentence(
                "{tail}: changing bands on {saw} takes {hours} of the time before it is done",
                tail=tail,
                saw=saw,
                hours=hours(ticks[blame]),
            )
        case Blame.LOAD:
            first = ", ".join(_label(problem, name) for name in ahead[:3])
            return sentence(
                "{tail}: {saw} has {hours} of other work before it, most for {first}",
                tail=tail,
                saw=saw,
                hours=hours(ticks[blame]),
                first=first,
            )
        case Blame.HOURS:
            return sentence(
                "{tail}: {saw} stands for {hours} outside of its hours",
                tail=tail,
                saw=saw,
                hours=hours(ticks[blame]),
            )


def _label(problem: Problem, name: str) -> str:
    return problem.run(name).label or name
