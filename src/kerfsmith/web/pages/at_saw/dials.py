"""What is dialled in at the saw, angle by angle, and how many bars wait."""

from collections.abc import Sequence

from kerfsmith.shop.rack import BarKind
from kerfsmith.web.floor_stage import RunOnFloor
from kerfsmith.web.pages.at_saw.steps import Step, angle_key
from kerfsmith.web.pages.at_saw.view import AngleDials
from kerfsmith.web.reading import Reading
from kerfsmith.web.settings import Dial, angle_words, short_dials
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.floor_ports import PlannedAt

MOST_WAITING = 24
"""Planned bars that a panel lists and keeps for when there is no network; further ones come as it goes on."""


def angle_dials(run: RunOnFloor, step: Step | None, reading: Reading) -> tuple[AngleDials, ...]:
    """The dials of every head angle of the run; shown are those of the cuts that come next."""
    settings = run.sheet.group.settings
    known = [angle_key(setting.angle_deg) for setting in settings]
    wanted = [angle for angle in (step.angles if step else ()) if angle in known] or known[:1]
    return tuple(
        AngleDials(
            key,
            angle_words(setting.angle_deg) if len(known) > 1 else "",
            (*short_dials(setting, reading), _coolant(run)),
            key in wanted,
        )
        for key, setting in zip(known, settings, strict=True)
    )


def _coolant(run: RunOnFloor) -> Dial:
    """What the grade's table advises, as far as the saw has it."""
    if run.coolant == "flood" and run.saw is not None and not run.saw.coolant:
        return Dial(say("Coolant"), say("none"), say("the grade wants flood"))
    return Dial(say("Coolant"), say(run.coolant) if run.coolant else say("not stated"))


def more_waiting(waiting: Sequence[PlannedAt], shown: Sequence[PlannedAt]) -> str:
    """How many bars wait besides those listed, and how many are still to be bought."""
    rest = sum(one.waiting for one in waiting) - sum(one.waiting for one in shown)
    to_buy = sum(one.waiting for one in waiting if one.planned.kind is BarKind.TO_BUY)
    more = say("{bars} more", bars=say_many("1 bar", "{count} bars", rest)) if rest else ""
    bought = (
        say("{bars} of this run not on the rack yet", bars=say_many("1 bar", "{count} bars", to_buy))
        if to_buy
        else ""
    )
    return "; ".join(part for part in (more, bought) if part)
