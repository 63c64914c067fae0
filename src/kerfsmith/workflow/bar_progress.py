"""What is still to be cut from a bar, in its order."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.shop.cut_log import CutEntry, Outcome, last_standing, pieces_standing, rejected_ids
from kerfsmith.shop.run import RunLine
from kerfsmith.workflow.floor_ports import BarAtSaw


def still_to_cut(at_saw: BarAtSaw, entries: Sequence[CutEntry]) -> tuple[PlannedPiece, ...]:
    """The pieces of the pattern that aren't cut yet; one that was scrapped or rejected is to be cut again."""
    done = _good_lines(entries)
    remaining = []
    for piece in at_saw.pattern:
        if done[piece.line_id] > 0:
            done[piece.line_id] -= 1
        else:
            remaining.append(piece)
    return tuple(remaining)


def done_of_pattern(at_saw: BarAtSaw, entries: Sequence[CutEntry]) -> tuple[PlannedPiece, ...]:
    """The pieces of the pattern that are cut and good."""
    done = _good_lines(entries)
    found = []
    for piece in at_saw.pattern:
        if done[piece.line_id] > 0:
            done[piece.line_id] -= 1
            found.append(piece)
    return tuple(found)


def _good_lines(entries: Sequence[CutEntry]) -> Counter[str]:
    rejected = rejected_ids(entries)
    return Counter(
        entry.line_id
        for entry in pieces_standing(entries)
        if entry.line_id is not None and entry.outcome is not Outcome.SCRAPPED and entry.id not in rejected
    )


def that_fit(pieces: Iterable[PlannedPiece], room_um: int) -> tuple[PlannedPiece, ...]:
    """Those of ``pieces``, taken in their order, for which ``room_um`` of bar suffices.

    A last piece that ends where the room does needs no closing cut.
    """
    fitting = []
    for piece in pieces:
        if piece.length_um - piece.lap_um <= room_um:
            fitting.append(piece)
            room_um = max(0, room_um - piece.taken_um)
    return tuple(fitting)


def facing_due(at_saw: BarAtSaw, entries: Sequence[CutEntry]) -> bool:
    """Whether the facing cut is the next: planned, and nothing cut yet."""
    planned = at_saw.facing_um > 0 or at_saw.facing_kerf_um > 0
    return planned and last_standing(entries) is None


def room_um(at_saw: BarAtSaw, entries: Sequence[CutEntry], grip_um: int) -> int:
    """Length of bar that pieces and their kerfs can still be cut from."""
    facing = at_saw.facing_um + at_saw.facing_kerf_um if facing_due(at_saw, entries) else 0
    return max(0, at_saw.bar.left_um - facing - grip_um)


def cut_area_cm2(area_cm2: float, angles_deg: Iterable[float]) -> float:
    """Area of cuts at these head angles through a section of ``area_cm2``: each area / cos(angle).

    Source: derived (a plane at the angle from square meets the bar in a section so much longer).
    """
    return sum(area_cm2 / math.cos(math.radians(angle)) for angle in angles_deg)


def angles_of_piece(piece: PlannedPiece) -> tuple[float, ...]:
    """Head angles of a piece's own cuts."""
    near_deg, far_deg = piece.ends_deg
    return (near_deg,) * piece.near_cut + (far_deg,) * piece.far_cut


def alone(line: RunLine) -> PlannedPiece:
    """A piece of ``line`` that shares no cut with a neighbour: cut anew, or not in its place."""
    return PlannedPiece(
        line_id=line.line_id,
        mark=line.mark,
        length_um=line.length_um,
        kerf_um=line.kerf_um,
        angle_a_deg=line.angle_a_deg,
        angle_b_deg=line.angle_b_deg,
        near_cut=line.angle_a_deg != 0 or line.angle_b_deg != 0,
    )


def kerf_alone_um(kerf_um: int, angle_a_deg: float, angle_b_deg: float) -> int:
    """Kerf of a piece that shares no cut: of its far end, and of its near end when either is mitred.

    Source: derived (kerf / cos(angle) along the bar, rounded up to the micrometre).
    """
    if angle_a_deg == 0 and angle_b_deg == 0:
        return kerf_um
    along = (kerf_um / math.cos(math.radians(angle)) for angle in (angle_a_deg, angle_b_deg))
    return sum(math.ceil(one - 1e-6) for one in along)
