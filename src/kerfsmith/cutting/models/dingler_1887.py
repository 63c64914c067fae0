"""Speeds of carbon-steel bands in the first years of sawing metal cold.

References
----------
.. [1] Dinglers Polytechnisches Journal 266 (1887) p. 154, on sawing metals cold, after Laurent.
"""

from kerfsmith.cutting.models.validity import Span

SOURCE = "Dingler1887"
SPEED_M_PER_S = {"iron": 1.1, "cast iron and steel": 0.75, "gunmetal": 1.41}
RANGE = (Span("band speed", 0.75, 1.41, "m/s", SOURCE, "p. 154"),)


def carbon_band_m_per_min(metal: str) -> float:
    """Band speed recommended for a carbon-steel band, whatever the work's height.

    Parameters
    ----------
    metal : str
        "iron", "cast iron and steel" or "gunmetal", [-]

    Returns
    -------
    float
        Band speed, [m/min]

    References: [1]_.
    """
    return SPEED_M_PER_S[metal] * 60
