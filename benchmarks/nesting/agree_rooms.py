"""Hold the saw-room engine against plain enumeration on 2,000 small problems over random combinations of its
rules, both ways: with all columns listed, and with columns found as they are needed.

    .venv/bin/python -m benchmarks.nesting.agree_rooms [FIRST] [LAST]

Prints how many agreed, how many had no plan, and the processor seconds each took; exits 1 when any did not
agree.
"""

import sys
from collections import Counter
from time import perf_counter, process_time

from tests.nesting.small_rooms import small_room

from kerfsmith.nesting.check import check
from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.solve import solve_room
from kerfsmith.nesting.engines.slow.enumerate import enumerate_plans
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve
from kerfsmith.nesting.stop import Watch


def agrees(result: Result, best: Result | None) -> bool:
    """Whether the engine found the best of all plans and says so, or rightly says that there is none."""
    if best is None:
        return result.status is Status.INFEASIBLE
    reached = [aim.value for aim in result.aims]
    return result.status is Status.OPTIMAL and reached == [aim.value for aim in best.aims]


def generated_agrees(problem: Problem, answer: RoomAnswer, best: Result | None) -> bool:
    """The same for an answer by columns found as needed, its bounds met."""
    if best is None:
        return answer.refuted
    if answer.runs is None:
        return False
    reached = totals(problem, answer.runs)
    values = [aim.value for aim in best.aims]
    return [reached[aim] for aim in problem.aims] == values == list(answer.bounds)


def main(first: int, last: int) -> int:
    """Run the seeds from ``first`` up to ``last``; the number that did not agree."""
    wrong, without = 0, 0
    spent = [0.0, 0.0, 0.0]
    met: Counter[str] = Counter()
    for seed in range(first, last):
        problem, rules = small_room(seed)
        met.update(rules)
        began = process_time()
        result = solve(problem, seconds=60, seed=seed, now=perf_counter)
        listed = process_time()
        watch = Watch(perf_counter, perf_counter(), 60.0)
        answer = solve_room(problem, watch, seed, full_list=0)
        generated = process_time()
        best = enumerate_plans(problem)
        parts = (listed - began, generated - listed, process_time() - generated)
        spent = [before + part for before, part in zip(spent, parts, strict=True)]
        without += best is None
        same = agrees(result, best), generated_agrees(problem, answer, best)
        if check(problem, result) or not all(same):
            wrong += 1
            print(f"seed {seed} doesn't agree (listed, generated: {same}): {sorted(rules)}", flush=True)
    print(f"{last - first} problems, {wrong} don't agree, {without} have no plan")
    print("listed {:.0f} s, generated {:.0f} s, enumeration {:.0f} s".format(*spent))
    print("rules met: " + ", ".join(f"{rule} {count}" for rule, count in sorted(met.items())))
    return wrong


if __name__ == "__main__":
    asked = [int(word) for word in sys.argv[1:]] + [0, 2000][len(sys.argv) - 1 :]
    sys.exit(1 if main(asked[0], asked[1]) else 0)
