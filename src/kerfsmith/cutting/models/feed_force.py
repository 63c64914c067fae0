"""From cutting power to the force that the feed must push with.

References
----------
.. [1] Derived: the power at the teeth is force along the band times band speed.
.. [2] Feed force over cutting force 0.5 to 1.0 sharp, 1.0 to 1.5 worn: from memory, low, after the
power-sawing
   studies of Thompson and Sarwar, whose thrust ratio of 0.6 to 1.2 rises with wear.
"""

from kerfsmith.cutting.models.validity import Span

SOURCE = "house"
SHARP = (0.5, 0.75, 1.0)
WORN = (1.0, 1.25, 1.5)
RANGE = (Span("feed force over cutting force", 0.5, 1.5, "-", SOURCE, "memory, low"),)


def cutting_force_n(power_kw: float, band_speed_m_per_min: float) -> float:
    """Force along the band.

    .. math:: F_c = P / v

    Parameters
    ----------
    power_kw : float
        Power at the teeth, [kW]
    band_speed_m_per_min : float
        Band speed, [m/min]

    Returns
    -------
    float
        Cutting force, [N]

    References: [1]_.
    """
    return power_kw * 60_000 / band_speed_m_per_min


def feed_force_n(cutting_n: float, ratio: float) -> float:
    """Force that presses the band into the work.

    .. math:: F_f = r F_c

    Parameters
    ----------
    cutting_n : float
        Cutting force, [N]
    ratio : float
        Feed force over cutting force, [-]

    Returns
    -------
    float
        Feed force, [N]

    References: [2]_.
    """
    return ratio * cutting_n
