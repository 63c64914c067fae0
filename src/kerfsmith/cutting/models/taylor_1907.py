"""Life of an edge against speed, and the life that costs least.

References
----------
.. [1] Taylor, F. W., On the Art of Cutting Metals, Trans. ASME 28, 1907 (memory, good).
.. [2] Gilbert, W. W., Economics of Machining, in Machining: Theory and Practice, ASM, 1950 (memory, good).
.. [3] Exponents by tool material: Kalpakjian, Manufacturing Engineering and Technology (memory, good). No
   exponent was found for bands; those of turning tools stand in, and the answer is shown as an interval.
"""

from kerfsmith.cutting.models.validity import Span

SOURCE = "Taylor1907"
COSTS = "Gilbert1950"
EXPONENTS = "Kalpakjian"
EXPONENT = {
    "carbon steel": (0.08, 0.1, 0.15),
    "bimetal": (0.08, 0.125, 0.20),
    "carbide-tipped": (0.20, 0.25, 0.30),
}
"""Low, usual and high exponent for each edge."""
RANGE = (
    Span("speed over published speed", 0.5, 1.5, "-", EXPONENTS, "a turning exponent carried over to bands"),
)


def life_min(band_speed_m_per_min: float, constant_m_per_min: float, exponent: float) -> float:
    """Minutes of cutting until the edge is worn.

    .. math:: T = (C / v)^{1/n}

    Parameters
    ----------
    band_speed_m_per_min : float
        Band speed, [m/min]
    constant_m_per_min : float
        Speed at which the edge lasts one minute, [m/min]
    exponent : float
        Taylor exponent, [-]

    Returns
    -------
    float
        Life, [min]

    References: [1]_.
    """
    return float((constant_m_per_min / band_speed_m_per_min) ** (1 / exponent))


def life_factor(speed_ratio: float, exponent: float) -> float:
    """Life in minutes at another speed, as a share of life at the first.

    .. math:: T/T_0 = (v/v_0)^{-1/n}

    Parameters
    ----------
    speed_ratio : float
        New speed over old, [-]
    exponent : float
        Taylor exponent, [-]

    Returns
    -------
    float
        Life over life, [-]

    Examples
    --------
    >>> round(life_factor(1.1, 0.125), 2)
    0.47

    References: [1]_.
    """
    return float(speed_ratio ** (-1 / exponent))


def life_area_cm2(area_cm2: float, speed_ratio: float, exponent: float) -> float:
    """Life in area sawn, when the chip stays and the rate rises with speed.

    .. math:: A = A_0 (v/v_0)^{1 - 1/n}

    Parameters
    ----------
    area_cm2 : float
        Area sawn in a life at the published speed, [cm^2]
    speed_ratio : float
        Speed over published speed, [-]
    exponent : float
        Taylor exponent, [-]

    Returns
    -------
    float
        Area sawn in a life, [cm^2]

    References: derived from [1]_ with R proportional to v.
    """
    return float(area_cm2 * speed_ratio ** (1 - 1 / exponent))


def least_cost_life_min(exponent: float, change_min: float, band_cost: float, cost_per_min: float) -> float:
    """Life at which a cut costs least.

    .. math:: T = (1/n - 1)(t_c + C_t / C_o)

    Parameters
    ----------
    exponent : float
        Taylor exponent, [-]
    change_min : float
        Time to change the band, [min]
    band_cost : float
        Price of a band, [currency]
    cost_per_min : float
        Saw and labour, [currency/min]

    Returns
    -------
    float
        Life of least cost, [min]

    Examples
    --------
    >>> least_cost_life_min(0.125, 15, 80, 1.25)
    553.0

    References: [2]_.
    """
    return (1 / exponent - 1) * (change_min + band_cost / cost_per_min)


def least_time_life_min(exponent: float, change_min: float) -> float:
    """Life at which pieces come off quickest, band changes counted.

    .. math:: T = (1/n - 1) t_c

    Parameters
    ----------
    exponent : float
        Taylor exponent, [-]
    change_min : float
        Time to change the band, [min]

    Returns
    -------
    float
        Life of least time, [min]

    References: [2]_.
    """
    return (1 / exponent - 1) * change_min
