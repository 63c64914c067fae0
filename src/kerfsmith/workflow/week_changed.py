"""What has changed since the week in force was made, so that a person knows when to make it anew."""

from datetime import datetime, timedelta

from kerfsmith.planning.plan import Plan
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.units.told import Told, sentence
from kerfsmith.workflow.ports import Look

LONG = timedelta(hours=4)
"""A week reckoned so long ago should be made anew: what was cut since then is not in it."""


def what_changed(look: Look, plan: Plan | None, week: KeptWeek, now: datetime) -> tuple[str, ...]:
    """Sentences: another plan, a long time gone by, and saws that stand or run again."""
    told = []
    if plan is not None and plan.id != week.plan_id:
        told.append(Told("The orders were planned anew since this week was made."))
    if now - week.clock.moment(week.now) > LONG:
        told.append(Told("This week was reckoned hours ago, and what was cut since then is not in it."))
    for saw in week.problem.saws:
        name = saw.name or saw.id
        stop = look.floor.open_stop(saw.id)
        if stop is not None and saw.id not in week.standing:
            told.append(
                sentence(
                    "{name} stands ({reason}), and this week doesn't know of it.",
                    name=name,
                    reason=stop.reason,
                )
            )
        if stop is None and saw.id in week.standing:
            told.append(sentence("{name} runs again; this week still waits for it.", name=name))
    return tuple(told)
