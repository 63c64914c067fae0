"""What has changed since the week in force was made, so that a person knows when to make it anew."""

from kerfsmith.planning.plan import Plan
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.workflow.ports import Look


def what_changed(look: Look, plan: Plan | None, week: KeptWeek) -> tuple[str, ...]:
    """Sentences: another plan, and saws that stand or run again."""
    told = []
    if plan is not None and plan.id != week.plan_id:
        told.append("The orders were planned anew since this week was made.")
    for saw in week.problem.saws:
        name = saw.name or saw.id
        stop = look.floor.open_stop(saw.id)
        if stop is not None and saw.id not in week.standing:
            told.append(f"{name} stands ({stop.reason}), and this week doesn't know of it.")
        if stop is None and saw.id in week.standing:
            told.append(f"{name} runs again; this week still waits for it.")
    return tuple(told)
