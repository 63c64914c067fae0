"""How names are compared."""

import pytest

from kerfsmith.catalog.naming import folded, near_names


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("AISI 4140", "aisi-4140"),
        ("W12X26", "w 12 x 26"),
        ("W12*26", "W12x26"),
        ("L3-1/2X3X1/4", "L 3 1/2 x 3 x 1/4"),
        ("CHS 114.3x6.3", "chs114,3X6,3"),
        ("Gr. 5", "GR 5"),
    ],
)
def test_one_name(one: str, other: str) -> None:
    assert folded(one) == folded(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1.0038", "10038"),
        ("L1 1/4", "L11/4"),
        ("304/304L", "304304L"),
        ("W12X26", "W12X260"),
        ("SHS .25x3", "SHS 25x3"),
        ("L6x4x.5", "L6x4x5"),
    ],
)
def test_two_names(one: str, other: str) -> None:
    assert folded(one) != folded(other)


def test_near_names_come_best_first() -> None:
    assert near_names("414", ["1018", "4140", "4142", "6061"])[0] in ("4140", "4142")
    assert near_names("zzz", ["1018"]) == ()
