"""The feed force at which a tensioned band turns sideways between its guides.

References
----------
.. [1] Timoshenko, S. P. and Gere, J. M., Theory of Elastic Stability, 2nd ed., McGraw-Hill, 1961, ch. 6:
narrow
   beam, load at mid span (memory, good). The tension term is a beam-column extension, an engineering
   estimate.
"""

import math

from kerfsmith.cutting.models.validity import Span

SOURCE = "Timoshenko1961"
YOUNG_MPA = 205_000.0
SHEAR_MPA = 80_000.0
SHARE = (0.3, 0.5)
CENTRE_LOAD = 16.94
RANGE = (Span("width over thickness", 10, 80, "-", SOURCE, "ch. 6: a narrow strip"),)


def moments_mm4(width_mm: float, thickness_mm: float) -> tuple[float, float]:
    """Lateral moment of inertia and torsion constant of a strip.

    .. math:: I_y = b t^3 / 12, \\quad J = b t^3 / 3

    Parameters
    ----------
    width_mm : float
        Band width, [mm]
    thickness_mm : float
        Band thickness, [mm]

    Returns
    -------
    tuple of float
        Lateral moment and torsion constant, [mm^4]

    References: [1]_.
    """
    cube = width_mm * thickness_mm**3
    return cube / 12, cube / 3


def slack_load_n(width_mm: float, thickness_mm: float, span_mm: float) -> float:
    """Critical load of a band without tension.

    .. math:: P_{cr} = 16.94 \\sqrt{E I_y G J} / L^2

    Parameters
    ----------
    width_mm : float
        Band width, [mm]
    thickness_mm : float
        Band thickness, [mm]
    span_mm : float
        Guide span, [mm]

    Returns
    -------
    float
        Critical load at mid span, [N]

    Examples
    --------
    >>> round(slack_load_n(27, 0.9, 250))
    114

    References: [1]_.
    """
    lateral, torsion = moments_mm4(width_mm, thickness_mm)
    return CENTRE_LOAD * math.sqrt(YOUNG_MPA * lateral * SHEAR_MPA * torsion) / span_mm**2


def tensioned_load_n(width_mm: float, thickness_mm: float, span_mm: float, tension_n: float) -> float:
    """Critical load of a band under tension.

    .. math:: M_{cr} = \\frac{\\pi}{L} \\sqrt{(E I_y + T L^2/\\pi^2)(G J + T b^2/12)}, \\quad
        P_{cr} = \\frac{16.94}{\\pi} M_{cr} / L

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
        Critical load at mid span, [N]

    Examples
    --------
    >>> round(tensioned_load_n(27, 0.9, 250, 4860), -1)
    1370.0

    References: [1]_. The load bears on the tooth line, not the centre, so use 0.3 to 0.5 of it.
    """
    lateral, torsion = moments_mm4(width_mm, thickness_mm)
    bending = YOUNG_MPA * lateral + tension_n * span_mm**2 / math.pi**2
    twisting = SHEAR_MPA * torsion + tension_n * width_mm**2 / 12
    return CENTRE_LOAD * math.sqrt(bending * twisting) / span_mm**2
