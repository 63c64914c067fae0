"""When a run may go on by itself, figure by figure."""

import math
from dataclasses import replace

import pytest

from kerfsmith.catalog.material import Hazard
from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.unattended import LOCAL_RULES, Part, UnattendedRules, judge_unattended
from kerfsmith.units.length import Measure

RULES = UnattendedRules()
SAFE = Part(piece_kg=4.0, shortest_mm=120, longest_mm=300, height_mm=80, bar_mm=6000, strokes=1)


def test_a_small_steady_part_may() -> None:
    verdict = judge_unattended(SAFE, RULES)
    assert verdict.allowed
    assert "4.00 kg of 25.0 kg" in verdict.reason
    assert LOCAL_RULES in verdict.reason
    assert "common practice" in verdict.reason


@pytest.mark.parametrize(
    ("part", "word"),
    [
        (replace(SAFE, piece_kg=26.0), "26.0 kg"),
        (replace(SAFE, longest_mm=1200), "1200 mm long"),
        (replace(SAFE, shortest_mm=10), "falls over"),
        (replace(SAFE, bar_mm=7000), "bar is 7000"),
        (replace(SAFE, strokes=3), "3 strokes"),
        (replace(SAFE, hazards=(Hazard.FIRE_MAGNESIUM,)), "magnesium chips burn"),
        (replace(SAFE, hazards=(Hazard.FIRE_TITANIUM,)), "titanium"),
        (replace(SAFE, hazards=(Hazard.BERYLLIUM,)), "extraction"),
        (replace(SAFE, force_share=0.95), "95%"),
        (replace(SAFE, mitred=True), "head swings"),
        (replace(SAFE, bundle=4), "bundle"),
        (replace(SAFE, dry=True), "cut dry"),
    ],
)
def test_each_ground_alone_forbids_it_and_is_said(part: Part, word: str) -> None:
    verdict = judge_unattended(part, RULES)
    assert not verdict.allowed
    assert word in verdict.reason
    assert LOCAL_RULES in verdict.reason


def test_every_ground_is_named_not_only_the_first() -> None:
    verdict = judge_unattended(replace(SAFE, piece_kg=40, bundle=2), RULES)
    assert "40.0 kg" in verdict.reason
    assert "bundle" in verdict.reason


def test_tilt_is_that_of_a_block_on_its_edge() -> None:
    """A block as long as high falls beyond 45 degrees; 0.577 as long as high beyond 30 (geometry)."""
    assert replace(SAFE, shortest_mm=80).tilt_deg == pytest.approx(45)
    assert replace(SAFE, shortest_mm=80 / math.sqrt(3)).tilt_deg == pytest.approx(30)


def test_the_shop_sets_its_own_limits() -> None:
    heavy = replace(SAFE, piece_kg=40)
    assert judge_unattended(heavy, replace(RULES, most_piece_kg=50.0)).allowed
    lead = replace(SAFE, hazards=(Hazard.LEAD,))
    assert judge_unattended(lead, RULES).allowed
    assert not judge_unattended(lead, replace(RULES, hazards=frozenset({Hazard.LEAD}))).allowed


def test_limits_below_zero_are_refused() -> None:
    with pytest.raises(InvalidValue):
        UnattendedRules(most_piece_kg=-1)


def test_an_inch_reader_is_told_pounds_and_inches() -> None:
    told = judge_unattended(replace(SAFE, piece_kg=40, longest_mm=1270), RULES).reason.in_measure(
        Measure.INCH
    )
    assert "88.2 lb" in told
    assert "50" in told
    assert "kg" not in told
    assert " mm" not in told
