"""How many teeth should be in the cut, where the sources disagree.

References
----------
.. [1] US Navy NAVEDTRA 14119, sawing section: at least two teeth.
.. [2] Machining Fundamentals, Goodheart-Willcox, 2019, p. 167: the three-tooth rule.
.. [3] A fabrication-shop trade article: at most 10 to 14. From memory, good: at most 24.
.. [4] Trade articles on sawing tube (abstracts): one or two teeth in a wall may strip, bend and dull early.
"""

from enum import StrEnum
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.validity import Span

SOURCE = "GW2019"
OLDER = "NAV14119"
RISK = "trade-tube"
REFUSED = 1.0
"""Teeth of the coarsest pitch under which no band is offered: the wall would drop into a gullet."""
LEAST = 2.0
WANTED = 3.0
MOST_SOFT = 14.0
MOST = 24.0
RANGE = (Span("pitch", 25.4 / 32, 25.4 / 0.75, "mm", "NAV14119", "pitches sold"),)

Number = TypeVar("Number", float, NDArray[np.float64])


class TeethClass(StrEnum):
    """What a count of teeth in the cut calls for."""

    TOO_FEW = "too few"
    FEW = "few"
    RIGHT = "right"
    MANY = "many"


def teeth(chord_mm: Number, pitch_mm: Number) -> Number:
    """Teeth in one chord.

    .. math:: n = W / p

    Parameters
    ----------
    chord_mm : float or ndarray
        Length of one unbroken chord, [mm]
    pitch_mm : float or ndarray
        Tooth pitch, [mm]

    Returns
    -------
    float or ndarray
        Teeth, [-]

    Examples
    --------
    >>> teeth(101.6, 25.4 / 3.5)
    14.0

    References: [2]_.
    """
    return chord_mm / pitch_mm


def few_class(count: float) -> TeethClass:
    """Class of the least count: below 2 too few by every source, from 2 to 3 a warning.

    Below :data:`REFUSED` a band isn't offered at all; from there to 2 only where no other band of the saw has
    two, with the feed held back and a caution.

    Parameters
    ----------
    count : float
        Teeth in the thinnest chord that lasts, [-]

    Returns
    -------
    TeethClass
        TOO_FEW, FEW or RIGHT

    References: [1]_ for 2, [2]_ for 3, [4]_ for what one or two risk; taking all is our choice.
    """
    if count < LEAST:
        return TeethClass.TOO_FEW
    return TeethClass.FEW if count < WANTED else TeethClass.RIGHT


def many_class(count: float, soft: bool) -> TeethClass:
    """Class of the greatest count: above 14 in soft or gummy metal, above 24 in any, a warning.

    Parameters
    ----------
    count : float
        Teeth in the longest chord, [-]
    soft : bool
        Whether the metal is soft or gummy, [-]

    Returns
    -------
    TeethClass
        RIGHT or MANY

    References: [3]_.
    """
    return TeethClass.MANY if count > (MOST_SOFT if soft else MOST) else TeethClass.RIGHT


def stripping_chip_um(count: Number, least_chip_um: Number, greatest_chip_um: Number) -> Number:
    """Chip that teeth may take when fewer than three share a chord.

    .. math:: h = h_{least} + (h_{greatest} - h_{least}) \\, n / 3, \\quad 0 \\le n \\le 3

    Parameters
    ----------
    count : float or ndarray
        Teeth in the chord, no more than 3, [-]
    least_chip_um : float or ndarray
        Thinnest chip that still cuts, [um]
    greatest_chip_um : float or ndarray
        Thickest chip the teeth bear, [um]

    Returns
    -------
    float or ndarray
        Feed for each tooth, [um]

    References: derived from [2]_: three teeth bear the full chip, a lone tooth is held to the least; the
    straight line between is an assumption of the house, low confidence.
    """
    return least_chip_um + (greatest_chip_um - least_chip_um) * (count / WANTED)
