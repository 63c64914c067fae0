"""Capability: how the spread of what is made fits into the tolerance sold.

References
----------
.. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6 (memory).
.. [2] Bissell, A. F., How reliable is your capability index?, Applied Statistics 39, 1990 (interval of Cpk).
.. [3] Kotz, S., Johnson, N. L., Process Capability Indices, 1993 (interval of Cp by chi-square).
"""

import math
from dataclasses import dataclass

from kerfsmith.errors import InvalidValue
from kerfsmith.learning.distributions import STANDARD_NORMAL, chi_square_quantile, normal_share


@dataclass(frozen=True, slots=True)
class Index:
    """A capability index with the interval that covers as much as was asked."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Capability:
    """``cp`` says what the spread would allow were it centred (None where one limit is missing), ``cpk`` what
    it does. ``outside`` is the share expected out of tolerance if values are normal.
    """

    cp: Index | None
    cpk: Index
    mean: float
    sd: float
    count: int
    outside: float


def capability(
    mean: float, sd: float, count: int, *, low: float | None, high: float | None, cover: float = 0.9
) -> Capability:
    """Capability of ``count`` values with ``mean`` and ``sd`` against limits of which one may be missing.

    .. math:: C_p = (U - L) / 6s, \\quad C_{pk} = \\min(U - m, m - L) / 3s

    References: [1]_ to [3]_. Raises InvalidValue without limits, without spread or with fewer than two
    values.
    """
    if (low is None and high is None) or sd <= 0 or count < 2:
        raise InvalidValue("capability needs a limit, a spread and two values or more")
    cp = None
    if low is not None and high is not None:
        value, freedom = (high - low) / (6 * sd), count - 1
        ends = (math.sqrt(chi_square_quantile((1 + side * cover) / 2, freedom) / freedom) for side in (-1, 1))
        cp = Index(value, *(value * end for end in ends))
    room = [
        end
        for end in (None if high is None else high - mean, None if low is None else mean - low)
        if end is not None
    ]
    cpk = min(room) / (3 * sd)
    aside = STANDARD_NORMAL.inv_cdf((1 + cover) / 2)
    swing = aside * math.sqrt(1 / (9 * count) + cpk**2 / (2 * (count - 1)))
    outside = sum(normal_share(-each / sd) for each in room)
    return Capability(cp, Index(cpk, cpk - swing, cpk + swing), mean, sd, count, outside)
