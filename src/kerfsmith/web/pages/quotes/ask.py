"""A quote as a form asks for it."""

import re
from datetime import date

from pydantic import BaseModel, Field

from kerfsmith.web.quote_stage import QuoteSource, QuoteWish
from kerfsmith.web.words import say

_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,39}")
_TAKEN = frozenset({"new", "read", "typed", "rates"})
MOST_BREAKS = 6
MOST_PIECES = 1_000_000


class TermsForm(BaseModel):
    """The fields of the form."""

    order: str = Field("", max_length=80)
    upload: str = Field("", max_length=80)
    renews: str = Field("", max_length=40)
    number: str = Field("", max_length=40)
    customer: str = Field("", max_length=200)
    reference: str = Field("", max_length=200)
    valid_until: str = Field("", max_length=20)
    quantities: str = Field("", max_length=120)
    firm: str = Field("", max_length=5)
    certificates: str = Field("", max_length=5)
    notes: str = Field("", max_length=2000)


def wish_of(form: TermsForm, source: QuoteSource) -> QuoteWish | str:
    """The quote wished for, or what must be filled in otherwise."""
    number = form.number.strip()
    if number and (not _NUMBER.fullmatch(number) or number.casefold() in _TAKEN):
        return say("A quote's number is made of letters, figures, dots and dashes. Write another one.")
    if not form.customer.strip() and not source.renews:
        return say("A quote is for a customer. Say for whom it is.")
    try:
        until = date.fromisoformat(form.valid_until.strip())
    except ValueError:
        return say("Its last day is a date such as 2026-12-31. Write it so.")
    quantities = quantities_of(form.quantities)
    if quantities is None:
        return say(
            "Break points are up to {count} whole numbers of pieces with commas between. Write them so.",
            count=MOST_BREAKS,
        )
    return QuoteWish(
        source=source,
        customer=form.customer.strip() or "renewed",
        valid_until=until,
        number=number,
        reference=form.reference.strip(),
        firm=bool(form.firm),
        certificates=bool(form.certificates),
        quantities=quantities,
        notes=tuple(line.strip() for line in form.notes.splitlines() if line.strip()),
    )


def quantities_of(text: str) -> tuple[int, ...] | None:
    """Numbers of pieces in a text, smallest first; None where it can't be read."""
    parts = [part for part in re.split(r"[,;\s]+", text.strip()) if part]
    if len(parts) > MOST_BREAKS or not all(part.isdecimal() for part in parts):
        return None
    found = sorted({int(part) for part in parts})
    return tuple(found) if all(0 < one <= MOST_PIECES for one in found) else None
