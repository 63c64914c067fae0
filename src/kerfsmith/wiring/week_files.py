"""From files to a week: a cut list planned and lined up by the very verbs that the pages use."""

import tempfile
import threading
import time
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import Finding
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupTask, plan_group
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records.opening import open_engine
from kerfsmith.records.store import Store
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.shop.factors import FactorDecided
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import Unit
from kerfsmith.wiring.own_files import OwnFiles, over
from kerfsmith.wiring.plan_files import plan_files
from kerfsmith.wiring.quoting import rack_bars
from kerfsmith.wiring.shop_at_hand import ShopAtHand
from kerfsmith.wiring.week_jobs import Making
from kerfsmith.wiring.week_stage import ShopWeekStage, shop_clock
from kerfsmith.workflow.begin_shop import set_rules
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.ports import Change
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.set_hours import set_hours
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order


@dataclass(frozen=True, slots=True)
class FileWeek:
    """A week made from files; ``week`` is None where there is none, and ``refusal`` says why."""

    week: KeptWeek | None
    refusal: Refusal | None
    findings: tuple[Finding, ...]

    @property
    def input_at_fault(self) -> bool:
        """Whether any row had to be left out."""
        return any(finding.is_error for finding in self.findings)


class PlansHere:
    """One group on one saw, planned in this process."""

    def __init__(self, catalog: Catalog) -> None:
        self.catalog = catalog

    def effort(self, seconds: float, seed: int) -> Effort:
        """By the clock of the process, as the pool's: a busy machine plans the same."""
        return Effort(seconds, seed, time.process_time, lambda: False)

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
        tables = over(self.catalog, files, saws)
        alone = replace(tables, saws=(tables.find_saw(saw_id),))
        return plan_group(task, alone, rules, self.effort(seconds, seed))


def _decide(change: Change, decided: Iterable[FactorDecided]) -> None:
    for one in decided:
        change.learning.decide(one)


def week_of_files(
    orders: str | Path,
    rack: Path | None,
    *,
    data: bytes | None = None,
    bare: Unit | None = None,
    start: datetime | None = None,
    seconds: float = 10.0,
    seed: int = 1,
    wish_to_stop: threading.Event | None = None,
    shop: ShopAtHand | None = None,
) -> FileWeek:
    """Plan the cut list ``orders`` from ``rack`` and line it up from ``start`` on.

    ``start`` is by the shop's clock, None for now. Saws, rules, hours and factors are those of ``shop``, else
    the usual ones.

    Raises OSError for a file that can't be read.
    """
    shop, wish = shop or ShopAtHand(), wish_to_stop or threading.Event()
    rules = shop.rules
    made = plan_files(
        orders,
        rack,
        data=data,
        bare=bare,
        rules=rules,
        seconds=seconds,
        seed=seed,
        should_stop=wish.is_set,
        catalog=shop.catalog,
    )
    with tempfile.TemporaryDirectory(prefix="kerfsmith-week-") as folder:
        engine = open_engine(f"sqlite:///{Path(folder) / 'week.sqlite'}")
        store, at = Store(engine), datetime.now(UTC)
        set_rules(store, rules, by=HOUSE, at=at)
        set_hours(store, shop.hours, by=HOUSE, at=at)
        store.perform(lambda change: _decide(change, shop.decided))
        bars = rack_bars(rack, made.catalog, rules, bare)
        stock_rack(store, bars, by=HOUSE, at=at, source=str(rack or ""))
        order = Order("file", made.plan.name, made.order.lines)
        take_order(store, order, by=HOUSE, at=at, source=made.plan.name)
        plan_cuts(
            store,
            [],
            lambda _: enumerate(made.plan.groups),
            order_ids=["file"],
            plan_id=made.plan.id,
            name=made.plan.name,
            seed=seed,
            by=HOUSE,
            at=at,
        )
        stage = ShopWeekStage(store, made.catalog, PlansHere(made.catalog), lambda: start or shop_clock())
        answer = stage.line_up_now(Making("file", wish_to_stop=wish), by=HOUSE)
        week = None if isinstance(answer, Refusal) else stage.week().proposed
        engine.dispose()
    return FileWeek(week, answer if isinstance(answer, Refusal) else None, made.findings)
