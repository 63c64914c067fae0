"""Tickets and labels of bars cut at once, and of a last piece that is the bar's own end."""

from dataclasses import replace
from datetime import date

import pytest
from tests.paper import reading, shop

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Square
from kerfsmith.paper.labels import piece_labels, remnant_labels
from kerfsmith.paper.ticket import AT_ONCE_CAUTION, VISE_NOTE, ticket
from kerfsmith.paper.typeset import ticket_pdf
from kerfsmith.planning.plan import ForLine, Plan, PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.length import Measure

SECTION = Section("square 60 mm", Square(60.0))
A1 = PlannedPiece("a1", "A1", 1_500_000, shop.KERF_UM)


def bar(pieces: tuple[PlannedPiece, ...], times: int, at_once: int, length_um: int = 6_000_000) -> PlannedBar:
    taken = shop.FACING_UM + shop.KERF_UM + sum(piece.taken_um for piece in pieces)
    left = length_um - taken
    return PlannedBar(
        "T-1", BarKind.BAR, length_um, times, "H1", "A1", shop.FACING_UM, shop.KERF_UM, pieces, left,
        keep=left >= 300_000, at_once=at_once,
    )  # fmt: skip


@pytest.fixture
def case() -> tuple[Plan, PlanGroup]:
    # Twice four at once give three of A1 and one of B2 at the first place, four of A1 at the second. Then one
    # bar alone.
    first = replace(A1, others=(ForLine("a1", "A1"), ForLine("a1", "A1"), ForLine("b2", "B2")))
    group = replace(
        shop.group(
            "g",
            "4140",
            SECTION,
            (bar((first, A1), 8, 4), bar((A1, A1, A1), 1, 1)),
            (shop.setting(),),
            mass_kg_per_m=28.26,
        ),
        bundle_settings=(replace(shop.setting(lie="4 in rows", cautions=("Go slowly.",)), bundle=4),),
    )
    return shop.plan(group), group


def test_the_ticket_says_how_many_lie_in_the_vise(case: tuple[Plan, PlanGroup]) -> None:
    plan, group = case
    page = ticket(plan, group, shop.saw(), shop.grade(), measure=Measure.METRIC)
    assert [one.title for one in page.bars] == ["Bars 1–8, 4 at once in 2 loads", "Bar 9"]
    assert [(one.numbers, one.kind) for one in page.loads] == [("1–8", "bar, 4 at once"), ("9", "bar")]
    assert [one.title for one in page.settings] == ["Square cut", "Square cut, 4 bars at once"]
    assert "clamped from above too" in page.settings[1].lie
    assert page.lying == "4 at once in the vise"
    assert page.cautions == (AT_ONCE_CAUTION, "4 at once: Go slowly.")
    assert page.first_piece is not None
    assert "first piece of each" in page.first_piece.note
    first, second = page.bars[0].rows
    assert (first.mark, second.mark) == ("3 × A1, 1 × B2", "4 × A1")
    # One tick a stroke and load, since it is one deed.
    assert [(tick.bar, tick.count) for tick in first.ticks] == [("1–4", 1), ("5–8", 1)]
    # 60 mm square of steel: 28.26 kg/m at 7850 kg/m3, 6 m, four of them.
    assert "the heaviest load 678 kg" in page.load_note


def test_a_run_of_loads_alone_shows_their_setting_first(case: tuple[Plan, PlanGroup]) -> None:
    _, group = case
    only = replace(group, bars=group.bars[:1])
    page = ticket(shop.plan(only), only, shop.saw(), shop.grade(), measure=Measure.METRIC)
    assert [one.title for one in page.settings] == ["Square cut, 4 bars at once"]


def test_every_piece_of_a_load_has_the_label_of_its_own_line(case: tuple[Plan, PlanGroup]) -> None:
    plan, group = case
    labels = piece_labels(plan, group, measure=Measure.METRIC)
    assert len(labels) == 8 * 2 + 3
    heads = [label.head for label in labels]
    assert heads == 2 * (["A1", "A1"] * 3 + ["B2", "A1"]) + ["A1"] * 3
    assert [label.count for label in labels if label.head == "B2"] == ["1 of 2", "2 of 2"]
    assert len({label.code for label in labels}) == len(labels)
    assert len(remnant_labels(plan, group, measure=Measure.METRIC)) == 9


def test_a_last_piece_in_the_vise_gets_no_cut_and_leaves_nothing() -> None:
    # 6000 - 5 - 1.8 = 5993.2 behind the facing: one of 1500 and its kerf, then 4491.4 to the bar's own end.
    last = PlannedPiece("e", "E1", 4_491_400, 0, far_cut=False)
    group = shop.group("g", "4140", SECTION, (bar((A1, last), 1, 1),), (shop.setting(),))
    assert group.bars[0].left_um == 0
    page = ticket(shop.plan(group), group, shop.saw(), shop.grade(), measure=Measure.METRIC)
    row = page.bars[0].rows[1]
    assert (row.mark, row.advance, row.strokes) == ("E1", "no cut", "end in vise")
    assert page.bars[0].remnants == ()
    assert [segment.kind for segment in page.bars[0].segments] == ["facing", "piece", "piece"]
    ends = page.bars[0].segments[-1]
    assert ends.start + ends.width == pytest.approx(1.0)
    assert VISE_NOTE in page.notes
    text = " ".join(reading.text(ticket_pdf([page], title="t", date=date(2026, 3, 2))).split())
    assert "no cut" in text
    assert "it gets no cut" in text
