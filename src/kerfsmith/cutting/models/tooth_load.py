"""What feed, speed, pitch, chip, rate and time are to one another. Identities, true without a range.

References
----------
.. [1] Derived: a tooth that passes every p / v advances vf p / v into the work; the band sweeps vf W.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.validity import Span

SOURCE = "derived"
RANGE: tuple[Span, ...] = ()

Number = TypeVar("Number", float, NDArray[np.float64])


def chip_um(feed_mm_per_min: Number, pitch_mm: Number, band_speed_m_per_min: Number) -> Number:
    """Mean feed of each tooth.

    .. math:: h = v_f \\, p / v

    Parameters
    ----------
    feed_mm_per_min : float or ndarray
        Feed of the band into the work, [mm/min]
    pitch_mm : float or ndarray
        Tooth pitch, [mm]
    band_speed_m_per_min : float or ndarray
        Band speed, [m/min]

    Returns
    -------
    float or ndarray
        Feed for each tooth, [um]

    Examples
    --------
    >>> round(chip_um(60.0, 25.4 / 3.5, 80.0), 2)
    5.44

    References: [1]_. With a raker set a side of the kerf is cut by every third tooth, up to 3 h at once.
    """
    return feed_mm_per_min * pitch_mm / band_speed_m_per_min


def feed_mm_per_min(chip_um: Number, pitch_mm: Number, band_speed_m_per_min: Number) -> Number:
    """Feed that gives a chip: :func:`chip_um` read backwards.

    Parameters
    ----------
    chip_um : float or ndarray
        Feed for each tooth, [um]
    pitch_mm : float or ndarray
        Tooth pitch, [mm]
    band_speed_m_per_min : float or ndarray
        Band speed, [m/min]

    Returns
    -------
    float or ndarray
        Feed of the band into the work, [mm/min]

    References: [1]_.
    """
    return chip_um * band_speed_m_per_min / pitch_mm


def area_rate_cm2_per_min(feed_mm_per_min: Number, contact_mm: Number) -> Number:
    """Area sawn in a minute.

    .. math:: R = v_f \\, W

    Parameters
    ----------
    feed_mm_per_min : float or ndarray
        Feed of the band into the work, [mm/min]
    contact_mm : float or ndarray
        Contact width along the band, [mm]

    Returns
    -------
    float or ndarray
        Cutting rate, [cm^2/min]

    References: [1]_.
    """
    return feed_mm_per_min * contact_mm / 100


def removal_mm3_per_s(rate_cm2_per_min: float, kerf_mm: float) -> float:
    """Volume made into chips in a second.

    .. math:: Q = R \\, k

    Parameters
    ----------
    rate_cm2_per_min : float
        Cutting rate, [cm^2/min]
    kerf_mm : float
        Kerf, [mm]

    Returns
    -------
    float
        Volume made into chips, [mm^3/s]

    References: [1]_.
    """
    return rate_cm2_per_min * 100 / 60 * kerf_mm


def tooth_passing_hz(band_speed_m_per_min: float, pitch_mm: float) -> float:
    """Teeth that pass a point in a second: the note of a band that sings.

    .. math:: f = v / p

    Parameters
    ----------
    band_speed_m_per_min : float
        Band speed, [m/min]
    pitch_mm : float
        Tooth pitch, [mm]

    Returns
    -------
    float
        Tooth-passing frequency, [Hz]

    References: [1]_.
    """
    return band_speed_m_per_min * 1000 / 60 / pitch_mm
