"""Branching on how many bars of each kind are used: with those numbers whole, the cost is settled."""

import heapq
from dataclasses import dataclass, replace

from kerfsmith.nesting.engines.columns.diving import dive_until, greedy_columns
from kerfsmith.nesting.engines.columns.filling import quick_plans
from kerfsmith.nesting.engines.columns.generation import Generation
from kerfsmith.nesting.engines.columns.listing import useful_patterns
from kerfsmith.nesting.engines.columns.master import LpPoint, Master
from kerfsmith.nesting.engines.columns.pricing import Duals, Pricer
from kerfsmith.nesting.engines.columns.problem import Plan, Problem, plan_of
from kerfsmith.nesting.engines.columns.recombine import recombine
from kerfsmith.nesting.engines.columns.run import Run

ROUNDS = 200
"""Pricing rounds at most for one node."""

LEAF_PATTERNS = 30_000
LEAF_NODES, LEAF_WORK_S = 5000, 5.0
"""Patterns listed for one choice of bars, nodes and work of its integer program."""

BY_KINDS = "bars of each kind counted out"


@dataclass(frozen=True, slots=True)
class _Node:
    least: tuple[int, ...]
    most: tuple[int, ...]


def count_out_kinds(generation: Generation) -> bool:
    """Branch on the bars of each kind until the best plan is proven; True when it is."""
    run, problem = generation.run, generation.run.problem
    if run.plan is None:
        return False
    master = Master(problem, shortage=float(run.plan.cost))
    master.add(generation.master.columns)
    pricer = Pricer(problem)
    heap: list[tuple[int, int, _Node]] = [(run.bound, 0, _root(run, run.plan.cost))]
    count, undecided = 0, None
    while heap and not run.over():
        bound, _, node = heapq.heappop(heap)
        floor = bound if undecided is None else min(bound, undecided)
        run.raise_bound(min(floor, run.plan.cost), BY_KINDS)
        if bound >= run.plan.cost or run.over():
            break
        run.counters["kind nodes"] += 1
        bound, point = _node_bound(run, master, pricer, node, bound)
        if point is None or bound >= run.plan.cost:
            if point is None:
                undecided = bound if undecided is None else min(bound, undecided)
            continue
        used = _bars_used(problem, master, point)
        kind = max(range(len(used)), key=lambda k: abs(used[k] - round(used[k])))
        if abs(used[kind] - round(used[kind])) > 1e-6:
            children = _split(node, kind, int(used[kind]))
        else:
            bars = tuple(round(x) for x in used)
            if not _pack(run, master, bars):
                cost = sum(c * n for c, n in zip(problem.costs, bars, strict=True))
                undecided = cost if undecided is None else min(cost, undecided)
            children = _around(node, bars)
        for child in children:
            count += 1
            heapq.heappush(heap, (bound, count, child))
    if run.over():
        return run.closed()
    if undecided is None or undecided >= run.plan.cost:
        run.raise_bound(run.plan.cost, BY_KINDS)
    return run.closed()


