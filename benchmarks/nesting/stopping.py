"""How soon a run ends after its limit or a wish to stop, in seconds of processor time.

    python -m benchmarks.nesting.stopping

Limits in wall clock would say nothing on a busy machine, and HiGHS looks at its clock only now and then, so
these figures are measured here and not asserted in a test.
"""

from random import Random
from time import process_time

from benchmarks.nesting.shop_rooms import CASES, plain

from kerfsmith.nesting.engines.columns import ColumnsInstance, Item, Kind, solve_columns
from kerfsmith.nesting.solve import solve


def over_limit(name: str, seconds: float) -> float:
    """Processor seconds a case takes with a limit of `seconds` of them."""
    problem = CASES[name](plain(5), Random(5))
    start = process_time()
    solve(problem, seconds=seconds, seed=5, now=process_time)
    return process_time() - start


def after_wish(calls: int) -> float:
    """Processor seconds from the wish to stop, felt at the look number `calls`, to the end."""
    looks = 0
    wished = process_time()

    def should_stop() -> bool:
        nonlocal looks, wished
        looks += 1
        if looks == calls:
            wished = process_time()
        return looks >= calls

    problem = CASES["worth of remnants"](plain(6), Random(6))
    solve(problem, seconds=60.0, seed=6, now=process_time, should_stop=should_stop)
    return process_time() - wished


def equal_pieces() -> float:
    """Processor seconds for 130 000 pieces of three sizes that divide the bar."""
    instance = ColumnsInstance((Kind(6000),), (Item(2000, 30_000), Item(1500, 40_000), Item(1000, 60_000)))
    start = process_time()
    solve_columns(instance, seconds=60.0, seed=1, should_stop=lambda: False, now=process_time)
    return process_time() - start


def main() -> None:
    """Measure and print."""
    for name in sorted(CASES):
        print(f"{name}: {over_limit(name, 3.0):.2f} s with a limit of 3 s", flush=True)
    for calls in (1, 20, 200):
        print(f"wish at look {calls}: {after_wish(calls):.2f} s later at an end", flush=True)
    print(f"130000 pieces of three sizes: {equal_pieces():.3f} s")


if __name__ == "__main__":
    main()
