"""What is still to be cut, what fits, and what slanting cuts take, against sums done by hand."""

import math
from dataclasses import replace

import pytest

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.workflow.bar_progress import angles_of_piece, cut_area_cm2, kerf_alone_um, that_fit

P = PlannedPiece("l", "P", 1_000, 2)


def test_pieces_are_taken_while_they_fit() -> None:
    assert that_fit([P, P, P], 2_004) == (P, P)
    assert that_fit([P, P, P], 2_002) == (P, P), "the last ends where the room does and needs no closing cut"
    assert that_fit([P, P, P], 2_001) == (P,)
    short = replace(P, length_um=500)
    assert that_fit([P, P, short], 1_600) == (P, short), "a shorter piece may fit where a longer doesn't"


def test_a_piece_that_laps_into_its_neighbour_needs_less() -> None:
    assert that_fit([replace(P, lap_um=100)], 900) == (replace(P, lap_um=100),)
    assert that_fit([replace(P, lap_um=100)], 899) == ()


@pytest.mark.parametrize(
    ("kerf_um", "a_deg", "b_deg", "expected"),
    [
        (1_800, 0.0, 0.0, 1_800),
        (1_800, 45.0, 0.0, 2_546 + 1_800),
        (1_800, 45.0, -45.0, 2 * 2_546),
        (1_800, 0.0, 60.0, 1_800 + 3_600),
    ],
)
def test_kerf_of_a_piece_that_shares_no_cut(kerf_um: int, a_deg: float, b_deg: float, expected: int) -> None:
    """1.8 mm / cos 45 = 2.5456 mm, rounded up; cos 60 = 1/2."""
    assert kerf_alone_um(kerf_um, a_deg, b_deg) == expected


def test_a_slanting_cut_is_larger_by_the_cosine() -> None:
    assert cut_area_cm2(10.0, (0.0, 60.0)) == pytest.approx(10.0 + 20.0)
    assert cut_area_cm2(10.0, (-45.0,)) == pytest.approx(10.0 * math.sqrt(2.0))


def test_cuts_of_a_piece() -> None:
    mitred = replace(P, angle_a_deg=45.0, angle_b_deg=-30.0, near_cut=True)
    assert angles_of_piece(mitred) == (45.0, -30.0)
    assert angles_of_piece(replace(mitred, near_cut=False)) == (-30.0,)
    assert angles_of_piece(replace(P, far_cut=False)) == ()
