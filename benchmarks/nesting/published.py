"""The published instances of five classical families, every one of them: 1,370 with 313,000 pieces.

    python -m benchmarks.nesting.published [--every 5] [--seconds 60] [--families u t n1 n2 hard]

solves them, checks each plan by adding up its bars, and prints for each family what was proven, with
processor seconds. It exits 1 when a plan is wrong, a bound lies over its plan, or an optimum differs from the
known one.

References
----------
Scholl, Klein, Juergens 1997, "BISON", Computers & Operations Research 24: set 1 (720 instances), set 2 (480),
    set 3 (10).
Falkenauer 1996, "A hybrid grouping genetic algorithm for bin packing", J. Heuristics 2: uniform (80),
    triplets (80).
The figures are those of `examples/bin-packing.cpp` in the sources of gecode 6.2.0 (Debian's package `gecode`,
MIT licence), which names the two papers; there sizes are sorted and fractional capacities made whole.
"""

import argparse
import gzip
import statistics
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from benchmarks.nesting.families import Case, one_kind

from kerfsmith.nesting.engines.columns import ColumnsInstance, ColumnsResult, solve_columns

DATA = Path(__file__).with_name("data") / "published.txt.gz"
"""A line an instance: its name, the length of a bar, the pieces."""

FAMILIES = {
    "u": "Falkenauer uniform",
    "t": "Falkenauer triplet",
    "n1": "Scholl 1",
    "n2": "Scholl 2",
    "hard": "Scholl 3",
}

SCHOLL_3 = (56, 57, 56, 55, 57, 56, 57, 55, 57, 56)
"""Optima of the third set, hard0 to hard9; from memory of the tables that followed the paper."""


def published() -> Iterator[tuple[str, Case]]:
    """The key of its family and the instance, one by one."""
    for line in gzip.decompress(DATA.read_bytes()).decode().splitlines():
        name, capacity, *sizes = line.split()
        key = family_of(name)
        instance = one_kind(int(capacity), [int(size) for size in sizes])
        yield key, Case(FAMILIES[key], name, instance, known_optimum(key, name, len(sizes)))


def family_of(name: str) -> str:
    """Set 1 of Scholl is named by its capacity (n1c1w1_a), set 2 by weight and spread (n1w1b1r0)."""
    if name.startswith("n"):
        return "n1" if "c" in name else "n2"
    return "hard" if name.startswith("hard") else name[0]


def known_optimum(key: str, name: str, pieces: int) -> int | None:
    """Triplets fill their bars by construction."""
    if key == "t":
        return pieces // 3
    return SCHOLL_3[int(name.removeprefix("hard"))] if key == "hard" else None


def faults(instance: ColumnsInstance, result: ColumnsResult) -> list[str]:
    """What is wrong with a plan and its bound, by adding up."""
    found: list[str] = []
    cut: Counter[int] = Counter()
    if result.cost is None:
        return ["no plan"]
    for use in result.patterns:
        length = sum(instance.items[item].size * times for item, times in use.counts.items())
        if length > instance.kinds[use.kind].capacity:
            found.append(f"a bar of {length} is too long")
        for item, times in use.counts.items():
            cut[item] += times * use.times
    if any(cut[number] < item.demand for number, item in enumerate(instance.items)):
        found.append("pieces are missing")
    if sum(use.times for use in result.patterns) != result.cost:
        found.append("bars and cost differ")
    if result.lower_bound > result.cost:
        found.append(f"bound {result.lower_bound} over the plan's {result.cost}")
    return found


def holds(result: ColumnsResult, optimum: int) -> bool:
    """Whether the known optimum lies between bound and plan, and is the plan of a proven result."""
    if result.cost is None:
        return False
    return result.lower_bound <= optimum <= result.cost and (
        result.status != "optimal" or result.cost == optimum
    )


def main() -> int:
    """Solve what was asked for; how many are at fault."""
    given = options().parse_args()
    spent: dict[str, list[float]] = {key: [] for key in given.families}
    proven: Counter[str] = Counter()
    wrong: list[str] = []
    for number, (key, case) in enumerate(published()):
        if key not in spent or number % given.every:
            continue
        began = time.process_time()
        result = solve_columns(
            case.instance, seconds=given.seconds, seed=1, should_stop=lambda: False, now=time.process_time
        )
        spent[key].append(time.process_time() - began)
        proven[key] += result.status == "optimal"
        wrong += [f"{case.name}: {fault}" for fault in faults(case.instance, result)]
        if case.optimum is not None and not holds(result, case.optimum):
            wrong.append(f"{case.name}: {result.cost} ({result.lower_bound}), known {case.optimum}")
        if spent[key][-1] > 5 or result.status != "optimal":
            print(f"{case.name}: {result.cost} ({result.lower_bound}), {spent[key][-1]:.2f} s", flush=True)
    print("| family | proven | median s | worst s |", "|---|---|---|---|", sep="\n")
    for key, seconds in spent.items():
        if seconds:
            print(
                f"| {FAMILIES[key]}, published | {proven[key]} of {len(seconds)} "
                f"| {statistics.median(seconds):.3f} | {max(seconds):.2f} |"
            )
    print(*wrong or ["no plan wrong, no bound over its plan, no known optimum missed"], sep="\n")
    return len(wrong)


def options() -> argparse.ArgumentParser:
    """What the command line may say."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--every", type=int, default=1, help="each how many-th instance")
    asked.add_argument("--seconds", type=float, default=60.0, help="limit an instance, processor time")
    asked.add_argument("--families", nargs="*", choices=[*FAMILIES], default=[*FAMILIES])
    return asked


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
