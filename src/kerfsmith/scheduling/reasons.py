"""Why there is no week, where there is none."""

from dataclasses import dataclass

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import Load, Option, Problem, Run
from kerfsmith.units.told import Told, joined, sentence


@dataclass(frozen=True, slots=True)
class WhyNot:
    """Sentences for people; ``proven`` is whether any of them alone rules every week out."""

    texts: tuple[Told, ...]
    proven: bool


def why_not(problem: Problem) -> WhyNot:
    """Runs that no hours hold, pins that can't be kept, and hours too few; else that none was found."""
    sure = [text for run in problem.runs if (text := _no_hours(problem, run))]
    short = _hours_short(problem)
    sure += [short] if short else []
    if sure:
        return WhyNot(tuple(sure), True)
    pins = [run for run in problem.runs if run.pin is not None and run.pin.start is not None]
    if pins:
        names = ", ".join(run.label or run.id for run in pins)
        return WhyNot(
            (
                sentence(
                    "no week was found that keeps every pinned start ({names}); take a pin out", names=names
                ),
            ),
            False,
        )
    return WhyNot((Told("no week was found that ends before the calendar does; give it more hours"),), False)


def _no_hours(problem: Problem, run: Run) -> Told:
    """Why no saw has hours for ``run``, empty where one has."""
    failed = [text for option in run.open_options if (text := _option_fails(problem, run, option))]
    return joined("; ", failed) if len(failed) == len(run.open_options) else Told()


def _option_fails(problem: Problem, run: Run, option: Option) -> Told:
    saw, name = problem.saw(option.saw), run.label or run.id
    title = saw.name or saw.id
    attended = saw.calendar.attended(saw.calendar.overtime)
    running = saw.calendar.running(saw.calendar.overtime)
    for load in option.loads:
        if not _fits(load, run, attended, running):
            return sentence(
                "{name}: {title} has no stretch of hours that holds a load of {ticks} ticks",
                name=name,
                title=title,
                ticks=load.ticks,
            )
    if run.pin is not None and run.pin.start is not None:
        first, at = option.loads[0], run.pin.start
        manned = at + first.crane + first.hand + (0 if run.unattended.allowed else first.cut)
        if (
            at < run.release
            or not _inside(at, manned, attended)
            or not _inside(at, at + first.ticks, running)
        ):
            return sentence(
                "{name}: {title} can't begin at the tick it is pinned to, {at}", name=name, title=title, at=at
            )
    return Told()


def _fits(load: Load, run: Run, attended: tuple[Span, ...], running: tuple[Span, ...]) -> bool:
    manned = load.crane + load.hand + (0 if run.unattended.allowed else load.cut)
    for span in running:
        starts = [max(span.start, one.start, run.release) for one in attended if one.end > span.start]
        for start in starts if manned else [max(span.start, run.release)]:
            if _inside(start, start + manned, attended) and start + load.ticks <= span.end:
                return True
    return False


def _inside(start: int, end: int, spans: tuple[Span, ...]) -> bool:
    return start == end or any(span.start <= start and end <= span.end for span in spans)


def _hours_short(problem: Problem) -> Told:
    """Whether all hours together are too few for all runs at their quickest."""
    needed = sum(min(option.ticks for option in run.open_options) for run in problem.runs)
    there = sum(span.ticks for saw in problem.saws for span in saw.calendar.running(saw.calendar.overtime))
    if needed <= there:
        return Told()
    return sentence(
        "the runs take {needed} ticks at their quickest, the saws have {there}", needed=needed, there=there
    )
