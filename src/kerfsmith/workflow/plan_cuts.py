"""Planning the cuts: lines on the book, from the rack, kept as the shop's newest plan."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.planning.make_plan import GroupRunner, make_plan
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.planning.tasks import Task
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class CutsPlanned:
    """How large the plan is."""

    groups: int
    pieces: int
    bars: int


def plan_cuts(
    records: Records,
    tasks: Sequence[Task],
    run: GroupRunner,
    *,
    order_ids: Sequence[str],
    plan_id: str,
    name: str,
    seed: int,
    by: Person,
    at: datetime,
    on_group: Callable[[int, PlanGroup], None] | None = None,
) -> Plan | Refusal:
    """Plan ``tasks`` (the groups of the orders ``order_ids``) and keep the plan."""
    # Whoever may not keep a plan is not made to wait for one.
    wanted = tasks if may(by.role, Verb.PLAN_CUTS) else ()
    plan = make_plan(wanted, run, plan_id=plan_id, name=name, seed=seed, on_group=on_group)
    planned = CutsPlanned(len(plan.groups), plan.pieces_planned, plan.bars_used)

    def body(change: Change) -> CutsPlanned:
        change.save_plan(plan, order_ids)
        return planned

    answer = act(
        records, Verb.PLAN_CUTS, body, answer_as=CutsPlanned, told=planned, subject=plan_id, by=by, at=at
    )
    return answer if isinstance(answer, Refusal) else plan
