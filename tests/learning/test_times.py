"""Factors of times: held-back cuts lie where they were forecast, and forecasts beat the published figure."""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from tests.learning.shops import Spreads, draw_cuts, draw_shop

from kerfsmith.learning.log import Log, SawnCut
from kerfsmith.learning.observe import Observation, cut_times
from kerfsmith.learning.times import SHOWN, learn_times
from kerfsmith.shop.factors import Measure, Scope

BEGAN = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


def _log(seed: int, count: int) -> Log:
    """Cuts of a shop by chance, as its log would have them; one in forty spoiled by a break or a slip."""
    rng = np.random.default_rng(seed)
    cuts = []
    for place, (named, ratio) in enumerate(draw_cuts(rng, draw_shop(rng, Spreads()), count)):
        began = BEGAN + timedelta(minutes=20 * place)
        spoiled = 3.0 if place % 40 == 17 else 1.0
        cuts.append(
            SawnCut(
                id=f"c{place}",
                at=began,
                by="P. Operator",
                saw=named["saw"],
                saw_name=named["saw"],
                grade=named["grade"],
                section_kind=named["section_kind"],
                section_name="section",
                height_mm=100.0,
                area_cm2=80.0,
                band_kind=named["band_kind"],
                predicted_s=100.0,
                began_at=began,
                ended_at=began + timedelta(seconds=100 * math.exp(ratio) * spoiled),
            )
        )
    return Log(tuple(cuts))


def _work(one: Observation) -> Scope:
    return Scope(one.cut.grade, one.cut.saw, one.cut.section_kind, one.cut.band_kind)


def test_held_back_cuts_lie_where_they_were_forecast() -> None:
    """Source: the last 60 cuts of each of ten logs, which were not learned from.

    600 cuts: three standard errors of 90 % are 3.7 points, beside the 3 claimed. Spoiled cuts are not asked
    after: what a break takes can't be forecast.
    """
    held = asked = 0
    learned_off = published_off = 0.0
    for seed in range(10):
        log = _log(300 + seed, 260)
        known = learn_times(Measure.CUT_TIME, cut_times(Log(log.cuts[:200]), {}).observations)
        for one in cut_times(log, {}).observations:
            if int(one.cut.id[1:]) < 200 or int(one.cut.id[1:]) % 40 == 17:
                continue
            middle, low, high = known.forecast(_work(one))
            took = math.exp(one.log_ratio)
            asked += 1
            held += low <= took <= high
            learned_off += abs(middle / took - 1)
            published_off += abs(1 / took - 1)
    assert asked > 550
    assert abs(held / asked - 0.9) < 0.03 + 3 * math.sqrt(0.09 / asked)
    assert learned_off / published_off < 0.6


def test_nothing_known_is_the_published_figure_with_its_spread() -> None:
    middle, low, high = learn_times(Measure.CUT_TIME, []).forecast(Scope("4140", "north"))
    assert middle == 1.0
    assert low < 0.75 < 1.25 < high


def test_every_scope_that_was_cut_has_a_factor_and_no_other() -> None:
    seen = cut_times(_log(5, 80), {}).observations
    learned = learn_times(Measure.CUT_TIME, seen)
    wanted = {Scope(**{field: one.named[field] for field in fields}) for fields in SHOWN for one in seen}
    assert {one.factor.scope for one in learned.factors} == wanted
    whole = next(one for one in learned.factors if one.factor.scope == Scope())
    assert whole.factor.count == len(seen)
    for one in learned.factors:
        assert one.next_low < one.factor.low <= one.factor.value <= one.factor.high < one.next_high


def test_work_never_seen_is_forecast_wider_than_work_that_was() -> None:
    seen = cut_times(_log(6, 150), {}).observations
    learned = learn_times(Measure.CUT_TIME, seen)
    _, low, high = learned.forecast(_work(seen[0]))
    _, new_low, new_high = learned.forecast(Scope("new grade", "new saw", "new kind", "new band"))
    assert math.log(new_high / new_low) > 1.2 * math.log(high / low)


def test_one_number_of_records_gives_one_answer() -> None:
    """No chance is in it: the same records teach the same to the last digit."""
    seen = cut_times(_log(7, 60), {}).observations
    first, second = (learn_times(Measure.CUT_TIME, seen).factors for _ in range(2))
    assert first == second
    assert first[0].factor.value == pytest.approx(second[0].factor.value, rel=0)
