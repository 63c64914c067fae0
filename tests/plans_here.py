"""The planning pool without its processes, for tests."""

import time
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupRunner, GroupTask, in_turn, plan_group
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring.own_files import OwnFiles, over


class PlansHere:
    """`wiring.pool.PlanningPool` in this process, for ``most_seconds`` of its work a group at the most."""

    def __init__(self, catalog: Catalog, most_seconds: float = 60.0) -> None:
        self._catalog = catalog
        self._most_seconds = most_seconds
        self.stopped = False

    def stop(self) -> None:
        """End every group with the best it has."""
        self.stopped = True

    def clear(self) -> None:
        """Make ready for the next plan."""
        self.stopped = False

    def close(self) -> None:
        """Nothing is open."""

    def _effort(self, seconds: float, seed: int) -> Effort:
        # By the clock of the process, as the pool's: a busy machine plans the same.
        return Effort(min(seconds, self._most_seconds), seed, time.process_time, lambda: self.stopped)

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
        """As the pool's."""
        tables = over(self._catalog, files, saws)
        alone = replace(tables, saws=(tables.find_saw(saw_id),))
        return plan_group(task, alone, rules, self._effort(seconds, seed))

    def runner(
        self,
        rules: ShopRules,
        *,
        seconds: float,
        seed: int,
        saws: tuple[SawSheet, ...] | None = None,
        files: OwnFiles = (),
    ) -> GroupRunner:
        """As the pool's."""
        return in_turn(over(self._catalog, files, saws), rules, self._effort(seconds, seed))
