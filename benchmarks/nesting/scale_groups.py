"""20,000 pieces in 300 groups through a pool of processes: seconds, and how near to the best each came.

    .venv/bin/python -m benchmarks.nesting.scale_groups [FIRST TURN SECONDS] [SECONDS TOGETHER] [PROCESSES]

A group has 17 to 27 rows of 1 to 5 pieces, 0.2 to 3 m long, on bars of 6 m priced by the metre and a
few remnants at a tenth of that, as a rack that is to be used up first. Every group has a first turn; those
still open share what is left of the time together, those with a gap over 0.5 % first.
"""

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from os import getloadavg
from random import Random
from resource import RUSAGE_CHILDREN, getrusage
from time import perf_counter

from kerfsmith.nesting.check import check
from kerfsmith.nesting.groups import SharedTime, solve_groups
from kerfsmith.nesting.problem import BarStock, Piece, Problem

GROUPS = 300
ROWS = (17, 27)


def group(seed: int) -> Problem:
    """One group, drawn from its seed."""
    chance = Random(seed)
    pieces = tuple(
        Piece(f"P{row}", chance.randrange(200_000, 3_000_000, 500), chance.randint(1, 5))
        for row in range(chance.randint(*ROWS))
    )
    remnants = tuple(
        BarStock(f"R{number}", length, 1, length, is_remnant=True)
        for number in range(chance.randint(0, 4))
        for length in (chance.randrange(800_000, 4_000_000, 1000),)
    )
    return Problem(1600, 5000, 60_000, (BarStock("new", 6_000_000, None, 60_000_000), *remnants), pieces)


def main(first: float, together: float, processes: int) -> None:
    """Solve all groups and print what came of it."""
    problems = {f"group {seed}": group(seed) for seed in range(GROUPS)}
    total = sum(piece.count for problem in problems.values() for piece in problem.pieces)
    load = getloadavg()[0]
    start = perf_counter()
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        shared = SharedTime(together, processes)
        results = solve_groups(problems, pool, seconds=first, seed=1, now=perf_counter, shared=shared)
    spent = perf_counter() - start
    used = getrusage(RUSAGE_CHILDREN)
    faults = sum(bool(check(problems[name], result)) for name, result in results.items())
    gaps = sorted((result.gap or 0.0, name) for name, result in results.items())
    print(f"{total} pieces in {GROUPS} groups: {spent:.1f} s with {processes} processes, {faults} faulty")
    print(f"processor time of all processes {used.ru_utime + used.ru_stime:.1f} s; load average {load:.1f}")
    print(dict(Counter(result.status.value for result in results.values())))
    over = sum(gap > 0.005 for gap, _ in gaps)
    print(f"worst gap {100 * gaps[-1][0]:.2f} % ({gaps[-1][1]}), {over} groups over 0.5 %")
    print("open:", ", ".join(f"{name} {100 * gap:.2f} %" for gap, name in reversed(gaps) if gap))


if __name__ == "__main__":
    words = [*sys.argv[1:], *("0.35", "50", "2")[len(sys.argv) - 1 :]]
    main(float(words[0]), float(words[1]), int(words[2]))
