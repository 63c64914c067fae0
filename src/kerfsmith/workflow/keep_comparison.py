"""Keeping a which-saw comparison as it came out, and taking one away."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.costing.which_saw.told import ComparisonTold
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.price_ports import KeptComparison
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class ComparisonKept:
    """What was kept."""

    id: str
    name: str
    customer: str
    saws: tuple[str, ...]


def keep_comparison(
    records: Records, told: ComparisonTold, *, comparison_id: str, customer: str, by: Person, at: datetime
) -> ComparisonKept | Refusal:
    """Keep a comparison; it never changes with rates or sheets."""
    kept = ComparisonKept(comparison_id, told.name, customer, tuple(saw.sheet.name for saw in told.saws))

    def body(change: Change) -> ComparisonKept:
        change.comparisons.keep(KeptComparison(comparison_id, told.name, customer, at, by.name, told))
        return kept

    return act(
        records,
        Verb.KEEP_COMPARISON,
        body,
        answer_as=ComparisonKept,
        told=kept,
        subject=comparison_id,
        by=by,
        at=at,
    )


def drop_comparison(records: Records, comparison_id: str, *, by: Person, at: datetime) -> str | Refusal:
    """Take a comparison away."""

    def body(change: Change) -> str:
        if not change.comparisons.drop(comparison_id):
            raise Refused("unknown-comparison", "there is no such comparison", "Look at the list")
        return comparison_id

    return act(
        records,
        Verb.DROP_COMPARISON,
        body,
        answer_as=str,
        told=comparison_id,
        subject=comparison_id,
        by=by,
        at=at,
    )
