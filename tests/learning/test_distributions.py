"""Distributions against scipy.stats."""

import numpy as np
import pytest
from scipy import stats

from kerfsmith.errors import InvalidValue
from kerfsmith.learning import distributions as own

SHARES = (0.001, 0.05, 0.5, 0.9, 0.999)
FREEDOMS = (1, 2, 5, 30, 250)


@pytest.mark.parametrize("freedom", FREEDOMS)
@pytest.mark.parametrize("share", SHARES)
def test_quantiles_are_scipys(share: float, freedom: int) -> None:
    assert own.chi_square_quantile(share, freedom) == pytest.approx(stats.chi2.ppf(share, freedom), rel=1e-8)
    assert own.student_quantile(share, freedom) == pytest.approx(
        stats.t.ppf(share, freedom), rel=1e-8, abs=1e-8
    )


@pytest.mark.parametrize("ratio", [0.01, 0.5, 1.0, 4.0, 30.0])
def test_f_tail_is_scipys(ratio: float) -> None:
    for above, below in ((1, 3), (4, 20), (8, 180)):
        assert own.f_tail(ratio, above, below) == pytest.approx(
            stats.f.sf(ratio, above, below), rel=1e-9, abs=1e-15
        )


def test_many_normal_shares_are_scipys() -> None:
    z = np.linspace(-9, 9, 1_733)
    assert own.normal_shares(z) == pytest.approx(stats.norm.cdf(z), abs=4e-8)


def test_a_quantile_of_everything_is_refused() -> None:
    with pytest.raises(InvalidValue, match="between 0 and 1"):
        own.chi_square_quantile(1.0, 3)
