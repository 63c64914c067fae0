"""Dives: round the LP step by step, pricing new patterns for what remains after each step."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from kerfsmith.nesting.engines.columns.filling import quick_plans
from kerfsmith.nesting.engines.columns.generation import Generation, wanted, whole_duals
from kerfsmith.nesting.engines.columns.master import LpPoint
from kerfsmith.nesting.engines.columns.problem import Column, Plan, plan_of

ROUNDS = 12
"""Pricing rounds at most after each step of a dive."""


NEAR = 0.75
"""Share of a bar in the LP from which a pattern is fixed along with the best one."""


@dataclass(slots=True)
class Dive:
    """One dive: what is fixed so far and what is left."""

    generation: Generation
    noise: float
    left: list[int] = field(init=False)
    supplies: list[int | None] = field(init=False)
    fixed: list[tuple[Column, int]] = field(init=False, default_factory=list)
    cost: int = field(init=False, default=0)
    fullest_at: int = field(init=False, default=60)

    def __post_init__(self) -> None:
        problem = self.generation.run.problem
        self.left = list(problem.demands)
        self.supplies = list(problem.supplies)

    def go(self, root: LpPoint) -> Plan | None:
        """Dive from the root's LP optimum; the plan found, if it is within the run's target."""
        run = self.generation.run
        point: LpPoint | None = root
        while point is not None and not run.over():
            for column, times in self._choose(point):
                self._fix(column, times)
            if not any(self.left):
                return plan_of(run.problem, self.fixed)
            plan = self._finish_quickly()
            if plan is not None:
                return plan
            point = self._resolve()
        return None

    def _choose(self, point: LpPoint) -> list[tuple[Column, int]]:
        """Whole parts of the LP's bars; where there are none, one bar of the pattern nearest to one."""
        columns = self.generation.master.columns
        whole = [(j, int(x + 1e-6)) for j, x in enumerate(point.bars) if x >= 1 - 1e-6]
        if whole:
            return [(columns[j], n) for j, n in whole]
        chance = self.generation.run.chance
        ranked = sorted(
            (-(x + (self.noise * chance.random() if self.noise else 0.0)), j)
            for j, x in enumerate(point.bars)
            if x > 1e-6
        )
        return [(columns[j], 1) for n, (x, j) in enumerate(ranked) if n == 0 or -x >= NEAR]

    def _fix(self, column: Column, times: int) -> None:
        kind, counts = column
        if self.fixed and any(n > self.left[i] for i, n in counts):
            return
        supply = self.supplies[kind]
        if supply is not None:
            times = min(times, supply)
        while times > 0:
            cut = tuple((i, min(n, self.left[i])) for i, n in counts if self.left[i])
            if not cut:
                return
            alike = min(times, min(self.left[i] // n for i, n in cut))
            for i, n in cut:
                self.left[i] -= n * alike
            self.fixed.append(((kind, cut), alike))
            self.cost += self.generation.run.problem.costs[kind] * alike
            left = self.supplies[kind]
            if left is not None:
                self.supplies[kind] = left - alike
            times -= alike

    def _finish_quickly(self) -> Plan | None:
        """A greedy end to the dive where it meets the target; its patterns help the LP in any case."""
        run = self.generation.run
        pieces = sum(self.left)
        fullest = pieces <= self.fullest_at
        if fullest:
            self.fullest_at = pieces * 3 // 4
        plans = quick_plans(run.problem, self.left, self.supplies, fullest)
        for plan in plans:
            if run.plan is None or self.cost + plan.cost < run.plan.cost:
                whole = plan_of(run.problem, [*self.fixed, *plan.uses])
                run.offer(whole)
                if run.closed():
                    return whole
        self.generation.master.add([c for plan in plans for c, _ in plan.uses])
        return None

    def _resolve(self) -> LpPoint | None:
        """LP of what is left, with a few rounds of pricing; None when it cannot meet the target."""
        generation, run = self.generation, self.generation.run
        problem, master, target = run.problem, generation.master, run.target()
        point = None
        master.want(self.left, self.supplies, self._proper())
        for _ in range(ROUNDS):
            point = master.solve()
            run.counters["work"] += 1
            if point is None or run.over():
                return None
            duals = whole_duals(generation.pricer, point.worth, point.scarcity)
            costs = wanted(problem, duals)
            slack = max(1, duals.scale >> 20)
            priced = generation.pricer.price(duals, self.left, [c + slack for c in costs])
            if not master.add(priced.columns):
                break
            if target is not None and self.cost + point.cost <= target + 1e-6 and self._lp_done(point):
                break
        if point is None or (target is not None and self.cost + point.cost > target + 1e-6):
            return None
        return LpPoint(point.cost, point.bars[: len(master.columns)], point.worth, point.scarcity)

    def _lp_done(self, point: LpPoint) -> bool:
        """The LP of what is left already rounds to what the whole bound allows."""
        run = self.generation.run
        return self.cost + point.cost <= run.bound + 1e-6

    def _proper(self) -> list[bool]:
        left, supplies = self.left, self.supplies
        proper = []
        for kind, counts in self.generation.master.columns:
            fits = supplies[kind] != 0
            if fits:
                for i, n in counts:
                    if n > left[i]:
                        fits = False
                        break
            proper.append(fits)
        return proper


def dive_until(generation: Generation, root: LpPoint, dives: int) -> None:
    """Dive up to `dives` times, the later ones with growing chance, until the bound is met."""
    run, master = generation.run, generation.master
    for n in range(dives):
        if run.over():
            break
        run.counters["dives"] += 1
        run.offer(Dive(generation, 0.0 if n == 0 else 0.15 + 0.05 * min(n, 10)).go(root))
    master.want(run.problem.demands, run.problem.supplies, None)


def greedy_columns(plans: Sequence[Plan]) -> list[Column]:
    """The patterns of some plans."""
    return [column for plan in plans for column, _ in plan.uses]