def _root(run: Run, cost: int) -> _Node:
    problem = run.problem
    most = [
        min(problem.pieces if supply is None else supply, (cost - 1) // each if each else problem.pieces)
        for supply, each in zip(problem.supplies, problem.costs, strict=True)
    ]
    return _Node((0,) * len(most), tuple(most))


def _split(node: _Node, kind: int, low: int) -> list[_Node]:
    """At most `low` bars of a kind, or more."""
    most = (*node.most[:kind], low, *node.most[kind + 1 :])
    least = (*node.least[:kind], low + 1, *node.least[kind + 1 :])
    return [replace(node, most=most), replace(node, least=least)]


def _around(node: _Node, bars: tuple[int, ...]) -> list[_Node]:
    """The node without the one choice of `bars`: nodes that part what is left of it.

    Bars fewer in every kind are no better to pack, so what differs has more of some kind or is cheaper;
    all is kept.
    """
    parts: list[_Node] = []
    least, most = list(node.least), list(node.most)
    for k, n in enumerate(bars):
        if n + 1 <= most[k]:
            parts.append(_Node((*least[:k], n + 1, *least[k + 1 :]), tuple(most)))
        if n - 1 >= least[k]:
            parts.append(_Node(tuple(least), (*most[:k], n - 1, *most[k + 1 :])))
        least[k] = most[k] = n
    return parts


def _node_bound(
    run: Run, master: Master, pricer: Pricer, node: _Node, bound: int
) -> tuple[int, LpPoint | None]:
    """Bound proven for a node, and its LP optimum (None where the rounds or the run ended first)."""
    problem = run.problem
    if any(a > b for a, b in zip(node.least, node.most, strict=True)):
        return run.plan.cost if run.plan else bound, LpPoint(0.0, [], [], [])
    master.limit(node.least, node.most)
    for _ in range(ROUNDS):
        point = master.solve()
        run.counters["work"] += 1
        if point is None or run.over():
            return bound, None
        scale = pricer.scale_for(point.worth, [abs(v) for v in point.scarcity])
        items = tuple(max(0, int(u * scale)) for u in point.worth)
        costs = [int((c + v) * scale) for c, v in zip(problem.costs, point.scarcity, strict=True)]
        priced = pricer.price(Duals(items, (), scale), problem.demands, [max(0, c) for c in costs])
        if not priced.exact and not master.add(priced.columns):
            return bound, None
        if not priced.exact:
            continue
        total = sum(u * d for u, d in zip(items, problem.demands, strict=True))
        for most, cost, low, high in zip(priced.most, problem.costs, node.least, node.most, strict=True):
            price = most - cost * scale
            total -= price * (high if price > 0 else low)
        bound = max(bound, problem.cost_at_least(-(-total // scale)))
        if run.plan is not None and bound >= run.plan.cost:
            return bound, point
        if not master.add(priced.columns):
            return bound, point
    return bound, None


def _bars_used(problem: Problem, master: Master, point: LpPoint) -> list[float]:
    used = [0.0] * len(problem.costs)
    for (kind, _), bars in zip(master.columns, point.bars, strict=False):
        used[kind] += bars
    return used


def _pack(run: Run, master: Master, bars: tuple[int, ...]) -> bool:
    """Cut the demand from exactly these bars: True when a plan came of it or none can."""
    whole = run.problem
    problem = Problem(whole.sizes, whole.demands, whole.capacities, list(bars), whole.costs)
    cost = sum(c * n for c, n in zip(problem.costs, bars, strict=True))
    inner = Run(
        problem, run.now, run.should_stop, run.deadline, run.chance, run.max_work, counters=run.counters
    )
    plans = quick_plans(problem, problem.demands, problem.supplies)
    for plan in plans:
        inner.offer(plan)
    if inner.plan is None and not inner.over():
        generation = Generation(inner, Master(problem), Pricer(problem))
        generation.master.add(greedy_columns(plans))
        generation.master.add([c for c in master.columns if bars[c[0]]])
        root = generation.master.solve()
        if root is not None:
            dive_until(generation, root, 2)
        if inner.plan is None and not inner.over():
            return _settle(run, inner, generation, cost)
    return _take(run, inner.plan)


def _settle(run: Run, inner: Run, generation: Generation, cost: int) -> bool:
    """List what a plan from these bars can use and solve it, or solve over the patterns known."""
    problem = inner.problem
    waste = Duals(
        tuple(problem.sizes),
        tuple(c - e for c, e in zip(problem.capacities, problem.costs, strict=True)),
        1,
    )  # proven for plans that use these bars, all of them: what they waste together is given
    columns = useful_patterns(problem, [waste], cost, LEAF_PATTERNS, steps=3_000_000)
    exact = columns is not None
    result = recombine(
        inner, columns or generation.master.columns, cost, exact=exact, nodes=LEAF_NODES, work_s=LEAF_WORK_S
    )
    if result.plan is not None:
        return _take(run, result.plan)
    return exact and result.outcome == "none"


def _take(run: Run, plan: Plan | None) -> bool:
    if plan is None:
        return False
    run.offer(plan_of(run.problem, plan.uses))
    return True
