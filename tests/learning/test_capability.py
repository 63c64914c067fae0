"""Capability against the handbook's example and by simulation."""

import numpy as np
import pytest
from scipy import stats

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.charts.capability import capability


def test_the_handbooks_example() -> None:
    """Source: NIST/SEMATECH e-Handbook 6.1.6 (memory)."""
    found = capability(16, 2, 30, low=8, high=20)
    assert found.cp is not None
    assert found.cp.value == pytest.approx(1.0)
    assert found.cpk.value == pytest.approx(0.6667, abs=5e-5)
    assert found.outside == pytest.approx(stats.norm.sf(2) + stats.norm.cdf(-4))


def test_one_limit_alone() -> None:
    found = capability(0.3, 0.1, 25, low=None, high=0.6)
    assert found.cp is None
    assert found.cpk.value == pytest.approx(1.0)


def test_intervals_cover() -> None:
    """Source: the truth the values were drawn with; 3000 samples of 25, three standard errors."""
    rng = np.random.default_rng(2)
    held = held_k = 0
    for _ in range(3000):
        values = rng.normal(0.2, 1.0, 25)
        found = capability(float(values.mean()), float(values.std(ddof=1)), 25, low=-4, high=4)
        assert found.cp is not None
        held += found.cp.low <= 8 / 6 <= found.cp.high
        held_k += found.cpk.low <= 3.8 / 3 <= found.cpk.high
    assert held / 3000 == pytest.approx(0.9, abs=0.017)
    # Bissell's interval is an approximation.
    assert held_k / 3000 == pytest.approx(0.9, abs=0.027)


def test_no_limits_no_capability() -> None:
    with pytest.raises(InvalidValue):
        capability(0, 1, 10, low=None, high=None)
    with pytest.raises(InvalidValue):
        capability(0, 0, 10, low=-1, high=1)
