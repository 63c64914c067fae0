"""The plan's pages of bars cut at once, and of a last piece that is the bar's own end."""

from dataclasses import replace
from datetime import date

from tests.web import sample

from kerfsmith.cutting.present import ways_to_lie
from kerfsmith.planning.plan import ForLine, Plan, PlanGroup
from kerfsmith.planning.what_if import WhatIf
from kerfsmith.units.length import Measure
from kerfsmith.units.told import Told
from kerfsmith.web.drawing.bar import bar_words, runs
from kerfsmith.web.pages.plan.make import PlanMaker
from kerfsmith.web.pages.plan.rules import rules_view
from kerfsmith.web.reading import Light, Reading

METRIC = Reading(Measure.METRIC, Light.AUTO)
SQUARE = sample.section("square 50")


def at_once() -> PlanGroup:
    # Six bars of two pieces, three at once: two of A and one of B at the first place, then three of A.
    bar = sample.bar("B-1", 3000, [("A", 900, 2)], times=6)
    first, second = bar.pieces
    first = replace(first, others=(ForLine("L-A", "A"), ForLine("L-B", "B")))
    bar = replace(bar, at_once=3, pieces=(first, second))
    through = replace(sample.setting(SQUARE), bundle=3, lie=ways_to_lie(SQUARE, 3)[0].name)
    return sample.group("1018", SQUARE, (bar,), bundle_settings=(through,))


def maker(group: PlanGroup) -> PlanMaker:
    return PlanMaker(Plan("p", "p", (group,), (), 1), sample.catalog().saws, METRIC, date(2026, 12, 1))


def test_the_card_and_the_sheet_say_how_many_lie_in_the_vise() -> None:
    group = at_once()
    (card,) = maker(group).page().groups
    assert [(strip.times, strip.at_once) for strip in card.strips] == [("6 ×", "3 at once")]
    assert card.more_angles == ("square cut, 3 bars at once",)
    page = maker(group).group_page(group)
    assert [cut.setting.angle for cut in page.cuts] == ["square cut", "square cut, 3 bars at once"]
    (sheet,) = page.bars
    assert sheet.heading == "6 × B-1, 3000 mm, 3 at once in 2 loads"
    assert [(row.mark, row.count, row.line) for row in sheet.rows] == [
        ("2 × A, 1 × B", 1, "L-A, L-B"),
        ("3 × A", 1, "L-A"),
    ]
    assert any(dial.note == "6 bars in 2 loads" for dial in page.times)


def test_the_strip_in_words_counts_the_marks_of_a_stroke() -> None:
    (bar,) = at_once().bars
    assert [run.count for run in runs(bar)] == [1, 1]
    assert "1 × (2 × A, 1 × B), 900 mm; 1 × (3 × A), 900 mm" in bar_words(bar, METRIC)


def test_a_last_piece_in_the_vise_leaves_nothing_and_gets_no_cut() -> None:
    bar = sample.bar("G-1", 2000, [("A", 900, 2)])
    last = replace(bar.pieces[-1], far_cut=False, kerf_um=0)
    length_um = bar.length_um - bar.remnant_um - bar.pieces[-1].kerf_um
    bar = replace(bar, length_um=length_um, pieces=(bar.pieces[0], last), remnant_um=0, keep=False)
    group = sample.group("1018", SQUARE, (bar,))
    (sheet,) = maker(group).group_page(group).bars
    assert sheet.rest == "the last piece is the bar's own end: unclamp it and measure it, no cut"
    assert [row.strokes for row in sheet.rows] == ["2", "no cut"]
    assert "the last piece is the bar's own end" in bar_words(bar, METRIC)
    assert "scrap" not in bar_words(bar, METRIC)


def test_what_bars_at_once_save_is_told_in_hours() -> None:
    answers = [
        WhatIf(Told("without bars cut at once"), True, 0, 0.0, "EUR", True, hours=1.25),
        WhatIf(Told("up to 6 bars cut at once"), False, 0, 0.0, "EUR", True, hours=-0.2),
    ]
    saves, costs = rules_view("/", answers, METRIC).rows
    assert (saves.kind, saves.outcome) == ("saves", "the same bars, 12 min of the saw saved")
    assert (costs.kind, costs.outcome) == ("costs", "the same bars, 1.2 h more of the saw")
