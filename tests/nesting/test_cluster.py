"""Groups on a local cluster: the results of this process, and none lost with a worker."""

import os
import signal
import time
from collections.abc import Iterator

import pytest
from dask.distributed import Client, LocalCluster

from kerfsmith.nesting.groups import solve_groups
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result, Status
from kerfsmith.nesting.solve import solve


def group(number: int) -> Problem:
    """A small group whose figures come from its number."""
    return Problem(
        kerf_um=1_800,
        front_trim_um=5_000,
        grip_um=80_000,
        bars=(BarStock("long", 6_000_000, None, 6_000), BarStock("short", 4_000_000, 3, 4_000)),
        pieces=tuple(
            Piece(f"p{kind}", 700_000 + 37_000 * kind + 11_000 * number, 3 + (number + kind) % 5)
            for kind in range(5)
        ),
    )


PROBLEMS = {f"group {number}": group(number) for number in range(12)}


@pytest.fixture(scope="module")
def cluster() -> Iterator[LocalCluster]:
    with LocalCluster(  # type: ignore[no-untyped-call]
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as started:
        yield started


def test_a_cluster_gives_what_this_process_gives_though_a_worker_is_killed(cluster: LocalCluster) -> None:
    here = {
        name: solve(problem, seconds=60.0, seed=1, now=time.process_time)
        for name, problem in PROBLEMS.items()
    }
    with Client(cluster) as client:  # type: ignore[no-untyped-call]
        worker = next(iter(cluster.workers.values())).worker_address
        doomed = client.run(os.getpid, workers=[worker])[worker]
        done: list[str] = []

        def kill_at_the_first(name: str, _result: Result) -> None:
            if not done:
                os.kill(doomed, signal.SIGKILL)
            done.append(name)

        there = solve_groups(
            PROBLEMS,
            client.get_executor(),
            seconds=60.0,
            seed=1,
            now=time.process_time,
            on_done=kill_at_the_first,
        )
    assert sorted(done) == sorted(PROBLEMS)
    assert list(there) == list(PROBLEMS)
    for name, result in there.items():
        assert result.status is here[name].status is Status.OPTIMAL
        assert (result.cost, result.lower_bound, result.runs) == (
            here[name].cost,
            here[name].lower_bound,
            here[name].runs,
        )
