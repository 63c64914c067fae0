"""The hours of saws and people, planned stops and limits of unattended work, as the shop sets them."""

from datetime import datetime

from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal


def set_hours(records: Records, hours: ShopHours, *, by: Person, at: datetime) -> ShopHours | Refusal:
    """Keep the shop's hours. The week in force stays as it is until it is made anew."""

    def body(change: Change) -> ShopHours:
        change.weeks.set_hours(hours)
        return hours

    return act(records, Verb.SET_HOURS, body, answer_as=ShopHours, told=hours, subject="hours", by=by, at=at)
