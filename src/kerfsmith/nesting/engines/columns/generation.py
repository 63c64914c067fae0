"""Column generation with smoothed duals and a proven bound at every step."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from kerfsmith.nesting.engines.columns.master import LpPoint, Master
from kerfsmith.nesting.engines.columns.pricing import NARROW, Duals, Priced, Pricer, proven_duals
from kerfsmith.nesting.engines.columns.problem import Problem
from kerfsmith.nesting.engines.columns.run import Run

SMOOTHING = 0.6
"""Share of the best duals so far in the duals priced (Wentges 1997; Pessoa et al. 2018)."""


LEAN = 1e-4
SPREAD_ROUNDS = 30
"""How much demands are raised to see other duals, and the pricing rounds allowed for it."""


@dataclass(slots=True)
class Generation:
    """Column generation for one problem: master, pricer and the best proven duals."""

    run: Run
    master: Master
    pricer: Pricer
    best: Duals | None = None
    best_value: float = 0.0
    point: LpPoint | None = None
    good_duals: list[Duals] = field(default_factory=list)

    def to_optimum(self, settle: bool = True) -> LpPoint | None:
        """Generate until no pattern improves the LP (`settle`: until the rounded bound cannot change)."""
        run, share = self.run, SMOOTHING
        while True:
            point = self.master.solve()
            run.counters["work"] += 1
            if point is None:
                return self.point
            self.point = point
            if run.over() or (settle and self._settled(point)):
                return point
            improved, added = self._step(point, share)
            if not added:
                if share == 0.0:
                    return point
                share = share if improved else 0.0
            else:
                share = SMOOTHING
            if run.over():
                return point

    def _settled(self, point: LpPoint) -> bool:
        problem = self.run.problem
        reach = int(point.cost) if point.cost - int(point.cost) < 1e-6 else int(point.cost) + 1
        return self.run.bound >= problem.cost_at_least(reach)

    def _step(self, point: LpPoint, share: float) -> tuple[bool, int]:
        """Price once; (bound improved, patterns added)."""
        problem = self.run.problem
        worth, scarcity = point.worth, point.scarcity
        if self.best is not None and share > 0.0:
            scale = self.best.scale
            worth = _blend(worth, self.best.items, share, scale)
            scarcity = [
                (1 - share) * a + share * b / scale for a, b in zip(scarcity, self.best.kinds, strict=True)
            ]
        duals = whole_duals(self.pricer, worth, scarcity)
        costs = wanted(problem, duals)
        priced = self.pricer.price(duals, problem.demands, costs, width=NARROW)
        added = self._add_good(priced, point)
        if priced.exact or not added:
            if not priced.exact:
                priced = self.pricer.price(duals, problem.demands, costs)
                added = self._add_good(priced, point)
            improved = priced.exact and self.take_bound(duals, priced.most)
            return improved, added
        return False, added

    def _add_good(self, priced: Priced, point: LpPoint) -> int:
        """Give the master the patterns that improve its LP."""
        problem = self.run.problem
        return self.master.add(
            [c for c in priced.columns if _gain(c, point, problem) > 1e-9 * max(1.0, problem.costs[c[0]])]
        )

    def spread(self, number: int) -> list[Duals]:
        """Proven duals of the LP for demands raised ever so little at random, and the mean of them all.

        Each is optimal or nearly; their mean leaves few patterns without reduced cost.
        """
        run, problem = self.run, self.run.problem
        found: list[Duals] = []
        for _ in range(number):
            self.master.lean([d * (1 + LEAN * run.chance.random()) for d in problem.demands])
            for _ in range(SPREAD_ROUNDS):
                point = self.master.solve()
                run.counters["work"] += 1
                if point is None or run.over():
                    break
                duals = whole_duals(self.pricer, point.worth, point.scarcity)
                priced = self.pricer.price(duals, problem.demands, wanted(problem, duals))
                if not self._add_good(priced, point) and priced.exact:
                    found.append(proven_duals(problem, duals, priced.most))
                    break
        self.master.want(problem.demands, problem.supplies, None)
        return [*found, mean_duals(found)] if found else []

    def lean_on(self, duals: Duals | None) -> None:
        """Begin with duals proven beforehand as the best known."""
        if duals is not None:
            self.best, self.best_value = duals, duals.bound(self.run.problem) / duals.scale

    def take_bound(self, duals: Duals, most: Sequence[int]) -> bool:
        """Prove a bound from priced duals and keep it when it is the best."""
        problem = self.run.problem
        proven = proven_duals(problem, duals, most)
        bound = proven.bound(problem)
        value = bound / proven.scale
        if self.run.raise_bound(-(-bound // proven.scale), "column generation"):
            self.run.duals, self.run.dual_scale = proven.items, proven.scale
        if self.best is None or value > self.best_value:
            self.best, self.best_value = proven, value
            return True
        return False


def mean_duals(several: Sequence[Duals]) -> Duals:
    """The mean of proven duals, itself proven (rounded down, scarcity up, at the least scale among them)."""
    scale, n = min(d.scale for d in several), len(several)
    items = tuple(
        sum(d.items[i] * scale // d.scale for d in several) // n for i in range(len(several[0].items))
    )
    kinds = tuple(
        -(-sum(-(-d.kinds[k] * scale // d.scale) for d in several) // n) for k in range(len(several[0].kinds))
    )
    return Duals(items, kinds, scale)


def whole_duals(pricer: Pricer, worth: Sequence[float], scarcity: Sequence[float]) -> Duals:
    """Duals rounded down to whole numbers over a fitting scale."""
    scale = pricer.scale_for(worth, scarcity)
    return Duals(
        tuple(max(0, int(u * scale)) for u in worth), tuple(max(0, int(v * scale)) for v in scarcity), scale
    )


def wanted(problem: Problem, duals: Duals) -> list[int]:
    """What a pattern on each kind has to beat."""
    return [c * duals.scale + v for c, v in zip(problem.costs, duals.kinds, strict=True)]


def _gain(column: tuple[int, tuple[tuple[int, int], ...]], point: LpPoint, problem: Problem) -> float:
    kind, counts = column
    return sum(point.worth[i] * n for i, n in counts) - problem.costs[kind] - point.scarcity[kind]


def _blend(new: Sequence[float], old: Sequence[int], share: float, scale: int) -> list[float]:
    return [(1 - share) * a + share * b / scale for a, b in zip(new, old, strict=True)]
