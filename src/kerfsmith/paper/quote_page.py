"""What stands on a quote, as text: nothing is left for a template to work out."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class BreakRow:
    """A price at another quantity."""

    count: str
    each: str
    between: str
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
    between: str
    total: str
    breaks: tuple[BreakRow, ...]


@dataclass(frozen=True, slots=True)
class ReckoningRow:
    """One line of a cost unfolded: ``depth`` from 0, how it is reckoned, on what basis, and its amount."""

    depth: int
    name: str
    how: str
    basis: str
    amount: str


@dataclass(frozen=True, slots=True)
class Unfolded:
    """One line offered, unfolded into its reckoning."""

    title: str
    price: str
    shares: tuple[str, ...]
    """What the line's shares of the run are taken by."""
    rows: tuple[ReckoningRow, ...]
    causes: tuple[tuple[str, str, str], ...]
    """Cause, by how much it may bring the line down, and up."""
    ends: str


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
    assumptions: tuple[str, ...]
    exclusions: tuple[str, ...]
    notes: tuple[str, ...]
    inside: tuple[str, ...]
    unfolded: tuple[Unfolded, ...]
