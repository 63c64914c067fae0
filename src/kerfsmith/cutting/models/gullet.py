"""How full the gullets run: the chip a tooth makes must find room ahead of it until it leaves the work.

References
----------
.. [1] Derived; the three constants are from memory, low: gullet area about 0.3 p^2, chips three to six times
   as bulky as the metal (two to three for cast iron), a gullet good for 0.5 to 0.7 of its area.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.validity import Span

SOURCE = "house"
AREA_SHARE = 0.3
DEPTH_SHARE = 0.4
FILL = (0.5, 0.7)
RANGE = (Span("pitch", 25.4 / 24, 25.4 / 0.75, "mm", SOURCE, "pitches sold"),)

Number = TypeVar("Number", float, NDArray[np.float64])


def gullet_area_mm2(pitch_mm: Number) -> Number:
    """Area of one gullet.

    .. math:: A = 0.3 \\, p^2

    Parameters
    ----------
    pitch_mm : float or ndarray
        Tooth pitch, the finest of a variable one, [mm]

    Returns
    -------
    float or ndarray
        Gullet area, [mm^2]

    References: [1]_.
    """
    return AREA_SHARE * pitch_mm * pitch_mm


def fill(bulking: float, chip_mm: float, chord_mm: float, pitch_mm: float) -> float:
    """Share of the gullet that the chip takes by the time the tooth leaves the work.

    .. math:: \\eta = K h W / (0.3 p^2)

    Parameters
    ----------
    bulking : float
        Volume of loose chip over volume of metal, [-]
    chip_mm : float
        Feed for each tooth, [mm]
    chord_mm : float
        Longest single chord, [mm]
    pitch_mm : float
        Tooth pitch, [mm]

    Returns
    -------
    float
        Share of the gullet's area, [-]

    Examples
    --------
    >>> round(fill(5, 0.007, 101.6, 25.4 / 3.5), 2)
    0.23

    References: [1]_.
    """
    return bulking * chip_mm * chord_mm / gullet_area_mm2(pitch_mm)


def gullet_depth_mm(pitch_mm: Number) -> Number:
    """Depth of a gullet.

    .. math:: d = 0.4 \\, p

    Parameters
    ----------
    pitch_mm : float or ndarray
        Tooth pitch, [mm]

    Returns
    -------
    float or ndarray
        Gullet depth, [mm]

    References: [1]_.
    """
    return DEPTH_SHARE * pitch_mm
