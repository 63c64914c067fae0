"""What the page of a planning job shows."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.planning.plan import PlanStatus
from kerfsmith.web.backstage import GroupProgress, JobState, PlanJob
from kerfsmith.web.drawing.svg import element, percent
from kerfsmith.web.pages.plan.words import cost_words
from kerfsmith.web.reading import seconds, share
from kerfsmith.web.sheet import glyph, link
from kerfsmith.web.words import retell, say, say_many

_MARK = {
    JobState.WAITING: "waiting",
    JobState.RUNNING: "busy",
    JobState.STOPPING: "busy",
    JobState.DONE: "done",
    JobState.FAILED: "cannot",
}
_STANDING = {
    PlanStatus.GOOD.value: "good",
    PlanStatus.BEST.value: "best",
    PlanStatus.SHORT.value: "short",
    PlanStatus.CANNOT.value: "cannot",
    PlanStatus.OPEN.value: "cannot",
}
"""Marks of a group that is planned, the same as on the plan's page."""


@dataclass(frozen=True, slots=True)
class ProgressRow:
    """One group of the job."""

    mark: Markup
    state: str
    name: str
    pieces: str
    found: str


@dataclass(frozen=True, slots=True)
class JobPage:
    """The job; ``goes_on`` says whether the page should look again."""

    href: str
    stop_href: str
    goes_on: bool
    can_stop: bool
    failed: bool
    words: str
    clock: str
    meter: Markup
    rows: tuple[ProgressRow, ...]
    problem: str


def job_page(job: PlanJob) -> JobPage:
    """The job as it stands."""
    done = sum(group.state.is_over for group in job.groups)
    return JobPage(
        href=link("planning", job.id),
        stop_href=f"{link('planning', job.id)}/stop",
        goes_on=not job.state.is_over,
        can_stop=job.state in (JobState.WAITING, JobState.RUNNING),
        failed=job.state is JobState.FAILED,
        words=_words(job, done),
        clock=seconds(job.seconds),
        meter=_meter(done, len(job.groups)),
        rows=tuple(map(_row, job.groups)),
        problem=job.problem,
    )


def _words(job: PlanJob, done: int) -> str:
    of_all = say(
        "{done} of {groups} planned", done=done, groups=say_many("1 group", "{count} groups", len(job.groups))
    )
    return {
        JobState.WAITING: say("Waiting to begin."),
        JobState.RUNNING: f"{of_all}.",
        JobState.STOPPING: say("Stopping with the best found so far: {of_all}.", of_all=of_all),
        JobState.DONE: say("Done: {of_all}.", of_all=of_all),
        JobState.FAILED: say("The planning failed; the plan before it stays."),
    }[job.state]


def _row(group: GroupProgress) -> ProgressRow:
    return ProgressRow(
        mark=glyph(_STANDING.get(group.words, _MARK[group.state])),
        state=retell(group.words) or say(str(group.state)),
        name=f"{group.grade} · {group.section}",
        pieces=say_many("1 piece", "{count} pieces", group.pieces),
        found=_found(group),
    )


def _found(group: GroupProgress) -> str:
    if group.bars is None:
        return ""
    told = say_many("1 bar", "{count} bars", group.bars)
    if group.cost and group.bound is not None:
        gap = max(0.0, (group.cost - group.bound) / group.cost)
        if group.cost_unit:
            told = say("{bars}, {cost}", bars=told, cost=cost_words(group.cost, group.cost_unit))
        if gap >= 5e-5:
            told = say("{bars}, at most {gap} above the best possible", bars=told, gap=share(gap, 2))
    return told


def _meter(done: int, whole: int) -> Markup:
    """A strip that fills, beside the words that say the same."""
    return element(
        "svg",
        element("rect", x=1, y=1, width="99.8%", height=16, class_="whole"),
        element(
            "rect", x=1, y=1, width=percent(0.998 * done / whole if whole else 0.0), height=16, class_="done"
        ),
        class_="meter",
        aria_hidden="true",
    )
