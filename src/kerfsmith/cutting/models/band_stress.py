"""Stress in a running band: bent over wheels, pulled straight, twisted into guides; and how it counts up.

References
----------
.. [1] Elementary beam theory (derived).
.. [2] Borchelt, Ulsoy and Papalambros, UM-MEAM-83-13, 1983: the terms that make up band stress (abstract).
.. [3] Goodman, J., Mechanics Applied to Engineering, 1899: mean stress and amplitude (memory, good).
"""

import math

from kerfsmith.cutting.models.validity import Span

SOURCE = "derived"
TERMS = "Borchelt1983"
FATIGUE = "Goodman1899"
YOUNG_MPA = 205_000.0
SHEAR_MPA = 80_000.0
STEEL_KG_PER_M3 = 7850.0
USUAL_TENSION_MPA = {
    "carbon steel": (103.0, 172.0),
    "bimetal": (172.0, 241.0),
    "carbide-tipped": (207.0, 310.0),
}
WHEEL_RATIO_CARBON = 500.0
WHEEL_RATIO = 450.0
BACK_STRENGTH_MPA = 1600.0
BACK_ENDURANCE_MPA = 600.0
RANGE = (Span("wheel over thickness", 100, 2000, "-", SOURCE, "thin strip on a wheel"),)


def wheel_bending_mpa(thickness_mm: float, wheel_mm: float, young_mpa: float = YOUNG_MPA) -> float:
    """Bending stress over a wheel.

    .. math:: \\sigma_b = E t / (D + t)

    Parameters
    ----------
    thickness_mm : float
        Band thickness, [mm]
    wheel_mm : float
        Wheel diameter, [mm]
    young_mpa : float
        Young's modulus, [MPa]

    Returns
    -------
    float
        Stress at the outer face, [MPa]

    Examples
    --------
    >>> round(wheel_bending_mpa(0.9, 450), 1)
    409.2

    References: [1]_.
    """
    return young_mpa * thickness_mm / (wheel_mm + thickness_mm)


def tension_n(stress_mpa: float, width_mm: float, thickness_mm: float) -> float:
    """Pull in one strand; the wheels feel twice as much.

    .. math:: T = \\sigma_t \\, b \\, t

    Parameters
    ----------
    stress_mpa : float
        Tension stress, [MPa]
    width_mm : float
        Band width, [mm]
    thickness_mm : float
        Band thickness, [mm]

    Returns
    -------
    float
        Tension in the strand, [N]

    Examples
    --------
    >>> round(tension_n(200, 27, 0.9), 6)
    4860.0

    References: [1]_.
    """
    return stress_mpa * width_mm * thickness_mm


def twist_shear_mpa(thickness_mm: float, twist_deg: float, twist_length_mm: float) -> float:
    """Shear stress where the band is turned from wheel to guide.

    .. math:: \\tau = G t \\theta / L_t

    Parameters
    ----------
    thickness_mm : float
        Band thickness, [mm]
    twist_deg : float
        Angle of twist, [deg]
    twist_length_mm : float
        Length over which it turns, [mm]

    Returns
    -------
    float
        Shear stress, [MPa]

    Examples
    --------
    >>> round(twist_shear_mpa(0.9, 45, 300))
    188

    References: [1]_.
    """
    return SHEAR_MPA * thickness_mm * math.radians(twist_deg) / twist_length_mm


def twist_edge_mpa(width_mm: float, twist_deg: float, twist_length_mm: float) -> float:
    """Added tension in the edges of a twisted band, which have the longer way.

    .. math:: \\sigma = E b^2 \\theta^2 / (12 L_t^2)

    Parameters
    ----------
    width_mm : float
        Band width, [mm]
    twist_deg : float
        Angle of twist, [deg]
    twist_length_mm : float
        Length over which it turns, [mm]

    Returns
    -------
    float
        Tension stress at the edge, [MPa]

    Examples
    --------
    >>> round(twist_edge_mpa(27, 45, 300))
    85

    References: [1]_.
    """
    return YOUNG_MPA * (width_mm * math.radians(twist_deg) / twist_length_mm) ** 2 / 12


def centrifugal_mpa(band_speed_m_per_min: float) -> float:
    """Tension from the band's own speed; nothing to speak of in metal.

    .. math:: \\sigma = \\rho v^2

    Parameters
    ----------
    band_speed_m_per_min : float
        Band speed, [m/min]

    Returns
    -------
    float
        Tension stress, [MPa]

    References: [1]_, [2]_.
    """
    return STEEL_KG_PER_M3 * (band_speed_m_per_min / 60) ** 2 / 1e6


def bends_per_min(band_speed_m_per_min: float, band_length_mm: float) -> float:
    """Bends of any one spot of the band in a minute: two wheels in each loop.

    .. math:: N = 2 v / L

    Parameters
    ----------
    band_speed_m_per_min : float
        Band speed, [m/min]
    band_length_mm : float
        Length of the loop, [mm]

    Returns
    -------
    float
        Bends in a minute, [1/min]

    Examples
    --------
    >>> round(bends_per_min(80, 4500), 1)
    35.6

    References: [1]_.
    """
    return 2 * band_speed_m_per_min * 1000 / band_length_mm


def in_plane_stiffness_n_per_mm(
    width_mm: float, thickness_mm: float, span_mm: float, tension_n: float
) -> float:
    """Stiffness against the feed at mid span: simply supported beam and taut string together.

    .. math:: k = 48 E I / L^3 + 4 T / L, \\quad I = t b^3 / 12

    Parameters
    ----------
    width_mm : float
        Band width, [mm]
    thickness_mm : float
        Band thickness, [mm]
    span_mm : float
        Guide span, [mm]
    tension_n : float
        Tension in the strand, [N]

    Returns
    -------
    float
        Stiffness, [N/mm]

    References: [1]_.
    """
    moment = thickness_mm * width_mm**3 / 12
    return 48 * YOUNG_MPA * moment / span_mm**3 + 4 * tension_n / span_mm


def fatigue_use(bending_mpa: float, steady_mpa: float) -> float:
    """How much of the back's endurance the wheels use up; above 1 the back will crack before the teeth are
    done.

    .. math:: u = \\sigma_a / S_e + \\sigma_m / S_u, \\quad \\sigma_a = \\sigma_b / 2,
        \\ \\sigma_m = \\sigma_b / 2 + \\sigma_t

    Parameters
    ----------
    bending_mpa : float
        Bending stress over the wheel, [MPa]
    steady_mpa : float
        Steady tension stress, [MPa]

    Returns
    -------
    float
        Use of endurance, [-]

    References: [3]_ for the straight line; strength 1600 MPa and endurance 600 MPa of a hardened alloy back
    are placeholders, low confidence.
    """
    half = bending_mpa / 2
    return half / BACK_ENDURANCE_MPA + (half + steady_mpa) / BACK_STRENGTH_MPA
