"""Band speed corrections and unit power as tabulated in Machinery's Handbook, 31st edition.

References
----------
.. [1] Machinery's Handbook, 31st ed., Industrial Press, 2020: Band Saw Blades, p. 1245.
.. [2] Machinery's Handbook, 31st ed., Industrial Press, 2020: Machining Power, p. 1147, Table 1b. The feed
and
   wear factors stand on p. 1146, quoted here from memory (good).
"""

import math

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.validity import Estimate, Span

SOURCE = "MH31"
FEED_MM = (0.0254, 0.0508, 0.127, 0.254, 0.3048)
FEED_FACTOR = (1.60, 1.40, 1.19, 1.04, 1.00)
RANGE = (
    Span("length of cut", 6.35, 203.2, "mm", SOURCE, "p. 1245"),
    Span("feed", FEED_MM[0], FEED_MM[-1], "mm", SOURCE, "p. 1146"),
)

_LOG_FEED = np.log(FEED_MM)
_LOG_FEED_FACTOR = np.log(FEED_FACTOR)
# C(h) h rises with h, so it can be read backwards on the same straight lines in logarithms.
_LOG_LOAD = _LOG_FEED + _LOG_FEED_FACTOR


def band_speed_m_per_min(
    published_m_per_min: float, size: float, coolant: float, edge: float, hardness: float, shape: float
) -> float:
    """Band speed with its corrections.

    .. math:: v = v_0 \\, f_{size} \\, f_{coolant} \\, f_{edge} \\, f_{hardness} \\, f_{shape}

    Parameters
    ----------
    published_m_per_min : float
        Speed printed for a bimetal band, coolant and 101.6 mm in the cut, [m/min]
    size : float
        Factor for the length of cut, [-]
    coolant : float
        Factor for cutting dry, 1 with coolant, [-]
    edge : float
        Factor for the edge, 1 for bimetal, [-]
    hardness : float
        Factor for hardness above the printed condition, [-]
    shape : float
        Factor for rolled shapes that vibrate, [-]

    Returns
    -------
    float
        Band speed, [m/min]

    Examples
    --------
    >>> round(band_speed_m_per_min(120 * 0.3048, 1.10, 1, 1, 1, 1) / 0.3048)
    132

    References: [1]_ prints the factors for size, coolant and edge; that they multiply is how its example uses
    them.
    """
    return published_m_per_min * size * coolant * edge * hardness * shape


def feed_factor(chip_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Factor C on unit power for the feed of each tooth.

    .. math:: C = \\text{linear in logarithms between the printed points, ends held}

    Parameters
    ----------
    chip_mm : ndarray
        Feed for each tooth, [mm]

    Returns
    -------
    ndarray
        Factor C, [-]

    References: [2]_. Below 0.0254 mm the first value is held, which is outside the printed range.
    """
    return np.exp(np.interp(np.log(chip_mm), _LOG_FEED, _LOG_FEED_FACTOR))


def chip_for_load(load_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Feed of each tooth at which C(h) h equals a load: :func:`feed_factor` read backwards.

    Parameters
    ----------
    load_mm : ndarray
        The product C h, [mm]

    Returns
    -------
    ndarray
        Feed for each tooth, [mm]

    References: [2]_, solved exactly piece by piece.
    """
    low, high = math.exp(_LOG_LOAD[0]), math.exp(_LOG_LOAD[-1])
    chip = load_mm / FEED_FACTOR[0]
    # Nearly every chip of a saw lies below the printed feeds: only the few others need logarithms.
    inside = load_mm > low
    if inside.any():
        load = load_mm[inside]
        between = np.exp(np.interp(np.log(load), _LOG_LOAD, _LOG_FEED))
        chip[inside] = np.where(load > high, load / FEED_FACTOR[-1], between)
    return chip


def cutting_power_kw(
    unit_kw_per_cm3_per_s: float, chip_mm: float, removal_mm3_per_s: float, wear: float
) -> Estimate:
    """Power at the teeth by unit power.

    .. math:: P = K_p \\, C \\, Q \\, W

    Parameters
    ----------
    unit_kw_per_cm3_per_s : float
        Unit power, [kW/(cm^3/s)]
    chip_mm : float
        Feed for each tooth, [mm]
    removal_mm3_per_s : float
        Volume made into chips, [mm^3/s]
    wear : float
        Tool wear factor, 1 when sharp, [-]

    Returns
    -------
    Estimate
        Power at the teeth, [kW]

    References: [2]_.
    """
    factor = float(feed_factor(np.array([chip_mm]))[0])
    inside = RANGE[1].holds(chip_mm)
    note = "" if inside else f"feed factor held at {factor:g}: the chip lies outside the printed feeds"
    return Estimate(unit_kw_per_cm3_per_s * factor * removal_mm3_per_s / 1000 * wear, inside, note)
