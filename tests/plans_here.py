"""The planning pool without its processes, for tests."""

from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupRunner, in_turn
from kerfsmith.shop.rules import ShopRules
from kerfsmith.wiring import week_files
from kerfsmith.wiring.own_files import OwnFiles, over


class PlansHere(week_files.PlansHere):
    """`wiring.pool.PlanningPool` in this process, for ``most_seconds`` of its work a group at the most."""

    def __init__(self, catalog: Catalog, most_seconds: float = 60.0) -> None:
        super().__init__(catalog)
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

    def effort(self, seconds: float, seed: int) -> Effort:
        """No longer than the tests wait, and until it is stopped."""
        effort = super().effort(min(seconds, self._most_seconds), seed)
        return replace(effort, should_stop=lambda: self.stopped)

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
        return in_turn(over(self.catalog, files, saws), rules, self.effort(seconds, seed))
