"""Quotes on paper: what stands there adds up, the customer's copy keeps the shop's figures to itself."""

import re
from decimal import Decimal

import pytest
from tests.costing import shop
from tests.costing.test_quote import LINE, by_hand, quote
from tests.paper import reading

from kerfsmith.costing.plan_cost import cost_plan
from kerfsmith.costing.quote import Quote, make_quote
from kerfsmith.costing.rates import Span
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.quote import quote_page, quote_pdf
from kerfsmith.units.length import Measure

NASTY = ('"] #panic("x") $x^2$ *b*', "W" * 120, "中文 \u202eevil\x00", "<svg onload='x'>")


def printed(of: Quote, paper: str = "a4", *, inside: bool = False, measure: Measure = Measure.METRIC) -> str:
    return reading.text(quote_pdf(of, shop="Long Acre", measure=measure, paper=paper, inside=inside))


def two_lines() -> Quote:
    lines = [LINE, shop.line("L2", 1_234_000, 3, mark="Shaft")]
    rates = shop.rates(metal_per_kg={"steel": Span.sure(Decimal("1.50"))})
    return make_quote(cost_plan(by_hand(lines), lines, shop.catalog(), rates), rates, quote().terms)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_it_tells_what_is_offered_and_until_when(paper: str) -> None:
    text = printed(quote(), paper)
    for words in (
        "Weir works", "Q-7", "R-55", "2026-03-02", "Valid until 2026-04-01", "revision 1",
        "Arm", "4140 · round 100 mm", "700 mm", "due 2026-04-01", "+0.5 mm −0 mm", "Stamp the end.",
        "other quantities, each and in all: 20 at", "taxes and duties", "Amounts in EUR",
    ):  # fmt: skip
        assert words in text, words


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_lines_read_from_the_paper_add_up_to_its_total(paper: str) -> None:
    text = printed(two_lines(), paper)
    rows = re.findall(r"(\d+) ([\d.]+) between ([\d.]+) and ([\d.]+) ([\d.]+)", text)
    assert len(rows) == 2
    total = re.search(r"Total, EUR ([\d.]+)", text)
    assert total is not None
    assert sum(Decimal(row[4]) for row in rows) == Decimal(total[1])
    for count, each, low, high, line_total in rows:
        assert int(count) * Decimal(each) == Decimal(line_total)
        assert Decimal(low) < Decimal(each) < Decimal(high)


def test_the_customers_copy_keeps_cost_and_margin_back() -> None:
    text = printed(quote())
    assert "margin" not in text.lower()
    assert "scrap risk" not in text
    inside = printed(quote(), inside=True)
    for words in ("For the shop alone", "margin", "scrap risk", "saw time", "sawing", "h × 60", "band life"):
        assert words in inside, words


def test_amounts_of_the_reckoning_add_up_as_shown() -> None:
    page = quote_page(two_lines(), shop="s", measure=Measure.METRIC, inside=True)
    for unfolded, row in zip(page.unfolded, page.rows, strict=True):
        amounts = [(one.depth, Decimal(one.amount.replace("−", "-"))) for one in unfolded.rows]
        assert sum(amount for depth, amount in amounts if depth == 0) == Decimal(row.total)
        for place, (depth, amount) in enumerate(amounts):
            under = []
            for below, part in amounts[place + 1 :]:
                if below <= depth:
                    break
                if below == depth + 1:
                    under.append(part)
            if under:
                assert sum(under) == amount


def test_a_firm_quote_shows_no_range() -> None:
    text = printed(quote(firm=True))
    assert "between" not in text.lower()
    assert "firm price" in text


def test_the_same_quote_gives_the_same_bytes() -> None:
    pdfs = {quote_pdf(quote(), shop="s", measure=Measure.INCH, paper="a4") for _ in range(2)}
    assert len(pdfs) == 1


@pytest.mark.parametrize("text", NASTY)
def test_odd_text_is_set_as_text(text: str) -> None:
    assert printed(quote(customer=text, reference=text, notes=(text,)))


def test_another_paper_is_refused() -> None:
    with pytest.raises(InvalidValue):
        quote_pdf(quote(), shop="s", measure=Measure.METRIC, paper="a5")
