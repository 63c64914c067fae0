"""Cumulative sums: what adds up beyond a slack, upwards and downwards.

References
----------
.. [1] Page, E. S., Continuous inspection schemes, Biometrika 41, 1954.
.. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3 (memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass

SLACK, LIMIT = 0.5, 5.0
"""In standard deviations: tuned to a lasting shift of one."""


@dataclass(frozen=True, slots=True)
class Cusum:
    """Sums after each value, and the places at which either is above the limit."""

    upper: tuple[float, ...]
    lower: tuple[float, ...]
    signals: tuple[int, ...]


def cusum(values: Sequence[float], target: float, slack: float, limit: float) -> Cusum:
    """Sums of ``values`` beyond ``target`` and ``slack``, all in one unit. References: [1]_, [2]_."""
    up = down = 0.0
    upper, lower, signals = [], [], []
    for at, value in enumerate(values):
        up = max(0.0, up + value - target - slack)
        down = max(0.0, down + target - value - slack)
        upper.append(up)
        lower.append(down)
        if max(up, down) > limit:
            signals.append(at)
    return Cusum(tuple(upper), tuple(lower), tuple(signals))
