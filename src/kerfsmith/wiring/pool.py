"""Planning groups in other processes, so that pages stay quick and both cores work."""

import multiprocessing
import os
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from dataclasses import dataclass, replace
from multiprocessing.synchronize import Event

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.library.load import load_catalog
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupRunner, GroupTask, plan_task
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.tasks import Task
from kerfsmith.shop.rules import ShopRules


@dataclass
class _Worker:
    tables: Catalog
    stop: Event | None
    last: Catalog | None = None
    """The tables with the saws asked for last, which are mostly those asked for next."""

    def with_saws(self, saws: tuple[SawSheet, ...] | None) -> Catalog:
        """The tables with these saws, with their own where None."""
        if saws is None or saws == self.tables.saws:
            return self.tables
        if self.last is None or self.last.saws != saws:
            self.last = replace(self.tables, saws=saws)
        return self.last


_worker: _Worker | None = None


def _begin(stop: Event | None) -> None:
    global _worker
    _worker = _Worker(load_catalog(), stop)


def _plan_one(
    task: Task,
    rules: ShopRules,
    seconds: float,
    seed: int,
    saws: tuple[SawSheet, ...] | None = None,
    saw_id: str | None = None,
) -> tuple[PlanGroup, ...]:
    if _worker is None:
        _begin(None)
    assert _worker is not None
    stop = _worker.stop
    # Seconds of work, not of the clock on the wall: a plan doesn't depend on what else the machine does.
    effort = Effort(
        seconds=seconds,
        seed=seed,
        now=time.process_time,
        should_stop=stop.is_set if stop is not None else lambda: False,
    )
    catalog = _worker.with_saws(saws)
    if saw_id is not None:
        catalog = replace(catalog, saws=(catalog.find_saw(saw_id),))
    return plan_task(task, catalog, rules, effort)


class PlanningPool:
    """A pool of planning processes and the one switch that stops what they do."""

    def __init__(self, workers: int | None = None) -> None:
        context = multiprocessing.get_context("spawn")
        self._stop = context.Event()
        self._executor = ProcessPoolExecutor(
            max_workers=workers or os.cpu_count() or 1,
            mp_context=context,
            initializer=_begin,
            initargs=(self._stop,),
        )

    def runner(
        self, rules: ShopRules, *, seconds: float, seed: int, saws: tuple[SawSheet, ...] | None = None
    ) -> GroupRunner:
        """A runner that plans groups in the pool, on ``saws``, on those of the tables where None."""
        return pooled(self._executor, rules, seconds=seconds, seed=seed, saws=saws)

    def plan_on_saw(
        self,
        task: GroupTask,
        rules: ShopRules,
        saw_id: str,
        *,
        seconds: float,
        seed: int,
        saws: tuple[SawSheet, ...] | None = None,
    ) -> PlanGroup:
        """One group planned for one saw of ``saws`` (of the tables where None) alone, and waited for."""
        (group,) = self._executor.submit(_plan_one, task, rules, seconds, seed, saws, saw_id).result()
        return group

    def stop(self) -> None:
        """Ask every group now at work to end with the best it has."""
        self._stop.set()

    def clear(self) -> None:
        """Make ready for the next plan."""
        self._stop.clear()

    def close(self) -> None:
        """End the processes."""
        self._executor.shutdown(wait=False, cancel_futures=True)


def pooled(
    executor: Executor,
    rules: ShopRules,
    *,
    seconds: float,
    seed: int,
    saws: tuple[SawSheet, ...] | None = None,
) -> GroupRunner:
    """A runner over any executor of `concurrent.futures`; groups come back as they are finished.

    Whoever reads no further has the groups that aren't begun taken back.
    """

    def run(tasks: Sequence[Task]) -> Iterator[tuple[int, PlanGroup]]:
        waiting = {
            executor.submit(_plan_one, task, rules, seconds, seed, saws): place
            for place, task in enumerate(tasks)
        }
        try:
            for done in as_completed(waiting):
                for group in done.result():
                    yield waiting[done], group
        finally:
            for future in waiting:
                future.cancel()

    return run
