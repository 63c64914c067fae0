"""Faces that can't match: what a bar loses at least where slanting ends don't come out even.

A bar is walked from its square front to its square end. Call how far a face slants, whichever way, its
level: the walk begins and ends at level 0. Within a piece it goes from the level of one end to that of the
other, and between two faces that don't match it jumps. In the mean of a bar's two edges a jump from a lean of
a to one of b takes |a - b| / 2 beside the kerfs (`walk` and `close` in recount: the faces touch at one edge
and gape at the other), which is at least half the difference of their levels.

Now take the levels next above and next below a gap between them. The walk ends below the gap, where it began,
so it crosses it an even number of times, in pieces with one end above and one below or in jumps. Where the
number of such pieces is odd, one jump at least crosses it; where there are none, yet pieces with both ends
above, two do. The widths of all gaps add up, since each jump is as long as the gaps it crosses together. How
pieces may be turned only narrows the choice, so the loss holds for every set of turns. A begun bar is walked
on from its last face: that stands for a piece from below each gap under it.
"""

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.recount import walk

MOST_GAPS = 2
"""Gaps looked at, the widest first: each multiplies the states of a knapsack by four."""

NOTHING, ABOVE, EVEN, ODD = range(4)
"""What lies above a gap: nothing, whole pieces only, pieces across it in even number, or in odd number."""

AFTER_ABOVE = (ABOVE, ABOVE, EVEN, ODD)
AFTER_ACROSS = (ODD, ODD, ODD, EVEN)
JUMPS = (0, 2, 0, 1)


class Faces:
    """The states a bar may be in: for each gap what lies above it, as the digits of a number to base four."""

    def __init__(self, problem: Problem) -> None:
        """Finds the gaps between the levels of the problem's faces."""
        self._problem = problem
        leans = (lean for piece in problem.pieces for lean in (piece.left_um, piece.right_um))
        levels = sorted({0, *map(abs, leans)})
        self.gaps = sorted(pairwise(levels), key=lambda gap: gap[0] - gap[1])[:MOST_GAPS]

    @property
    def states(self) -> int:
        """How many states there are; 1 where every face is square."""
        return 1 << 2 * len(self.gaps)

    @cached_property
    def losses(self) -> NDArray[np.int64]:
        """What a bar loses in each state [half um]."""
        found = [
            sum(JUMPS[digit] * (high - low) for digit, (low, high) in zip(digits, self.gaps, strict=True))
            for digits in map(self._digits, range(self.states))
        ]
        return np.array(found, dtype=np.int64)

    def start(self, bar: BarStock) -> int:
        """The state before any fresh piece."""
        level = abs(walk(self._problem, bar.begun).lean_um)
        return self._number(ODD if level >= high else NOTHING for _, high in self.gaps)

    def table(self, piece: Piece, count: int) -> NDArray[np.int64]:
        """For each state the one after so many of a piece."""
        # From the second on only whether the number is even counts.
        times = count if count < 2 else 2 + count % 2
        low, high = sorted((abs(piece.left_um), abs(piece.right_um)))
        after = []
        for state in range(self.states):
            digits = list(self._digits(state))
            for place, (_, top) in enumerate(self.gaps):
                for _ in range(times if high >= top else 0):
                    digits[place] = (AFTER_ABOVE if low >= top else AFTER_ACROSS)[digits[place]]
            after.append(self._number(digits))
        return np.array(after, dtype=np.int64)

    def loss(self, bar: BarStock, fresh: Mapping[Piece, int]) -> int:
        """What a bar with these fresh pieces loses at least [half um]."""
        state = self.start(bar)
        for piece, count in fresh.items():
            state = int(self.table(piece, count)[state])
        return int(self.losses[state])

    def _digits(self, state: int) -> tuple[int, ...]:
        return tuple(state // 4**place % 4 for place in range(len(self.gaps)))

    def _number(self, digits: Iterable[int]) -> int:
        return sum(digit * 4**place for place, digit in enumerate(digits))
