"""The quote reckoned by hand in docs/quote-by-hand.md: built from the page's own figures, to the cent."""

import re
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from pathlib import Path

import pytest
from tests.costing import shop

from kerfsmith.catalog.saw import CycleTimes, SawSheet
from kerfsmith.costing.plan_cost import LineCost, cost_plan
from kerfsmith.costing.price import Price, price_line
from kerfsmith.costing.rates import Rates, RemnantRule, Span
from kerfsmith.costing.reckoning import Cause, Kind
from kerfsmith.shop.rack import BarKind

PAGE = (Path(__file__).parents[2] / "docs" / "quote-by-hand.md").read_text(encoding="utf-8")
NAMES = ("P1", "P2")
SECTION_ROWS = {
    "material": Kind.MATERIAL,
    "saw time": Kind.SAW,
    "people": Kind.PEOPLE,
    "band": Kind.BAND,
    "handling": Kind.HANDLING,
    "certificate and labels": Kind.PAPERS,
    "scrap risk": Kind.SCRAP,
}


def rows(heading: str) -> dict[str, list[str]]:
    """The table under a heading: its first cell up to a comma, when another column follows, to the rest."""
    part = PAGE.split(f"## {heading}\n", 1)[1].split("\n## ", 1)[0]
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in part.splitlines() if line[:1] == "|"
    ]
    return {row[0]: row[1:] for row in cells[2:]}


def given(name: str) -> Decimal:
    """A figure from the page's first table."""
    return Decimal(rows("What is given")[name][0])


def um(name: str) -> int:
    return int(given(name) * 1000)


def quoted(start: str) -> list[Decimal]:
    """The two figures of the quote's row that starts so."""
    found = [
        cells for name, cells in rows("The quote").items() if name == start or name.startswith(f"{start},")
    ]
    assert len(found) == 1, start
    return [Decimal(cell) for cell in found[0]]


def saw() -> SawSheet:
    cycle = CycleTimes(
        *(
            float(given(name))
            for name in (
                "load a bar", "clamp", "index, fixed", "index speed", "approach", "approach speed",
                "head back", "put a piece down", "band change",
            )
        )
    )  # fmt: skip
    return shop.saw(
        cycle=cycle,
        shuttle_stroke_mm=float(given("shuttle stroke")),
        band_length_mm=float(given("band length")),
        rate_per_hour=float(given("saw hour")),
    )


def rates() -> Rates:
    return shop.rates(
        people_hour=given("people hour"),
        attendance=given("person while the saw runs"),
        hands_on=given("person hands on"),
        set_up_s=given("set-up of the run"),
        handling_per_bar=given("handling of a bar"),
        handling_per_line=given("packing of a line"),
        certificate=given("certificate"),
        label=given("label"),
        band_price_per_m={"T34": given("band price")},
        scrap=Span(given("scrap, low"), given("scrap, likely"), given("scrap, high")),
        remnant=RemnantRule(
            300_000, 3_300_000, given("remnant worth at 300 mm"), given("remnant worth at 3300 mm")
        ),
        margin=given("margin"),
    )


@cache
def priced() -> tuple[tuple[LineCost, Price], ...]:
    assert (um("facing waste"), um("kerf")) == (shop.FACING_UM, shop.KERF_UM)
    length_um = um("bar length")
    counts = {name: int(given(f"{name} pieces on a bar")) for name in NAMES}
    lines = [shop.line(name, um(f"{name} length"), 2 * counts[name]) for name in NAMES]
    pattern = [(line, counts[line.id]) for line in lines]
    cut = replace(
        shop.setting(area_cm2=float(given("area of a cut"))),
        cut_seconds_low=float(given("sawing, low")),
        cut_seconds=float(given("sawing, likely")),
        cut_seconds_high=float(given("sawing, high")),
        life_area_cm2=tuple(float(given(f"band life, {end}")) for end in ("low", "usual", "high")),  # type: ignore[arg-type]  # three ends
    )
    bars = (
        shop.laid("B-1", length_um, pattern),
        shop.laid("to buy", length_um, pattern, kind=BarKind.TO_BUY, heat=""),
    )
    plan = shop.plan(shop.group(*bars, at=saw(), cut=cut))
    stock = shop.rack_bar("B-1", length_um, str(given("price of the bar in stock")), count=1)
    found = cost_plan(plan, lines, shop.catalog(saw()), rates(), rack=[stock])
    assert not found.uncosted
    return tuple((line, price_line(line, rates())) for line in found.lines)


def places(amount: Decimal, step: str = "0.0001") -> Decimal:
    return amount.quantize(Decimal(step), ROUND_HALF_UP)


@pytest.mark.parametrize("row", SECTION_ROWS)
def test_each_line_of_the_cost(row: str) -> None:
    assert [places(line.cost.part(SECTION_ROWS[row]).amount) for line, _ in priced()] == quoted(row)


def test_cost_margin_and_price() -> None:
    prices = [price for _, price in priced()]
    assert [places(line.cost.amount.amount) for line, _ in priced()] == quoted("cost")
    assert [places(price.reckoning.part(Kind.MARGIN).amount) for price in prices] == quoted("margin")
    asked = [price.cost.amount + price.reckoning.part(Kind.MARGIN) for price in prices]
    assert [places(one.amount) for one in asked] == quoted("asked")
    assert [Decimal(price.count) for price in prices] == quoted("pieces")
    assert [price.each.amount for price in prices] == quoted("price each")
    assert [price.total.amount for price in prices] == quoted("line total")
    total = re.search(r"\*\*([\d.]+) EUR\*\*", PAGE)
    assert total is not None
    assert sum(price.total.amount for price in prices) == Decimal(total[1])


def test_seconds() -> None:
    table = rows("Seconds")
    assert [line.seconds.total_s for line, _ in priced()] == [
        pytest.approx(float(cell)) for cell in table["together at the saw"][:2]
    ]
    people = [line.cost.part(Kind.PEOPLE).amount * 100 for line, _ in priced()]
    assert [places(one) for one in people] == [
        places(Decimal(cell)) for cell in table["together of a person"][:2]
    ]


def test_the_interval() -> None:
    table = {name.split(",")[0]: cells for name, cells in rows("Between what and what").items()}
    price = priced()[0][1]
    sways = {sway.cause: sway for sway in price.reckoning.sways}
    for row, cause in (
        ("sawing time", Cause.SAWING_TIME),
        ("band life", Cause.BAND_LIFE),
        ("scrap", Cause.SCRAP_SHARE),
    ):
        assert [places(sways[cause].down), places(sways[cause].up)] == [
            Decimal(cell) for cell in table[row][:2]
        ]
    span = price.reckoning.span
    ends = [span.likely.amount - span.low.amount, span.high.amount - span.likely.amount]
    assert [places(end) for end in ends] == [Decimal(cell) for cell in table["together"][:2]]
    each = [price.each_span.low.amount, price.each_span.high.amount]
    printed = re.findall(r"= \*\*([\d.]+)\*\*", PAGE)
    assert [str(places(end, "0.01")) for end in each] == printed
