"""A bare nesting problem: the paper-rolls case of the textbooks, proven best (453 rolls)."""

import time

from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.solve import solve

problem = Problem(
    bars=(BarStock("roll", 100_000, None, 1_000_000),),
    pieces=(
        Piece("45", 45_000, 97),
        Piece("36", 36_000, 610),
        Piece("31", 31_000, 395),
        Piece("14", 14_000, 211),
    ),
    kerf_um=0,
    front_trim_um=0,
    grip_um=0,
)
result = solve(problem, seconds=10.0, seed=1, now=time.monotonic)
print(f"{result.status}: {result.bars_used} rolls, none can do with fewer")
