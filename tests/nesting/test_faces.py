"""What faces that don't match cost a bar, against every order and turn of its pieces."""

from collections import Counter
from dataclasses import replace
from itertools import permutations, product
from random import Random

import pytest

from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.faces import Faces
from kerfsmith.nesting.engines.sawroom.pricing import Pricer
from kerfsmith.nesting.problem import BarStock, Piece, Placed, Problem
from kerfsmith.nesting.recount import close, walk

BAR = BarStock("B", 1_000, None, 1)
TURNS = [frozenset({Turn.AS_IS}), frozenset({Turn.AS_IS, Turn.OVER}), frozenset(Turn)]


def drawn(seed: int) -> Problem:
    """Three to five pieces with ends of up to three slants, perhaps on a bar that has been begun."""
    chance = Random(seed)
    leans = chance.choice([[0, 8], [0, 8, -8], [8, -8, 5], [0, 3, 10, -3], [4, 9, 12]])
    pieces = tuple(
        Piece(f"P{n}", chance.randint(30, 50), 1, chance.choice(leans), chance.choice(leans))
        for n in range(chance.randint(3, 5))
    )
    begun = (Placed("P0"),) if chance.random() < 0.3 else ()
    bar = replace(BAR, begun=begun, count=1 if begun else None)
    return Problem(
        chance.randint(0, 3), chance.randint(0, 2), 0, (bar,), pieces, depth_um=10, turns=chance.choice(TURNS)
    )


def least_taken(problem: Problem) -> int:
    """What all pieces take of the bar when laid in the best of all orders and turns [um]."""
    bar = problem.bars[0]
    fresh = [piece.id for piece in problem.pieces[len(bar.begun) :]]
    return min(
        bar.length_um
        - close(problem, bar, walk(problem, bar.begun + tuple(map(Placed, order, turns)))).remnant_um
        for order in permutations(fresh)
        for turns in product(sorted(problem.turns), repeat=len(fresh))
    )


def test_no_layout_loses_less() -> None:
    met = 0
    for seed in range(150):
        problem = drawn(seed)
        pricer, bar = Pricer(Room(problem), ()), problem.bars[0]
        fresh = problem.pieces[len(bar.begun) :]
        sizes = {pricer.room.piece(item).id: size for item, size in enumerate(pricer.sizes)}
        room, _ = pricer.frame(0)
        bound = sum(sizes[piece.id] for piece in fresh) + pricer.faces.loss(bar, Counter(fresh))
        left = 2 * (bar.length_um - least_taken(problem))
        assert left <= room - bound, seed
        met += left == room - bound and bound > sum(sizes[piece.id] for piece in fresh)
    # Where pieces may be turned every way and there is no kerf the loss is often just this.
    assert met >= 5


@pytest.mark.parametrize(
    ("ends", "loss"),
    [
        # Trapezoids, both ends slanting: up to the slant and down again at the bar's ends, 8 / 2 each.
        ([(8, -8)], 16),
        ([(8, -8), (8, -8)], 16),
        # One end slanting: alone it has one jump; two of them lie slant to slant.
        ([(8, 0)], 8),
        ([(8, 0), (8, 0)], 0),
        ([(8, 0), (8, -8), (8, 0)], 0),
        # From 0 to 5 by a piece, from 5 to 8 and back by jumps, and home.
        ([(0, 5), (8, 8), (5, 0)], 6),
        ([(0, 0), (0, 0)], 0),
    ],
)
def test_losses_reckoned_by_hand(ends: list[tuple[int, int]], loss: int) -> None:
    pieces = tuple(Piece(f"P{n}", 50, 1, left, right) for n, (left, right) in enumerate(ends))
    problem = Problem(0, 0, 0, (BAR,), pieces, depth_um=10, turns=frozenset(Turn))
    assert Faces(problem).loss(BAR, Counter(pieces)) == loss
    # In half micrometres; here every loss is met by a layout.
    mean = sum(2 * p.length_um - abs(p.left_um) - abs(p.right_um) for p in pieces)
    assert 2 * least_taken(problem) == mean + loss
