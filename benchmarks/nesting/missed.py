"""Draws on bars of 1000 whose best plan takes one bar more than the LP rounded up, as 5 of Schoenfield's 28
hard ones do; and the law they were kept from.

    python -m benchmarks.nesting.missed

solves them all and prints what was proven, with processor seconds; exits 1 when a figure is not as noted.
The optima are the engine's own: over all patterns that a plan of a bar less could use, an integer program or
branching on pairs of pieces found none.
"""

import statistics
import sys
import time
from random import Random

from benchmarks.nesting.families import Case, one_kind

from kerfsmith.nesting.engines.columns import solve_columns

MISSED = (
    (77, 1, 800, 240, 62),
    (77, 1, 800, 678, 63),
    (77, 100, 800, 64, 80),
    (1, 100, 800, 116, 92),
    (1, 100, 800, 162, 75),
    (1, 100, 800, 440, 87),
    (1, 150, 700, 181, 75),
    (1, 150, 700, 183, 70),
    (1, 150, 700, 497, 89),
    (1, 200, 650, 379, 77),
    (1, 200, 650, 510, 68),
    (1, 200, 650, 813, 68),
    (1, 200, 650, 926, 87),
)
"""Seed, least and greatest size, number of the draw, bars of the best plan."""


def ranged(seed: int, least: int, most: int, number: int) -> Case:
    """160, 180 or 200 pieces of `least`..`most` on bars of 1000."""
    chance = Random(f"hunt/{seed}/{least}-{most}/{number}")
    n = (160, 180, 200)[number % 3]
    sizes = [chance.randint(least, most) for _ in range(n)]
    return Case(f"{least}..{most} on 1000", f"ranged{n}_{seed}_{number}", one_kind(1000, sizes))


def main() -> int:
    """Solve them all; how many are not as noted."""
    wrong = 0
    spent: list[float] = []
    for seed, least, most, number, bars in MISSED:
        case = ranged(seed, least, most, number)
        began = time.process_time()
        found = solve_columns(
            case.instance, seconds=60.0, seed=1, should_stop=lambda: False, now=time.process_time
        )
        spent.append(time.process_time() - began)
        wrong += (found.cost, found.lower_bound) != (bars, bars)
        print(f"{case.family} {case.name}: {found.cost} ({found.lower_bound}), {spent[-1]:.2f} s", flush=True)
    print(f"{len(spent)} draws, {wrong} not as noted")
    print(f"median {statistics.median(spent):.2f} s, worst {max(spent):.2f} s")
    return wrong


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
