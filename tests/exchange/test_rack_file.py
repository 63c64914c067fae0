"""Rack lists read into bars; prices worked out by hand beside each."""

from decimal import Decimal

import pytest
from tests.exchange.fakes import mass_kg, read_grade, read_section

from kerfsmith.exchange.rack_file import PricePer, RackRead, read_rack
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.parse import Unit

HEADING = "Label;Grade;Section;Length;Count;Heat;Location;Price/kg;Kind"


def read(*lines: str, price_per: PricePer | None = None, currency: str = "EUR") -> RackRead:
    found = read_rack(
        "rack.csv",
        "\n".join(lines).encode(),
        read_grade=read_grade,
        read_section=read_section,
        mass_kg=mass_kg,
        currency=currency,
        bare_unit=Unit.MM,
        price_per=price_per,
    )
    accounted = found.rows_bad + found.rows_blank + found.rows_total + found.rows_heading
    assert found.rows_read == len(found.bars) + accounted
    return found


def codes(found: RackRead) -> list[tuple[int | None, str]]:
    return [(finding.row, finding.code) for finding in found.findings]


def test_bars_and_remnants() -> None:
    found = read(
        HEADING,
        "B1;42CrMo4;round 50 mm;6 m;12;H 41827;A1;1,25;bar",
        "R7;A36;flat 100 x 10;1190;1;;R2;;Remnant",
        ";A36;flat 100 x 10;6000;;;;;to buy",
    )
    assert codes(found) == []
    first, second, third = found.bars
    assert (first.id, first.grade, first.length_um, first.count) == ("B1", "4140", 6_000_000, 12)
    assert (first.heat, first.place, first.kind, first.row) == ("H 41827", "A1", BarKind.BAR, 2)
    assert first.price == Decimal("75")  # 6 m at 10 kg/m at 1.25
    assert (second.kind, second.price, second.length_um) == (BarKind.REMNANT, None, 1_190_000)
    assert (third.id, third.count, third.kind) == ("row 4", None, BarKind.TO_BUY)


@pytest.mark.parametrize(
    ("heading", "text", "price"),
    [
        ("Price each", "412.00", Decimal("412.00")),
        ("Price per bar", "412.00", Decimal("412.00")),
        ("Price/kg", "1.25", Decimal("75")),
        ("€/kg", "1.25", Decimal("75")),
        ("Price (EUR/kg)", "1.25", Decimal("75")),
        ("Preis je kg", "1.25", Decimal("75")),
        ("Price per m", "3.5", Decimal("21")),
        ("Price/ft", "3.0480", Decimal("60")),  # 6 m are 19.685 ft
        ("Price per tonne", "1250", Decimal("75")),
        ("Price/lb", "0.45359237", Decimal("60")),  # 60 kg at 1 a kg
    ],
)
def test_a_price_by_what_its_heading_says(heading: str, text: str, price: Decimal) -> None:
    found = read(f"Grade;Section;Length;Count;{heading}", f"4140;round 50;6 m;1;{text}")
    assert codes(found) == []
    got = found.bars[0].price
    assert got is not None
    assert abs(got - price) < Decimal("1e-12")


def test_a_price_that_says_nothing_of_its_basis_is_left_out_and_told() -> None:
    rows = ("Grade;Section;Length;Count;Price", "4140;round 50;6 m;1;412.00")
    found = read(*rows)
    assert found.bars[0].price is None
    assert codes(found) == [(1, "price-basis")]
    assert read(*rows, price_per=PricePer.BAR).bars[0].price == Decimal("412.00")


def test_a_price_in_another_currency_is_no_price() -> None:
    rows = ("Grade;Section;Length;Count;Price per bar", "4140;round 50;6 m;1;412.00 USD")
    assert codes(read(*rows)) == [(2, "price-unreadable")]
    assert read(*rows, currency="USD").bars[0].price == Decimal("412.00")
    assert codes(read("Grade;Section;Length;Count;€/kg", "4140;round 50;6 m;1;2", currency="USD")) == [
        (2, "price-unreadable")
    ]


def test_rows_that_cannot_be_used_are_told() -> None:
    found = read(
        HEADING,
        "B1;4140;round 50;6 m;0;;;;",
        "B2;4140;round 50;6 m;;;;;bar",
        "B3;4140;round 50;6 m;1;;;;perhaps",
        "B4;4140;round 50;6 m;1;;;;",
        "B4;4140;round 50;6 m;2;;;;",
        "Rack A;;;;;;;;",
        "Total;;;;3;;;;",
    )
    assert codes(found) == [
        (2, "count-zero"),
        (3, "count-missing"),
        (4, "kind-unreadable"),
        (6, "id-repeated"),
        (7, "row-empty"),
        (8, "total-row"),
    ]
    assert [bar.id for bar in found.bars] == ["B4", "B4 (row 6)"]


def test_how_the_far_end_is() -> None:
    found = read(
        "Label;Grade;Section;Length;Count;Far end",
        "B1;4140;round 50;6 m;1;good",
        "B2;4140;round 50;6 m;1;As rolled",
        "B3;4140;round 50;6 m;1;",
        "B4;4140;round 50;6 m;1;gesägt",
        "B5;4140;round 50;6 m;1;perhaps",
    )
    assert codes(found) == [(6, "far_end-unreadable")]
    assert [(bar.id, bar.end_is_good) for bar in found.bars] == [
        ("B1", True),
        ("B2", False),
        ("B3", False),
        ("B4", True),
    ]
    without = read("Grade;Section;Length;Count", "4140;round 50;6 m;1")
    assert not without.bars[0].end_is_good
