"""Lives of bands against a published worked example and scipy, and their intervals against known truth."""

import math

import numpy as np
import pytest
from scipy import stats

from kerfsmith.learning.band_wear import band_wear
from kerfsmith.learning.weibull import Life, fit_weibull

_ENDED = (54, 187, 216, 240, 244, 335, 361, 373, 375, 386)
HANDBOOK = [*(Life(x, True) for x in _ENDED), *[Life(500, False)] * 10]


def test_the_handbooks_example() -> None:
    """Source: NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (read)."""
    found = fit_weibull(HANDBOOK)
    assert found is not None
    assert found.shape == pytest.approx(1.7208, abs=5e-5)
    assert found.scale == pytest.approx(606.5280, abs=1e-3)
    assert found.log_likelihood(HANDBOOK) == pytest.approx(-75.135, abs=5e-4)
    assert found.mean == pytest.approx(540.737, abs=1e-3)


def test_fit_is_scipys() -> None:
    """Source: scipy.stats.weibull_min.fit with CensoredData."""
    rng = np.random.default_rng(8)
    lasted, until = 9000 * rng.weibull(2.3, 40), 9000 * rng.weibull(3.0, 40)
    lives = [Life(float(min(a, b)), bool(a < b)) for a, b in zip(lasted, until, strict=True)]
    data: stats.CensoredData = stats.CensoredData(
        uncensored=[life.lasted for life in lives if life.ended],
        right=[life.lasted for life in lives if not life.ended],
    )
    shape, _, scale = stats.weibull_min.fit(data, floc=0)
    found = fit_weibull(lives)
    assert found is not None
    assert found.shape == pytest.approx(shape, rel=1e-3)
    assert found.scale == pytest.approx(scale, rel=1e-3)
    assert found.lasting(0.5) == pytest.approx(stats.weibull_min.median(shape, scale=scale), rel=1e-3)


def test_too_little_to_fit() -> None:
    assert fit_weibull([Life(5.0, True), Life(6.0, False)]) is None
    assert band_wear({"a": [Life(0.5, False)]}) is None


def test_intervals_cover_the_true_life_and_grades_shrink() -> None:
    """Source: the truth the bands were drawn with: 60 shops of 5 grades, 1 to 8 bands each, half of them
    censored.
    """
    rng = np.random.default_rng(21)
    held = asked = 0
    off = published = 0.0
    for _ in range(60):
        general, shape = rng.normal(0, 0.4), math.exp(math.log(2) + 0.3 * rng.normal())
        lives, truth = {}, {}
        for grade in "abcde":
            truth[grade] = general + rng.normal(0, 0.2)
            scale = math.exp(truth[grade]) / math.log(2) ** (1 / shape)
            count = int(rng.integers(1, 9))
            pairs = zip(scale * rng.weibull(shape, count), 1.4 * scale * rng.weibull(1.2, count), strict=True)
            lives[grade] = [Life(float(min(a, b)), bool(a < b)) for a, b in pairs]
        found = band_wear(lives)
        if found is None:
            continue
        for grade, share in found.by_grade.items():
            asked += 1
            held += share.low <= math.exp(truth[grade]) <= share.high
            off += abs(math.log(share.share) - truth[grade])
            published += abs(truth[grade])
    # Five grades of a shop share its general life: counted as two and a half independent ones each.
    assert abs(held / asked - 0.9) <= 0.03 + 3 * math.sqrt(0.09 / (asked / 2))
    assert off / published < 0.75


def test_a_band_that_still_cuts_says_only_longer() -> None:
    ended = band_wear({"a": [Life(1.0, True), Life(1.1, True), Life(0.9, True)]})
    still = band_wear({"a": [Life(1.0, True), Life(1.1, False), Life(0.9, False)]})
    assert ended is not None
    assert still is not None
    assert still.by_grade["a"].share > ended.by_grade["a"].share
    assert (still.by_grade["a"].bands, still.by_grade["a"].ended) == (3, 1)
