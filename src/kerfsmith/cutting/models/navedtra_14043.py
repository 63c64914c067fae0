"""Length of band on two wheels.

References
----------
.. [1] US Navy NAVEDTRA 14043, Builder 3 & 2, vol. 1, ch. 3: circumference of one wheel and twice the centre
   distance, for equal wheels.
.. [2] Derived: the open-belt form for unequal wheels, which gives [1]_ when they are equal.
"""

import math

from kerfsmith.cutting.models.validity import Span

SOURCE = "NAV14043"
RANGE = (Span("wheel difference over centre distance", 0, 0.5, "-", SOURCE, "open belt, first term"),)


def band_length_mm(wheel_mm: float, other_wheel_mm: float, centres_mm: float) -> float:
    """Length of a band over two wheels.

    .. math:: L = 2 C + \\pi (D_1 + D_2)/2 + (D_1 - D_2)^2 / (4 C)

    Parameters
    ----------
    wheel_mm : float
        Diameter of one wheel, [mm]
    other_wheel_mm : float
        Diameter of the other wheel, [mm]
    centres_mm : float
        Distance between wheel centres, [mm]

    Returns
    -------
    float
        Band length, [mm]

    Examples
    --------
    >>> round(band_length_mm(18, 18, 40), 2)
    136.55

    References: [1]_, [2]_.
    """
    difference = wheel_mm - other_wheel_mm
    return 2 * centres_mm + math.pi * (wheel_mm + other_wheel_mm) / 2 + difference**2 / (4 * centres_mm)
