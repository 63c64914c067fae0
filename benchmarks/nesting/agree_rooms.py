"""Hold the saw-room engine against plain enumeration on 2,000 small problems over random combinations of its
rules.

    .venv/bin/python -m benchmarks.nesting.agree_rooms [FIRST] [LAST]

Prints how many agreed, how many had no plan, and the seconds each side took; exits 1 when any did not agree.
"""

import sys
from collections import Counter
from time import perf_counter

from tests.nesting.small_rooms import small_room

from kerfsmith.nesting.check import check
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve


def agrees(result: Result, best: Result | None) -> bool:
    """Whether the engine found the best of all plans and says so, or rightly says that there is none."""
    if best is None:
        return result.status is Status.INFEASIBLE
    reached = [aim.value for aim in result.aims]
    return result.status is Status.OPTIMAL and reached == [aim.value for aim in best.aims]


def main(first: int, last: int) -> int:
    """Run the seeds from ``first`` up to ``last``; the number that did not agree."""
    wrong, without, engine_s, slow_s = 0, 0, 0.0, 0.0
    met: Counter[str] = Counter()
    for seed in range(first, last):
        problem, rules = small_room(seed)
        met.update(rules)
        start = perf_counter()
        result = solve(problem, seconds=60, seed=seed, now=perf_counter)
        between = perf_counter()
        best = enumerate_plans(problem)
        engine_s += between - start
        slow_s += perf_counter() - between
        without += best is None
        if check(problem, result) or not agrees(result, best):
            wrong += 1
            print(f"seed {seed} doesn't agree: {sorted(rules)}")
    print(f"{last - first} problems, {wrong} don't agree, {without} have no plan")
    print(f"engine {engine_s:.1f} s, enumeration {slow_s:.1f} s")
    print("rules met: " + ", ".join(f"{rule} {count}" for rule, count in sorted(met.items())))
    return wrong


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:]] + [0, 2000][len(sys.argv) - 1 :]
    sys.exit(1 if main(asked[0], asked[1]) else 0)
