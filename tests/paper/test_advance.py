"""How far the shuttle advances, against drawings on the bar worked by hand."""

import math

import pytest
from tests.paper import shop
from tests.paper.case import ROUND

from kerfsmith.paper.bar_card import advance_um, allowed
from kerfsmith.planning.plan import PlannedPiece
from kerfsmith.units.length import Measure


def piece(length_um: int, a: float, b: float) -> PlannedPiece:
    return PlannedPiece("L", "M", length_um, 1_600, a, b)


def test_a_square_piece_takes_its_length_and_one_kerf() -> None:
    # The shuttle advances l + k (derived): a piece of 1190 mm and a kerf of 1.6 mm.
    assert advance_um(piece(1_190_000, 0, 0), 100_000, 1_600) == 1_191_600


def test_parallel_mitres_advance_by_the_distance_between_the_cuts_along_the_bar() -> None:
    """Checked on points: the far cut's near face must pass through the piece's two far corners."""
    across, kerf, angle = 100_000, 1_600, 45.0
    step = advance_um(piece(500_000, angle, angle), across, kerf)
    assert step is not None
    # A parallelogram with its near edge from (0, 0) to (100, 100) mm is 500 mm from long point to long point
    # when its far edge runs from (400, 0) to (500, 100). The kerf along the bar of a cut at 45 degrees is
    # 1.6 x 1.4142 = 2.263 mm (worked by hand).
    assert step == pytest.approx(400_000 + 2_263, abs=1)


def test_other_mitres_are_left_to_the_pivot() -> None:
    assert advance_um(piece(500_000, 45, -45), 100_000, 1_600) is None
    assert advance_um(piece(500_000, 0, 30), 100_000, 1_600) is None


def test_the_saws_strokes_divide_the_advance() -> None:
    # Common practice: 60 in piece, 25 in stroke: three strokes.
    assert math.ceil(60 / 25) == 3
    assert shop.saw().strokes(1_191.6) == math.ceil(1_191.6 / 500)


@pytest.mark.parametrize(
    ("plus_um", "minus_um", "shown"),
    [
        (500, 0, "1190 to 1190.5 mm"),
        (500, 250, "1189.75 to 1190.5 mm"),
        (500, None, "at most 1190.5 mm"),
        (None, 500, "at least 1189.5 mm"),
        (None, None, "not stated"),
    ],
)
def test_allowed_lengths_are_said_as_the_order_says_them(
    plus_um: int | None, minus_um: int | None, shown: str
) -> None:
    line = shop.order_line("L", "M", ROUND, 1_190_000, 1, plus_um=plus_um, minus_um=minus_um)
    assert allowed(line, Measure.METRIC) == shown
