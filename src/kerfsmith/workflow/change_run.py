"""Changing a run while it is cut: quantity or length of lines, and the rest of it replanned at once."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import PlanGroup, PlannedBar, Unplanned
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import RunLine
from kerfsmith.units.told import Told
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.at_work import run_at_work
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused
from kerfsmith.workflow.replanning import LineChange, Rest, rest_of_run

Replan = Callable[[GroupTask], PlanGroup]
"""Plans one group on the saw of the run: the pieces still wanted, from the bars that are free."""

TRIES = 8
"""How often a run is planned again because bars were loaded or cut while it was planned."""


@dataclass(frozen=True, slots=True)
class ChangeRun:
    """New quantities or lengths of lines of a run; with no changes the rest is planned again as it is."""

    run_id: str
    changes: tuple[LineChange, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class RunChanged:
    """What changed: lines and waiting bars before and after, labels of bars in the saw with other pieces now.

    ``unplanned`` are pieces that no free bar is left for.
    """

    run_id: str
    revision: int
    lines_before: tuple[RunLine, ...]
    lines_after: tuple[RunLine, ...]
    bars_before: tuple[PlannedBar, ...]
    bars_after: tuple[PlannedBar, ...]
    bars_in_saw_changed: tuple[str, ...]
    unplanned: tuple[Unplanned, ...]
    notes: tuple[Told, ...]


class _Overtaken(Exception):
    """The run is no longer as it was when its rest was planned."""


def change_run(
    records: Records,
    told: ChangeRun,
    replan: Replan,
    *,
    by: Person,
    at: datetime,
    event: EventMark | None = None,
) -> RunChanged | Refusal:
    """Change lines of a run and plan anew what isn't loaded yet. What is cut stays cut and counts.

    A bar in the saw keeps its pieces, those of a changed line in the new length where they fit. Planning goes
    on outside the transaction, so that no panel waits for it, and is done again if the run went on meanwhile.
    Refused: fewer pieces wanted than are good already; a run that goes on faster than it can be planned.
    """
    for _ in range(TRIES):
        try:
            rest, group = _plan_rest(records, told, replan, by)
            return act(
                records,
                Verb.CHANGE_RUN,
                lambda change, rest=rest, group=group: _keep(change, told, rest, group),  # type: ignore[misc]
                answer_as=RunChanged,
                told=told,
                subject=told.run_id,
                by=by,
                at=at,
                event=event,
            )
        except _Overtaken:
            continue
    return Refusal(
        "overtaken", "the run went on while it was planned", "Stop the saw and change the run again"
    )


def _plan_rest(
    records: Records, told: ChangeRun, replan: Replan, by: Person
) -> tuple[Rest | None, PlanGroup | None]:
    """The rest of the run and its plan; nothing where the verb will be refused anyway."""
    if not may(by.role, Verb.CHANGE_RUN):
        return None, None
    try:
        with records.look() as look:
            run = look.floor.run(told.run_id)
            rest = rest_of_run(look.floor, run, told.changes) if run is not None else None
    except Refused:
        return None, None
    return rest, replan(rest.task) if rest is not None and rest.task is not None else None


def _keep(change: Change, told: ChangeRun, rest: Rest | None, group: PlanGroup | None) -> RunChanged:
    floor = change.floor
    run = run_at_work(floor, told.run_id)
    floor.hold_rack(run.grade, run.section.key)
    if rest_of_run(floor, run, told.changes) != rest or rest is None:
        raise _Overtaken
    if group is not None and group.bars and group.saw != run.saw:
        raise ValueError(f"run {run.id} is at saw {run.saw}, replanned for {group.saw}")
    before = tuple(one for one in floor.planned(run.id) if one.waiting > 0)
    lines_before = floor.lines(run.id)
    for line in rest.lines:
        floor.put_line(line)
    for bar_id, pattern in rest.patterns:
        floor.set_pattern(bar_id, pattern)
    bars = group.bars if group is not None else ()
    floor.revise_run(run.id, run.revision + 1, bars)
    return RunChanged(
        run_id=run.id,
        revision=run.revision + 1,
        lines_before=lines_before,
        lines_after=floor.lines(run.id),
        bars_before=tuple(one.planned for one in before),
        bars_after=bars,
        bars_in_saw_changed=rest.changed_labels,
        unplanned=group.unplanned if group is not None else (),
        notes=group.notes if group is not None else (),
    )
