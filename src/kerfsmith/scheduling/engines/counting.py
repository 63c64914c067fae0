"""Proofs by counting: hours and changes that no week can do without, and the soonest that all can be done."""

from collections.abc import Iterable

from kerfsmith.scheduling.problem import Problem, Run
from kerfsmith.scheduling.wanted import wanted_of, with_one_due


def least_changes(problem: Problem) -> int:
    """Each band that some run needs wherever it goes, and that is on none of those saws, is mounted at
    least once.
    """
    return len(_bands_to_mount(problem))


def least_hours(problem: Problem) -> int:
    """Every run at its quickest saw, and each band that must be mounted at its quickest."""
    work = sum(min(option.ticks for option in run.open_options) for run in problem.runs)
    return work + sum(_bands_to_mount(problem).values())


def _bands_to_mount(problem: Problem) -> dict[str, int]:
    """Bands that must be mounted, each with the least ticks that takes."""
    mounted = {saw.id: saw.mounted for saw in problem.saws}
    found: dict[str, int] = {}
    for run in problem.runs:
        wanted = {option.band for option in run.open_options}
        if len(wanted) != 1:
            continue
        (band,) = wanted
        if all(mounted[option.saw] != band for option in run.open_options):
            found.setdefault(band, _least_mounting(problem, band))
    return found


def _least_mounting(problem: Problem, band: str) -> int:
    ticks = []
    for saw in problem.saws:
        uses = {option.band for run in problem.runs for option in run.open_options if option.saw == saw.id}
        if band in uses and saw.mounted != band:
            before = (uses | {saw.mounted}) - {band}
            ticks.append(min(saw.set_up(one, band) for one in before) + saw.fresh.get(band, 0))
    return min(ticks, default=0)


def soonest(problem: Problem, runs: Iterable[Run]) -> int:
    """The first tick by which the saws' hours, all overtime asked for, hold the quickest loads of ``runs``.

    No such tick up to the horizon: the horizon.
    """
    wanted = list(runs)
    alone = max((_alone(run) for run in wanted), default=0)
    needed = sum(min(option.ticks for option in run.open_options) for run in wanted)
    first = min((run.release for run in wanted), default=0)
    edges: list[tuple[int, int]] = [(problem.horizon, 0)]
    for saw in problem.saws:
        for span in saw.calendar.running(saw.calendar.overtime):
            if span.end > first:
                edges += [(max(span.start, first), 1), (span.end, -1)]
    done, open_saws, before = 0, 0, first
    for tick, step in sorted(edges):
        more = open_saws * (tick - before)
        if open_saws and done + more >= needed:
            return max(alone, before - (done - needed) // open_saws)
        done, before = done + more, tick
        open_saws += step
    return problem.horizon if needed else first


def _alone(run: Run) -> int:
    """No run ends before its release and its quickest loads."""
    return run.release + min(option.ticks for option in run.open_options)


def least_makespan(problem: Problem) -> int:
    """All runs in all the hours there are."""
    return soonest(problem, problem.runs)


def least_lateness(problem: Problem) -> int:
    """For each due time: what is due by then, in all the hours there are; the worst of them.

    Pieces with a due time of their own count as `wanted.with_one_due` leaves them.
    """
    loose = with_one_due(problem)
    owed = sorted((run for run in loose.runs if run.due is not None), key=lambda run: run.due or 0)
    if not owed and any(wanted_of(run, option) for run in problem.runs for option in run.options):
        return -problem.horizon
    return max(
        (soonest(problem, owed[: place + 1]) - (run.due or 0) for place, run in enumerate(owed)), default=0
    )
