"""Sentences and figures as people read them."""

import hashlib
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from tests.web import sample, sample_plan

from kerfsmith.planning.plan import GroupTimes
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.length import Measure
from kerfsmith.web.pages.plan.make import PlanMaker
from kerfsmith.web.pages.plan.rules import outcome_words
from kerfsmith.web.pages.plan.words import (
    cost_words,
    due_of,
    gap_words,
    hours_of,
    lead_sentences,
    shortage_words,
    yield_words,
)
from kerfsmith.web.reading import Light, Reading, hours, span
from kerfsmith.web.search import search
from kerfsmith.web.sheet import link

METRIC = Reading(Measure.METRIC, Light.AUTO)
INCH = Reading(Measure.INCH, Light.AUTO)


def test_the_gap_is_said_in_words() -> None:
    group = sample.group(
        "4140", sample.section("round 80"), (sample.bar("B", 6000, [("A", 500, 8)], times=31),)
    )
    bars = replace(group, cost=31, lower_bound=31, cost_unit="bars")
    assert gap_words(bars) == "No plan can use fewer than 31 bars; this one uses 31."
    money = replace(group, cost=412.0, lower_bound=408.6, cost_unit="EUR")
    assert gap_words(money) == (
        "This one costs 412.00 EUR; no plan can cost less than 408.60 EUR, 0.83 % below."
    )
    assert gap_words(replace(money, lower_bound=412.0)) == "No plan can cost less than this one's 412.00 EUR."
    assert gap_words(replace(group, bars=())) == "Nothing of it is planned."
    assert cost_words(36.0, "m of bar") == "36.00 m of bar"
    weighed = cost_words(9178.0, "EUR, bought bars x10")
    assert weighed == "9178.00 EUR (bought bars counted ×10)"


def test_only_the_sawing_has_a_range() -> None:
    found = hours_of(GroupTimes(3600, 3000, 5400, 600, 300, 300))
    assert (found.likely, found.low, found.high) == pytest.approx((4800 / 3600, 4200 / 3600, 6600 / 3600))
    assert found.span == "between 1.2 and 1.8 h"


def test_short_times_are_in_minutes() -> None:
    assert [hours(value) for value in (0.05, 0.99, 0.995, 12.34)] == ["3 min", "59 min", "1.0 h", "12.3 h"]
    assert span(0.1, 0.2) == "between 6 and 12 min"


@pytest.mark.parametrize(
    ("due", "kind", "words"),
    [
        (date(2026, 11, 23), "late", "23 Nov, 2 days late"),
        (date(2026, 11, 24), "late", "24 Nov, 1 day late"),
        (date(2026, 11, 25), "soon", "25 Nov, today"),
        (date(2026, 11, 28), "soon", "28 Nov, in 3 days"),
        (date(2026, 11, 29), "later", "due 29 Nov"),
        (None, "none", "no due date"),
    ],
)
def test_due(due: date | None, kind: str, words: str) -> None:
    found = due_of(due, sample.TODAY)
    assert (found.kind, found.words) == (kind, words)


def test_what_is_short_is_said() -> None:
    short = next(group for group in sample_plan.plan().groups if group.unplanned and group.bars)
    assert shortage_words(short) == "3 pieces without a bar"
    bought = sample.bar("N", 6000, [("A", 500, 8)], times=2, kind=BarKind.TO_BUY)
    group = sample.group("4140", sample.section("round 80"), (bought,))
    assert shortage_words(group) == "2 bars to be bought first"


def test_yield_tells_what_goes_back() -> None:
    # 1000 mm: pieces 400, facing 5 + 1.8, kerfs 3.6, so 589.6 mm is left.
    group = sample.group("4140", sample.section("round 80"), (sample.bar("B", 1000, [("A", 200, 2)]),))
    assert yield_words(group) == "40.0 % of 1 bar becomes pieces, 59.0 % goes back to the rack."


