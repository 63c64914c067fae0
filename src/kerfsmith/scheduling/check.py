"""The week's referee: knows the problem and the week, and nothing of how the week was found.

Everything is recounted here from the ticks of set-ups and loads; no engine's code is used.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import WHOLE_PERSON, Aim, Problem, Run, Saw
from kerfsmith.scheduling.result import Placement, Week


def faults(problem: Problem, week: Week) -> tuple[str, ...]:
    """Everything wrong with ``week``, nothing for a sound one.

    Checked: each run once, on a saw that may take it, its loads whole and in order; no two things at a
    time on a saw; hours and stops; set-ups where the band changes; crane and people; pins; every aim
    recounted, and no bound above what was reached.
    """
    if not week.placements:
        return () if week.reasons or not problem.runs else ("no week, and no reason why",)
    wrong = [*_counted(problem, week)]
    if wrong:
        return tuple(wrong)
    for saw in problem.saws:
        row = sorted((one for one in week.placements if one.saw == saw.id), key=lambda one: one.start)
        wrong += _row(problem, saw, row, week.opened.get(saw.id, ()))
    wrong += _crane(problem, week)
    wrong += _people(problem, week)
    wrong += _aims(problem, week)
    if problem.most_moves is not None and _moved(problem, week) > problem.most_moves:
        wrong.append(
            f"{_moved(problem, week)} runs were taken from their place, {problem.most_moves} allowed"
        )
    return tuple(wrong)


def _counted(problem: Problem, week: Week) -> Iterator[str]:
    count = Counter(one.run for one in week.placements)
    known = {run.id for run in problem.runs}
    for name in count.keys() - known:
        yield f"run {name} isn't in the problem"
    for run in problem.runs:
        if count[run.id] != 1:
            yield f"run {run.id} stands in the week {count[run.id]} times"
    for one in week.placements:
        if one.run not in known:
            continue
        run = problem.run(one.run)
        option = next((option for option in run.options if option.saw == one.saw), None)
        if option is None:
            yield f"run {run.id} can't go on saw {one.saw}"
        elif option.band != one.band or len(option.loads) != len(one.loads):
            yield f"run {run.id} on saw {one.saw} has another band or other loads than it needs"
    for name, places in week.opened.items():
        overtime = {saw.id: saw.calendar.overtime for saw in problem.saws}.get(name)
        if overtime is None or not set(places) <= set(overtime) or len(set(places)) != len(places):
            yield f"saw {name} has no such overtime to ask for"


def _row(problem: Problem, saw: Saw, row: list[Placement], opened: Iterable[int]) -> Iterator[str]:
    """One saw's week from its first run to its last."""
    attended, running = saw.calendar.attended(opened), saw.calendar.running(opened)
    band, used = saw.mounted, set[str]()
    for place, one in enumerate(row):
        run = problem.run(one.run)
        yield from _run(run, one, place, attended, running)
        yield from _set_up(saw, one, band, one.band in used, attended)
        band = one.band
        used.add(band)
    for before, after in pairwise(row):
        if after.begins < before.end:
            yield f"saw {saw.id}: run {after.run} begins before {before.run} ends, at {after.begins}"


def _run(
    run: Run, one: Placement, place: int, attended: tuple[Span, ...], running: tuple[Span, ...]
) -> Iterator[str]:
    option = run.on(one.saw)
    free = run.release
    for load, times in zip(option.loads, one.loads, strict=True):
        parts = (
            times.crane_until - times.start,
            times.hand_until - times.crane_until,
            times.end - times.hand_until,
        )
        if parts != (load.crane, load.hand, load.cut):
            yield f"run {run.id}: a load takes {parts} ticks"
        if times.start < free:
            yield f"run {run.id}: a load comes at {times.start}, before {free}"
        manned = times.hand_until if run.unattended.allowed else times.end
        if manned > times.start and not _inside(times.start, manned, attended):
            yield f"run {run.id}: nobody is there from {times.start} to {manned}"
        if not _inside(times.start, times.end, running):
            yield f"run {run.id}: the saw stands between {times.start} and {times.end}"
        free = times.end
    if run.pin is not None:
        if run.pin.saw != one.saw:
            yield f"run {run.id} is pinned to saw {run.pin.saw}"
        if run.pin.start is not None and run.pin.start != one.start:
            yield f"run {run.id} is pinned to {run.pin.start} and starts at {one.start}"
        if run.pin.rank is not None and run.pin.rank != place:
            yield f"run {run.id} is settled as number {run.pin.rank} on its saw and stands at {place}"


def _set_up(saw: Saw, one: Placement, band: str, used: bool, attended: tuple[Span, ...]) -> Iterator[str]:
    break_in = 0 if used else saw.fresh.get(one.band, 0)
    needed = saw.set_ups.get((band, one.band), 0) + break_in
    found = one.set_up
    if found is None:
        if needed:
            yield f"run {one.run}: no set-up from band {band or 'none'} to {one.band}"
        return
    if found.end - found.start != needed or (found.before, found.after) != (band, one.band):
        yield f"run {one.run}: set up in {found.end - found.start} ticks, {needed} needed"
    if found.changes != (band != one.band) or found.break_in != break_in:
        yield f"run {one.run}: its set-up says another change or breaking in than there is"
    if found.end > one.start or not _inside(found.start, found.end, attended):
        yield f"run {one.run}: set up from {found.start} to {found.end}, outside of hours or after its start"


