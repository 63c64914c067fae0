"""The which-saw report on paper: what each saw can't do, its limits, the money, assumptions and sources."""

from datetime import date
from decimal import Decimal

import pytest
from tests.costing.test_which_saw import QUICK, SLOW, compared, steel
from tests.paper import reading

from kerfsmith.costing.which_saw.compare import Comparison
from kerfsmith.costing.which_saw.pay_back import Offer
from kerfsmith.costing.which_saw.report import report_page
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.report import report_pdf
from kerfsmith.units.length import Measure
from kerfsmith.units.money import Money

DAY = date(2026, 3, 2)


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    lines = [steel("Arm", 80, 800_000, 40), steel("Drum", 320, 300_000, 4)]
    offers = (Offer("quick", Money(Decimal(20_000), "EUR")),)
    return compared(lines, SLOW, QUICK, offers=offers)


def printed(of: Comparison, paper: str, measure: Measure = Measure.METRIC) -> str:
    pdf = report_pdf(tell(of), shop="Long Acre", customer="Weir works", measure=measure, paper=paper, day=DAY)
    return reading.text(pdf)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_everything_the_customer_must_know_stands_there(comparison: Comparison, paper: str) -> None:
    text = printed(comparison, paper)
    for words in (
        "Weir works", "2026-03-02", "2 200", "Plain saw", "Quick saw", "Side by side", "Pay-back",
        "1 of 2 lines are cut whole by every saw", "diameter is 320 mm, 20 mm over the saw's 300 mm",
        "motor power", "load", "stroke", "2 strokes", "shuttle stroke", "What was assumed",
        "order book of 44 pieces, 50 times a year", "What the cutting figures rest on", "(memory, low)",
        "Pay-back without interest",
    ):  # fmt: skip
        assert words in text, words


def test_inches_all_through_the_saws_figures(comparison: Comparison) -> None:
    page = report_page(tell(comparison), shop="s", customer="", measure=Measure.INCH, day=DAY)
    words = [gauge.words for section in page.sections for gauge in section.gauges]
    assert words
    assert not any(" kg of" in one or " mm of" in one or " m/min" in one for one in words)
    assert any(" lb of " in one for one in words)


def test_side_by_side_is_what_the_comparison_holds(comparison: Comparison) -> None:
    page = report_page(tell(comparison), shop="s", customer="", measure=Measure.METRIC, day=DAY)
    rows = {str(row.name): row for row in page.side}
    years = [report.year for report in comparison.saws]
    assert rows["pieces it cuts"].figures == ("2\u00a0000", "2\u00a0000")
    assert [float(cell.replace("\u00a0", "")) for cell in rows["saw hours"].figures] == [
        pytest.approx(year.hours()[1], abs=0.51) for year in years
    ]
    assert page.pay_backs[0].answer == f"{comparison.pay_backs[0].years:.1f} years"


def test_the_same_comparison_gives_the_same_bytes(comparison: Comparison) -> None:
    pdfs = {
        report_pdf(tell(comparison), shop="s", customer="c", measure=Measure.METRIC, paper="a4", day=DAY)
        for _ in range(2)
    }
    assert len(pdfs) == 1


def test_another_paper_is_refused(comparison: Comparison) -> None:
    with pytest.raises(InvalidValue):
        printed(comparison, "a5")
