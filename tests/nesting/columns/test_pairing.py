"""Branching on pairs agrees with trying all sets of pieces, joining pairs one by one or many at a time."""

from collections import Counter
from random import Random
from time import process_time

import numpy as np
import pytest
from benchmarks.nesting.augmented import fill_bars

from kerfsmith.nesting.engines.columns import pairing
from kerfsmith.nesting.engines.columns.listing import list_raw, size_duals
from kerfsmith.nesting.engines.columns.pairing import Paired, branch
from kerfsmith.nesting.engines.columns.pool import Pool
from kerfsmith.nesting.engines.columns.problem import Problem, plan_of
from kerfsmith.nesting.engines.columns.run import Run


def drawn(chance: Random) -> tuple[int, list[int]]:
    """Pieces as long together as three or four bars (a plan may or may not fill them)."""
    capacity, bars = chance.randint(24, 90), chance.randint(3, 4)
    while True:
        sizes = [chance.randint(capacity // 7, capacity // 2) for _ in range(3 * bars)]
        last = bars * capacity - sum(sizes)
        if 0 < last <= capacity:
            return capacity, [*sizes, last]


def searched(problem: Problem, bars: int) -> Paired:
    duals = size_duals(problem)
    assert duals is not None
    listed = list_raw(problem, [duals], bars, 100_000, 10_000_000)
    if listed is None or len(listed[0]) < 2:
        return Paired("none")
    pool = Pool(problem, bars, *listed, np.ones(len(listed[0]) - 1, "uint8"))
    return branch(Run(problem, process_time, lambda: False, None, Random(1)), pool, 4000)


@pytest.mark.parametrize("large", [False, True])
def test_full_bars_found_or_shown_impossible(large: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    if large:
        monkeypatch.setattr(pairing, "LARGE", 0)
        monkeypatch.setattr(pairing, "NEAR", 0.4)
    outcomes: Counter[str] = Counter()
    for seed in range(100):
        capacity, sizes = drawn(Random(seed))
        counted = sorted(Counter(sizes).items(), reverse=True)
        problem = Problem([s for s, _ in counted], [n for _, n in counted], [capacity], [None], [1])
        bars = sum(sizes) // capacity
        ended = searched(problem, bars)
        outcomes[ended.outcome] += 1
        possible = fill_bars(sizes, capacity)
        assert ended.outcome in ("open", "plan" if possible else "none"), seed
        if ended.outcome == "plan":
            plan = plan_of(problem, ended.uses)
            assert plan is not None
            assert plan.cost == bars
    assert outcomes["plan"] > 20
    assert outcomes["none"] > 20
