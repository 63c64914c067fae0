"""Chi-square, Student's t and F: shares and quantiles, from the incomplete gamma and beta functions.

References
----------
.. [1] Abramowitz, M., Stegun, I. A., Handbook of Mathematical Functions, 1964, 6.5.29 (series of the
   incomplete gamma function), 6.5.31 (its continued fraction), 26.5.8 (continued fraction of the incomplete
   beta function).
.. [2] Thompson, I. J., Barnett, A. R., Coulomb and Bessel functions of complex arguments and order, J.
   Comput. Phys. 64, 1986 (how a continued fraction is run forwards without overflow).
"""

import math
from collections.abc import Callable
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from kerfsmith.errors import InvalidValue

_TINY = 1e-300
_TERMS = 10_000
_CLOSE = 1e-15

STANDARD_NORMAL = NormalDist()


def normal_share(z: float) -> float:
    """Share of the standard normal distribution below ``z``."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


_GRID = np.linspace(-8.5, 8.5, 17_001)
_SHARES = np.array([normal_share(float(z)) for z in _GRID])


def normal_shares(z: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same for many values at once, from a table: within 4e-8 (derived: an eighth of step squared by
    slope).
    """
    return np.asarray(np.interp(z, _GRID, _SHARES))


def chi_square_share(x: float, freedom: float) -> float:
    """Share of the chi-square distribution with ``freedom`` degrees of freedom below ``x``. References:
    [1]_.
    """
    return _lower_gamma(freedom / 2, x / 2)


def chi_square_quantile(share: float, freedom: float) -> float:
    """The value below which ``share`` (0 to 1, both excluded) of the chi-square distribution lies."""
    return _bisect(lambda x: chi_square_share(x, freedom), share, 0.0, max(1.0, freedom))


def student_share(t: float, freedom: float) -> float:
    """Share of Student's t distribution with ``freedom`` degrees of freedom below ``t``. References: [1]_."""
    tail = 0.5 * _beta_share(freedom / (freedom + t * t), freedom / 2, 0.5)
    return 1 - tail if t > 0 else tail


def student_quantile(share: float, freedom: float) -> float:
    """The value below which ``share`` (0 to 1, both excluded) of Student's t distribution lies."""
    if share < 0.5:
        return -student_quantile(1 - share, freedom)
    return _bisect(lambda t: student_share(t, freedom), share, 0.0, 2.0)


def f_tail(ratio: float, above: float, below: float) -> float:
    """Chance that an F ratio with ``above`` and ``below`` degrees of freedom exceeds ``ratio``."""
    return 1.0 if ratio <= 0 else _beta_share(below / (below + above * ratio), below / 2, above / 2)


def _bisect(share_of: Callable[[float], float], share: float, low: float, high: float) -> float:
    if not 0 < share < 1:
        raise InvalidValue(f"a quantile is asked for between 0 and 1, not for {share}")
    while share_of(high) < share:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        if share_of(middle) < share:
            low = middle
        else:
            high = middle
        if high - low <= _CLOSE * max(1.0, high):
            break
    return (low + high) / 2


def _lower_gamma(a: float, x: float) -> float:
    """Regularised lower incomplete gamma function P(a, x)."""
    if x <= 0:
        return 0.0
    scale = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1:
        term = total = 1 / a
        for n in range(1, _TERMS):
            term *= x / (a + n)
            total += term
            if term < total * _CLOSE:
                break
        return scale * total
    return 1 - scale * _fraction(lambda n: (-n * (n - a), x + 2 * n + 1 - a), x + 1 - a)


def _fraction(step: Callable[[int], tuple[float, float]], first: float) -> float:
    """1 / (first + a1 / (b1 + a2 / (b2 + ...))) with (an, bn) = step(n). References: [2]_."""
    value = first or _TINY
    up, down = value, 0.0
    for n in range(1, _TERMS):
        a, b = step(n)
        down = 1 / ((b + a * down) or _TINY)
        up = (b + a / up) or _TINY
        value *= up * down
        if abs(up * down - 1) < _CLOSE:
            break
    return 1 / value


def _beta_share(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function I_x(a, b)."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_share(1 - x, b, a)
    front = a * math.log(x) + b * math.log1p(-x) + math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)

    def step(n: int) -> tuple[float, float]:
        m, odd = divmod(n, 2)
        if odd:
            return -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)), 1.0
        return m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)), 1.0

    return math.exp(front) / a * _fraction(step, 1.0)
