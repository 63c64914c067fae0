"""What stands on a quote, as text: nothing is left for a template to work out."""

from dataclasses import dataclass

from kerfsmith.costing.unfolded import Unfolded
from kerfsmith.units.told import Told


@dataclass(frozen=True, slots=True)
class BreakRow:
    """A price at another quantity."""

    count: str
    each: str
    between: Told
    total: str
    asked: bool


@dataclass(frozen=True, slots=True)
class QuoteRow:
    """One line offered."""

    place: str
    mark: str
    work: str
    length: str
    remark: str
    due: str
    count: str
    each: str
    between: Told
    total: str
    breaks: tuple[BreakRow, ...]


@dataclass(frozen=True, slots=True)
class QuotePage:
    """A quote as printed. ``unfolded`` is empty on the customer's copy."""

    shop: str
    heading: str
    number: str
    revision: str
    customer: str
    reference: str
    day: str
    valid_until: str
    kind: str
    currency: str
    rows: tuple[QuoteRow, ...]
    total: str
    not_offered: tuple[str, ...]
    assumptions: tuple[Told, ...]
    exclusions: tuple[Told, ...]
    notes: tuple[str, ...]
    inside: tuple[Told, ...]
    unfolded: tuple[Unfolded, ...]
