"""What one solving run carries along: its clock and stops, its chance, its proven bound and best plan."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from kerfsmith.nesting.engines.columns.problem import Plan, Problem

LATE = "late"
"""Counts how often the clock ended the run or a part of it."""


@dataclass(slots=True)
class Run:
    """State of one solve: `bound` only rises, `plan` only gets cheaper."""

    problem: Problem
    now: Callable[[], float]
    should_stop: Callable[[], bool]
    deadline: float | None
    chance: Random
    max_work: int | None = None
    on_progress: Callable[[int, int | None], None] | None = None
    bound: int = 0
    bound_from: str = "none"
    duals: tuple[int, ...] = ()
    dual_scale: int = 1
    plan: Plan | None = None
    short_length: int = 0
    impossible: bool = False
    counters: Counter[str] = field(default_factory=Counter)

    def over(self) -> bool:
        """True when the run has to end now: proven, stopped, out of time or out of work."""
        if self.closed() or self.should_stop():
            return True
        if self.max_work is not None and self.counters["work"] >= self.max_work:
            return True
        late = self.deadline is not None and self.now() >= self.deadline
        self.counters[LATE] += late
        return late

    def closed(self) -> bool:
        """True when nothing is left to prove."""
        return self.impossible or (self.plan is not None and self.plan.cost <= self.bound)

    def seconds_left(self) -> float | None:
        """Seconds until the deadline (None: no limit)."""
        return None if self.deadline is None else max(0.0, self.deadline - self.now())

    def target(self) -> int | None:
        """The dearest cost a better plan could have (None: any plan would do)."""
        return None if self.plan is None else self.problem.cost_below(self.plan.cost)

    def raise_bound(self, bound: int, bound_from: str) -> bool:
        """Take a proven bound, rounded up to a cost that bars can add up to; True when it rose."""
        bound = self.problem.cost_at_least(bound)
        if bound <= self.bound:
            return False
        self.bound, self.bound_from = bound, bound_from
        self.tell()
        return True

    def offer(self, plan: Plan | None) -> bool:
        """Take a plan when it is cheaper than the best so far."""
        if plan is None or (self.plan is not None and plan.cost >= self.plan.cost):
            return False
        self.plan = plan
        self.tell()
        return True

    def tell(self) -> None:
        """Report bound and best cost to whoever listens."""
        if self.on_progress is not None:
            self.on_progress(self.bound, None if self.plan is None else self.plan.cost)
