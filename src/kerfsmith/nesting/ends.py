"""Slanting ends: how a face leans, what its kerf takes along the bar, and how a turned piece lies."""

from enum import StrEnum
from math import isqrt


class Turn(StrEnum):
    """How a piece lies on the bar against the way it was drawn.

    OVER: rolled half round the bar's own axis, so that top and bottom change places. END_FOR_END: its ends
    change places, top stays top. HALF_TURN: both, as when the drawing is turned half round on the table.
    A section allows those turns after which it looks the same.
    """

    AS_IS = "as is"
    OVER = "over"
    END_FOR_END = "end for end"
    HALF_TURN = "half turn"


def lean_of(left_um: int, right_um: int, turn: Turn) -> tuple[int, int]:
    """Leans of the left and the right face of a piece that lies turned.

    A face's lean is how much further along the bar its top edge is than its bottom edge [um].
    """
    match turn:
        case Turn.AS_IS:
            return left_um, right_um
        case Turn.OVER:
            return -left_um, -right_um
        case Turn.END_FOR_END:
            return -right_um, -left_um
        case Turn.HALF_TURN:
            return right_um, left_um


def kerf_along(kerf_um: int, lean_um: int, depth_um: int) -> int:
    """What a cut takes along the bar, kerf / cos(angle), rounded up to the micrometre [um].

    With tan(angle) = lean / depth this is kerf * sqrt(depth^2 + lean^2) / depth, here in whole numbers.
    """
    if lean_um == 0 or kerf_um == 0:
        return kerf_um
    square = kerf_um * kerf_um * (depth_um * depth_um + lean_um * lean_um)
    root = isqrt(square)
    if root * root < square:
        root += 1
    return -(-root // depth_um)


def bottom_length(length_um: int, left_um: int, right_um: int) -> int:
    """Length of a piece along its bottom edge; ``length_um`` is from the furthest point to the furthest."""
    return length_um - max(0, right_um) - max(0, -left_um)
