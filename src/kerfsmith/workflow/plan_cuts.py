"""Planning the cuts: lines on the book, from the rack, kept as the shop's newest plan."""

from collections.abc import Callable, Sequence
from datetime import datetime

from kerfsmith.planning.make_plan import GroupRunner, GroupTask, make_plan
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.workflow.ports import Records


def plan_cuts(
    records: Records,
    tasks: Sequence[GroupTask],
    run: GroupRunner,
    *,
    order_ids: Sequence[str],
    plan_id: str,
    name: str,
    seed: int,
    by: str,
    at: datetime,
    on_group: Callable[[int, PlanGroup], None] | None = None,
) -> Plan:
    """Plan ``tasks`` (the groups of the orders ``order_ids``) and keep the plan."""
    plan = make_plan(tasks, run, plan_id=plan_id, name=name, seed=seed, on_group=on_group)
    detail = {"groups": len(plan.groups), "pieces": plan.pieces_planned, "bars": plan.bars_used}
    with records.change("plan cuts", by=by, at=at, subject=plan_id, detail=detail) as change:
        change.save_plan(plan, order_ids)
    return plan
