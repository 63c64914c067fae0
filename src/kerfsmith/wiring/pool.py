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
from kerfsmith.wiring.own_files import OwnFiles, over


@dataclass
class _Worker:
    tables: Catalog
    stop: Event | None
    own: tuple[OwnFiles, Catalog] | None = None
    last: Catalog | None = None
    """The tables with the files and the saws asked for last, which are mostly those asked for next."""

    def with_own(self, saws: tuple[SawSheet, ...] | None, files: OwnFiles) -> Catalog:
        """The tables with a shop's files over them and these saws, with the tables' own saws where None."""
        if self.own is None or self.own[0] != files:
            self.own, self.last = (files, over(self.tables, files)), None
        tables = self.own[1]
        if saws is None or saws == tables.saws:
            return tables
        if self.last is None or self.last.saws != saws:
            self.last = replace(tables, saws=saws)
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
    files: OwnFiles = (),
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
    catalog = _worker.with_own(saws, files)
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
        self,
        rules: ShopRules,
        *,
        seconds: float,
        seed: int,
        saws: tuple[SawSheet, ...] | None = None,
        files: OwnFiles = (),
    ) -> GroupRunner:
        """A runner that plans groups in the pool, on ``saws``, on those of the tables where None; a shop's
        ``files`` of tables are laid over the package's."""
        return pooled(self._executor, rules, seconds=seconds, seed=seed, saws=saws, files=files)

    def plan_on_saw(
        self,
        task: GroupTask,
        rules: ShopRules,
        saw_id: str,
        *,
        seconds: float,
        seed: int,
        saws: tuple[SawSheet, ...] | None = None,
        files: OwnFiles = (),
    ) -> PlanGroup:
        """One group planned for one saw of ``saws`` (of the tables where None) alone, and waited for."""
        (group,) = self._executor.submit(_plan_one, task, rules, seconds, seed, saws, files, saw_id).result()
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
    files: OwnFiles = (),
) -> GroupRunner:
    """A runner over any executor of `concurrent.futures`; groups come back as they are finished.

    Whoever reads no further has the groups that aren't begun taken back.
    """

    def run(tasks: Sequence[Task]) -> Iterator[tuple[int, PlanGroup]]:
        waiting = {
            executor.submit(_plan_one, task, rules, seconds, seed, saws, files): place
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