def _inside(start: int, end: int, spans: Iterable[Span]) -> bool:
    return any(span.start <= start and end <= span.end for span in spans)


def _crane(problem: Problem, week: Week) -> Iterator[str]:
    if problem.crane is None:
        return
    uses = [(load.start, load.crane_until, 1) for one in week.placements for load in one.loads]
    for tick, busy in _profile(uses):
        if busy > problem.crane:
            yield f"{busy} loads hang on {problem.crane} crane at {tick}"


def _people(problem: Problem, week: Week) -> Iterator[str]:
    if not problem.crews:
        return
    uses: list[tuple[int, int, int]] = [
        (crew.start, crew.end, -crew.people * WHOLE_PERSON) for crew in problem.crews
    ]
    for one in week.placements:
        run = problem.run(one.run)
        tending = 0 if run.unattended.allowed else run.on(one.saw).tending
        if one.set_up is not None:
            uses.append((one.set_up.start, one.set_up.end, WHOLE_PERSON))
        for load in one.loads:
            uses.append((load.start, load.hand_until, WHOLE_PERSON))
            uses.append((load.hand_until, load.end, tending))
    for tick, wanting in _profile(uses):
        if wanting > 0:
            yield f"{wanting / WHOLE_PERSON:g} people too few at {tick}"


def _profile(uses: Iterable[tuple[int, int, int]]) -> Iterator[tuple[int, int]]:
    """Ticks at which the sum of all uses changes, and the sum from there on."""
    steps: dict[int, int] = {}
    for start, end, amount in uses:
        if start < end:
            steps[start] = steps.get(start, 0) + amount
            steps[end] = steps.get(end, 0) - amount
    total = 0
    for tick in sorted(steps):
        total += steps[tick]
        yield tick, total


def _aims(problem: Problem, week: Week) -> Iterator[str]:
    if tuple(one.aim for one in week.aims) != problem.aims:
        yield "the aims aren't those of the problem"
        return
    for one in week.aims:
        value = _value(one.aim, problem, week)
        if value != one.value:
            yield f"{one.aim.name}: {one.value} said, {value} counted"
        if one.bound is not None and one.bound > value:
            yield f"{one.aim.name}: bound {one.bound} above {value}"


def _value(aim: Aim, problem: Problem, week: Week) -> int:
    ends = {one.run: one.end for one in week.placements}
    owed = [pair for one in week.placements for pair in _owed(problem.run(one.run), one)]
    match aim:
        case Aim.TARDINESS:
            return sum(weight * late for weight, late in owed if late > 0)
        case Aim.LATE:
            return sum(weight for weight, late in owed if late > 0)
        case Aim.MAX_LATENESS:
            return max((late for _, late in owed), default=0)
        case Aim.COMPLETION:
            return sum(run.weight * ends[run.id] for run in problem.runs)
        case Aim.MAKESPAN:
            return max(ends.values())
        case Aim.HOURS:
            return _worked(week) + _paid(problem, week)
        case Aim.CHANGES:
            return _changes(problem, week)
        case Aim.MOVES:
            return _moved(problem, week)


def _owed(run: Run, one: Placement) -> Iterator[tuple[int, int]]:
    """Pieces and the ticks they are late: each load's by their own dues, else all by the run's."""
    by_load = [
        (wanted.pieces, times.end - wanted.due)
        for load, times in zip(run.on(one.saw).loads, one.loads, strict=True)
        for wanted in load.wanted
    ]
    if by_load:
        yield from by_load
    elif run.due is not None and run.weight:
        yield run.weight, max(times.end for times in one.loads) - run.due


def _worked(week: Week) -> int:
    loads = sum(load.end - load.start for one in week.placements for load in one.loads)
    return loads + sum(one.set_up.end - one.set_up.start for one in week.placements if one.set_up is not None)


def _paid(problem: Problem, week: Week) -> int:
    windows = {saw.id: saw.calendar.windows for saw in problem.saws}
    return sum(
        windows[saw][place].end - windows[saw][place].start
        for saw, places in week.opened.items()
        for place in places
    )


def _changes(problem: Problem, week: Week) -> int:
    changes = 0
    for saw in problem.saws:
        band = saw.mounted
        for one in sorted(week.placements, key=lambda one: one.start):
            if one.saw == saw.id:
                changes += one.band != band
                band = one.band
    return changes


def _moved(problem: Problem, week: Week) -> int:
    """Runs that stand neither on their old saw nor, there, in the longest row still in its old order.

    The row is found by looking at every pair of runs: slower than the engines do it, and unlike it.
    """
    placed = {one.run: one for one in week.placements}
    moved = 0
    for saw, names in problem.previous.items():
        here = [name for name in names if name in placed]
        stayed: dict[str, int] = {}
        for name in here:
            if placed[name].saw == saw:
                before = [stayed[other] for other in stayed if placed[other].start < placed[name].start]
                stayed[name] = 1 + max(before, default=0)
        moved += len(here) - max(stayed.values(), default=0)
    return moved
