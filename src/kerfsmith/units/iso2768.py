"""General tolerances on lengths after ISO 2768-1, table 1, for a length given without its own tolerance.

Confidence: classes m and c above 30 mm are well known from several places (M+); the shorter steps and the
classes f and v stand here from memory (M). Read the standard itself before a contract hangs on them.
"""

from enum import StrEnum


class ToleranceClass(StrEnum):
    """Class of general tolerance: fine, medium, coarse, very coarse."""

    FINE = "f"
    MEDIUM = "m"
    COARSE = "c"
    VERY_COARSE = "v"


_UP_TO_UM = (3_000, 6_000, 30_000, 120_000, 400_000, 1_000_000, 2_000_000, 4_000_000)
_FROM_UM = 500
_DEVIATION_UM: dict[ToleranceClass, tuple[int | None, ...]] = {
    ToleranceClass.FINE: (50, 50, 100, 150, 200, 300, 500, None),
    ToleranceClass.MEDIUM: (100, 100, 200, 300, 500, 800, 1_200, 2_000),
    ToleranceClass.COARSE: (200, 300, 500, 800, 1_200, 2_000, 3_000, 4_000),
    ToleranceClass.VERY_COARSE: (None, 500, 1_000, 1_500, 2_500, 4_000, 6_000, 8_000),
}


def deviation_um(tolerance_class: ToleranceClass, nominal_um: int) -> int | None:
    """Permissible deviation either way in µm at the nominal length; None where the table has no figure.

    Each step runs from above its lower bound up to and including its upper one.
    """
    if nominal_um < _FROM_UM:
        return None
    for up_to, deviation in zip(_UP_TO_UM, _DEVIATION_UM[tolerance_class], strict=True):
        if nominal_um <= up_to:
            return deviation
    return None