def test_the_lead_counts_what_the_groups_hold() -> None:
    plan = sample_plan.plan()
    said = " ".join(lead_sentences(plan))
    assert f"{plan.pieces_planned} of {plan.pieces_wanted} pieces" in said
    assert "For 7 of 9 groups it is proven that no plan can cost less" in said
    assert "no other costs more than 2.50 % above" in said  # (36 - 35.1) / 36


def test_what_needs_a_person_comes_first() -> None:
    maker = PlanMaker(sample_plan.plan(), sample.catalog().saws, METRIC, sample.TODAY)
    assert [item.word for item in maker.page().attention] == ["cannot", "left out", "short", "late", "soon"]


def test_cautions_common_to_all_stand_once_and_others_with_their_group() -> None:
    page = PlanMaker(sample_plan.plan(), sample.catalog().saws, METRIC, sample.TODAY).page()
    assert page.cautions == (sample.ALWAYS,)
    told = {card.grade: card.cautions for card in page.groups if card.cautions}
    assert told == {"Ti-6Al-4V": (sample.BURNS,)}


def test_strokes_are_counted_with_the_kerf() -> None:
    plan = sample_plan.plan()
    group = plan.groups[0]
    saw = next(one for one in sample.catalog().saws if one.id == group.saw)
    page = PlanMaker(plan, sample.catalog().saws, METRIC, sample.TODAY).group_page(group)
    row = page.bars[0].rows[0]
    advance_mm = 698.5 + 1.8
    assert row.strokes == str(-(-advance_mm // saw.shuttle_stroke_mm)).removesuffix(".0")


def test_bands_are_named_as_the_trade_does_in_inches() -> None:
    assert INCH.band_size(34.0, 1.1) == "1 1/4 × 0.043 in"
    assert INCH.band_size(27.0, 0.9) == "1 × 0.035 in"
    assert METRIC.band_size(41.0, 1.3) == "41 × 1.3 mm"


def test_a_search_wants_every_word_and_says_when_more_is_there() -> None:
    names = [f"pipe {n} sch {s}" for n in range(50) for s in (40, 80)]
    assert search(names, "sch pipe 40", str, "pipe").words.startswith("51 pipes")
    assert search(names, "", str, "pipe", most=10).words == (
        "100 pipes, the first 10 shown; write more to narrow them down"
    )
    assert search(names, "beam", str, "pipe").entries == ()


@pytest.mark.parametrize(
    ("bars", "cost", "unit", "words"),
    [
        (-1, -32.0, "EUR", "1 bar less, 32.00 EUR saved"),
        (2, 140.5, "EUR", "2 bars more, 140.50 EUR more"),
        (0, -34.0, "EUR", "as many bars, 34.00 EUR saved"),
        (-1, 0.0, "EUR", "1 bar less, at the same cost"),
        (0, 0.0, "EUR", "changes nothing"),
        (2, 2.0, "bars", "2 bars more"),
        (1, 6.0, "m of bar", "1 bar more, 6.00 m of bar more"),
        (-1, -7060.0, "EUR, bought bars x10", "1 bar less, 7060.00 EUR saved (bought bars counted ×10)"),
    ],
)
def test_what_a_rule_costs_is_said(bars: int, cost: float, unit: str, words: str) -> None:
    assert outcome_words(bars, cost, unit) == words


def test_links_quote_what_stands_in_names() -> None:
    assert link("plan", "4140|round:101600/é") == "/plan/4140%7Cround%3A101600%2F%C3%A9"


def test_the_vendored_script_is_the_one_that_was_written_down() -> None:
    vendor = Path(__file__).parents[2] / "src/kerfsmith/web/static/vendor"
    told = re.findall(r"\| (\S+\.js) \|.*\| ([0-9a-f]{64}) \|", (vendor / "README.md").read_text())
    assert {name for name, _ in told} == {path.name for path in vendor.glob("*.js")}
    for name, digest in told:
        assert hashlib.sha256((vendor / name).read_bytes()).hexdigest() == digest
