"""Specific cutting force after Kienzle with the material groups of VDI 3323.

References
----------
.. [1] Kienzle, O., Die Bestimmung von Kräften und Leistungen an spanenden Werkzeugen, VDI-Z 94, 1952
   (memory, good).
.. [2] VDI 3323 material groups with kc1.1 and mc, as reprinted in turning-tool data books, 2017 (a)
   and 2022 (b).
"""

import numpy as np
from numpy.typing import NDArray

from kerfsmith.cutting.models.validity import Estimate, Span

SOURCE = "VDI3323b"
LAW = "Kienzle1952"
LEAST_CHIP_MM = 0.002
WORN_BAND = (1.2, 1.5)
RANGE = (Span("chip thickness", 0.1, 1.0, "mm", SOURCE, "turning tests behind kc1.1"),)


def specific_force(chip_mm: float, kc11_n_per_mm2: float, mc: float) -> Estimate:
    """Specific cutting force.

    .. math:: k_c = k_{c1.1} \\, h^{-m_c}

    The fits come from turning at 0.1 to 1 mm; a bandsaw tooth takes 0.002 to 0.05 mm, so nearly every answer
    is an extrapolation and says so. Below 0.002 mm the force of 0.002 mm is held.

    Parameters
    ----------
    chip_mm : float
        Chip thickness, [mm]
    kc11_n_per_mm2 : float
        Specific force at a chip of 1 mm by 1 mm, [N/mm^2]
    mc : float
        Slope, [-]

    Returns
    -------
    Estimate
        Specific cutting force, [N/mm^2]

    Examples
    --------
    >>> round(specific_force(0.01, 1350, 0.21).value)
    3551

    References: [1]_, [2]_.
    """
    value = kc11_n_per_mm2 * max(chip_mm, LEAST_CHIP_MM) ** -mc
    inside = RANGE[0].holds(chip_mm)
    return Estimate(value, inside, "" if inside else "extrapolated from turning at 0.1 to 1 mm")


def specific_forces(
    chip_mm: NDArray[np.float64],
    kc11_n_per_mm2: float | NDArray[np.float64],
    mc: float | NDArray[np.float64],
) -> NDArray[np.float64]:
    """:func:`specific_force` for many chips at once, without the word on its range.

    Parameters
    ----------
    chip_mm : ndarray
        Chip thickness, [mm]
    kc11_n_per_mm2 : float or ndarray
        Specific force at a chip of 1 mm by 1 mm, [N/mm^2]
    mc : float or ndarray
        Slope, [-]

    Returns
    -------
    ndarray
        Specific cutting force, [N/mm^2]

    References: [1]_, [2]_.
    """
    forces: NDArray[np.float64] = kc11_n_per_mm2 * np.maximum(chip_mm, LEAST_CHIP_MM) ** -mc
    return forces
