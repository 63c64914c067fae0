"""Arc flow: a plan is a flow through the graph of lengths, a bar one path through it.

Valerio de Carvalho (1999), "Exact solution of bin-packing problems using column generation and
branch-and-bound", Annals of Operations Research 86. Pieces are laid longest first, and an arc leaves only
points that longer pieces can reach. It needs a node for each reachable length, so it is for short bars and
as a check on the other engines.
"""

from collections import defaultdict
from dataclasses import dataclass

from kerfsmith.nesting.engines.answer import PureAnswer, PurePattern
from kerfsmith.nesting.engines.mip import Answer, Program
from kerfsmith.nesting.reduce import PureForm
from kerfsmith.nesting.stop import Watch

ARC_LIMIT = 60_000


@dataclass(frozen=True, slots=True)
class Graph:
    """Arcs (from, to, item) and ends (from, kind), each with its variable in ``program``."""

    program: Program
    arcs: dict[tuple[int, int, int], int]
    ends: dict[tuple[int, int], int]


def solve_arcflow(form: PureForm, watch: Watch, seed: int, arc_limit: int = ARC_LIMIT) -> PureAnswer | None:
    """The cheapest plan by arc flow; None where the graph would have more than ``arc_limit`` arcs."""
    arcs = _arcs(form, arc_limit)
    if arcs is None:
        return None
    graph = _graph(form, arcs)
    objective = {number: form.kinds[kind].cost for (_, kind), number in graph.ends.items()}
    answer = graph.program.solve(objective, watch, seed)
    bound = max(0, answer.bound or 0)
    if answer.value is None:
        ended = "infeasible" if answer.ended == "infeasible" else "open"
        return PureAnswer("infeasible" if ended == "infeasible" else "open", (), None, bound, "arc flow")
    return PureAnswer(answer.ended, _patterns(graph, answer), answer.value, bound, "arc flow")


def _arcs(form: PureForm, limit: int) -> list[tuple[int, int, int]] | None:
    longest = max((kind.exact or kind.capacity for kind in form.kinds), default=0)
    arcs: list[tuple[int, int, int]] = []
    reached = {0}
    for item in sorted(range(len(form.sizes)), key=lambda i: (-form.sizes[i], i)):
        size, fresh = form.sizes[item], reached
        seen: set[int] = set()
        for _ in range(min(form.demands[item], longest // size)):
            fresh = {at + size for at in fresh if at + size <= longest and at not in seen}
            starts = {end - size for end in fresh}
            seen |= starts
            arcs.extend((at, at + size, item) for at in sorted(starts))
            if len(arcs) > limit:
                return None
            reached = reached | fresh
    return arcs


def _graph(form: PureForm, arcs: list[tuple[int, int, int]]) -> Graph:
    program = Program()
    balance: dict[int, dict[int, int]] = defaultdict(dict)
    demand: list[dict[int, int]] = [{} for _ in form.sizes]
    numbers: dict[tuple[int, int, int], int] = {}
    for at, to, item in arcs:
        number = program.variable(form.demands[item])
        numbers[at, to, item] = number
        balance[at][number] = -1
        balance[to][number] = 1
        demand[item][number] = 1
    ends: dict[tuple[int, int], int] = {}
    supply: list[dict[int, int]] = [{} for _ in form.kinds]
    for at in sorted(balance.keys() - {0}):
        for kind, bars in enumerate(form.kinds):
            if bars.takes(at):
                number = program.variable(sum(form.demands))
                ends[at, kind] = number
                balance[at][number] = -1
                supply[kind][number] = 1
    for at, terms in balance.items():
        if at:
            program.row(terms, 0, 0)
    for item, terms in enumerate(demand):
        program.row(terms, form.demands[item], form.demands[item])
    for bars, terms in zip(form.kinds, supply, strict=True):
        if bars.supply is not None:
            program.row(terms, None, bars.supply)
    return Graph(program, numbers, ends)


def _patterns(graph: Graph, answer: Answer) -> tuple[PurePattern, ...]:
    """Take the flow apart into paths, the widest first choice at every node."""
    into: dict[int, list[tuple[int, int, int]]] = defaultdict(list)
    flow: dict[tuple[int, int, int], int] = {}
    for arc, number in graph.arcs.items():
        if answer.values[number]:
            flow[arc] = answer.values[number]
            into[arc[1]].append(arc)
    patterns = []
    for (end, kind), number in graph.ends.items():
        left = answer.values[number]
        while left:
            path, at = [], end
            while at:
                arc = next(arc for arc in into[at] if flow[arc])
                path.append(arc)
                at = arc[0]
            times = min(left, *(flow[arc] for arc in path))
            counts: dict[int, int] = {}
            for arc in path:
                flow[arc] -= times
                counts[arc[2]] = counts.get(arc[2], 0) + 1
            patterns.append(PurePattern(kind, tuple(sorted(counts.items())), times))
            left -= times
    return tuple(patterns)
