"""What stands behind the pages of what was learned and of the charts."""

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.demo.history import demo_history
from kerfsmith.faults.circumstances import Beside, Moved
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted, watched
from kerfsmith.library.load import load_catalog
from kerfsmith.shop.factors import Decision, FactorDecided, Measure, Scope
from kerfsmith.shop.person import HOUSE, Person
from kerfsmith.wiring.records import open_store
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.learn import DecideFactor, Lessons, bring_history, decide_factor, learn_from
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal

DEMO_SEED = 7
UNITS = {
    Charted.LENGTH: "mm",
    Charted.SQUARENESS: "thousandths of the height",
    Charted.CUT_TIME: "%",
    Charted.MOTOR_LOAD: "%",
}


@dataclass(frozen=True)
class _Read:
    """The log at one state of the records, and what it teaches."""

    stamp: str
    log: Log
    decisions: tuple[FactorDecided, ...]
    lessons: Lessons


class ShopLearningStage:
    """`web.learning_stage.LearningStage` over one shop's records.

    What the log teaches is worked out once for each state of the records.
    """

    def __init__(self, records: Records, catalog: Callable[[], Catalog]) -> None:
        self._records = records
        self._catalog = catalog
        self._read: _Read | None = None
        self._lock = threading.Lock()

    def log(self) -> Log:
        """All there is to learn from."""
        return self._now().log

    def lessons(self) -> Lessons:
        """What it teaches."""
        return self._now().lessons

    def decisions(self) -> Sequence[FactorDecided]:
        """Every decision on a factor, oldest first."""
        return self._now().decisions

    def decide(
        self, measure: Measure, scope: Scope, decision: Decision, *, by: Person
    ) -> FactorDecided | Refusal:
        """Accept, freeze or forget the factor as it is learned now."""
        factor = None if decision is Decision.FORGET else self.lessons().factor(measure, scope)
        told = DecideFactor(measure, scope, decision, factor)
        return decide_factor(self._records, told, by=by, at=datetime.now(UTC))

    def names(self) -> Mapping[str, str]:
        """Saws' and bands' names by their ids."""
        catalog = self._catalog()
        named = {saw.id: saw.name for saw in catalog.saws}
        return named | {band.id: band.name for band in catalog.bands}

    def moved(self, saw: str) -> tuple[Moved, ...]:
        """What the charts of a saw say has moved and still stands."""
        log = self.log()
        found = []
        for charted in Charted:
            seen = watched(log, charted, saw)
            alarm = seen.lasting
            if alarm is not None:
                beside = tuple(Beside(one.what, one.after) for one in alarm.changes)
                since = seen.points[alarm.step.at].at
                found.append(Moved(charted.value, alarm.by, UNITS[charted], since, beside))
        return tuple(found)

    def _now(self) -> _Read:
        with self._lock:
            with self._records.look() as look:
                stamp = look.learning.stamp()
                if self._read is not None and self._read.stamp == stamp:
                    return self._read
                log, decisions = look.learning.log(), look.learning.decisions()
            self._read = _Read(stamp, log, decisions, learn_from(log, decisions))
            return self._read


def learning_of(records: str) -> ShopLearningStage:
    """The stage over the records in a SQLite file or at a database URL, for the command line."""
    store, catalog = open_store(records), load_catalog()
    return ShopLearningStage(store, ShopTables(store, catalog).ever)


def open_demo_history(records: Records) -> None:
    """The demo shop's weeks before, from the work of its plan."""
    plan, now = records.latest_plan(), datetime.now(UTC)
    if plan is None:
        return
    history = demo_history(plan.groups, now, DEMO_SEED)
    bring_history(
        records, history.cuts, history.stays, source="eight invented weeks of the demo", by=HOUSE, at=now
    )
