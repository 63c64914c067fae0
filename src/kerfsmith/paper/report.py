"""The which-saw report on paper: it stands before a customer, with its assumptions and sources."""

from dataclasses import asdict
from datetime import date

from kerfsmith.costing.which_saw.report import report_page
from kerfsmith.costing.which_saw.told import ComparisonTold
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.typeset import typeset
from kerfsmith.units.length import Measure
from kerfsmith.units.told import each_said


def report_pdf(
    comparison: ComparisonTold, *, shop: str, customer: str, measure: Measure, paper: str, day: date
) -> bytes:
    """The report as PDF; the same comparison and day give the same bytes.

    Raises InvalidValue where the paper is neither a4 nor us-letter.
    """
    if paper not in ("a4", "us-letter"):
        raise InvalidValue(f"paper is a4 or us-letter, not {paper!r}")
    whole = report_page(comparison, shop=shop, customer=customer, measure=measure, day=day)
    page = each_said(whole, lambda text: text.in_measure(measure))
    title = f"Which saw: {comparison.name}"
    return typeset("which_saw.typ", {"report": asdict(page), "paper": paper}, title, day)
