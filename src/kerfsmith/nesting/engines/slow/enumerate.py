"""Every way to lay pieces on bars, every set of such bars, every way to load them: the best that passes the
referee.

Nothing here is clever on purpose; the other engines are held against it. Fit for about six pieces.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations, product

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.check import check
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, Placed, Problem
from kerfsmith.nesting.recount import close, cut_leans, totals, walk
from kerfsmith.nesting.result import AimValue, Result, Run, Status

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """One bar laid out, as a run of one bar, and how many of each piece (in the problem's order) are on
    it."""

    counts: Counts
    run: Run


def enumerate_plans(problem: Problem, keep_all: bool = False) -> Result | None:
    """The best plan for the problem's aims in their order; None where no plan passes the referee.

    Of two layouts of the same pieces on the same bar the one with less left over and more cuts is dropped,
    unless ``keep_all``.
    """
    laid = [one for bar in problem.bars for one in _layouts(problem, bar, keep_all)]
    wanted = tuple(piece.count for piece in problem.pieces)
    best: Result | None = None
    for bars in _sets_of_bars(problem, laid, wanted):
        for runs in _loaded(problem, bars):
            reached = totals(problem, runs)
            worth = [reached[aim] for aim in problem.aims]
            if best is None or worth < _worth(best):
                found = _result(problem, runs, reached)
                best = best if check(problem, found) else found
    return best


def _worth(result: Result) -> list[int]:
    return [reached.value for reached in result.aims]


def _result(problem: Problem, runs: Sequence[Run], reached: dict[Aim, int]) -> Result:
    aims = tuple(AimValue(aim, reached[aim], reached[aim]) for aim in problem.aims)
    cost = reached[Aim.COST]
    return Result(Status.OPTIMAL, cost, 0, "every plan", tuple(runs), 0.0, "slow", aims)


def _layouts(problem: Problem, bar: BarStock, keep_all: bool) -> Iterator[Laid]:
    """Every set of pieces that fits the bar, in every order and turn that leads to a different end."""
    if bar.count == 0:
        return
    begun = [sum(placed.piece == piece.id for placed in bar.begun) for piece in problem.pieces]
    ranges = []
    for piece, already in zip(problem.pieces, begun, strict=True):
        usable = problem.may_come_from(piece, bar)
        ranges.append(range(already, (piece.count if usable else already) + 1))
    for counts in product(*ranges):
        if not any(counts):
            continue
        rest = [
            piece.id
            for piece, count, already in zip(problem.pieces, counts, begun, strict=True)
            for _ in range(count - already)
        ]
        ends: dict[tuple[int, ...], Run] = {}
        for order in sorted(set(permutations(rest))):
            for turns in product(*(_turns(problem, name) for name in order)):
                placed = bar.begun + tuple(map(Placed, order, turns))
                for run in _ended(problem, bar, placed):
                    ends.setdefault((run.remnant_um, run.cuts, *_timed_cuts(problem, run)), run)
        for end, run in ends.items():
            if keep_all or not any(
                o != end and o[0] >= end[0] and all(a <= b for a, b in zip(o[1:], end[1:], strict=True))
                for o in ends
            ):
                yield Laid(counts, run)


def _timed_cuts(problem: Problem, run: Run) -> list[int]:
    """How many cuts slant by each amount that has a time of its own, and then all the others."""
    leans = cut_leans(problem, run.placed, run.ends_in_vise)
    timed = [leans[lean] for lean in problem.timed_leans]
    return [*timed, run.cuts - sum(timed)]


def _turns(problem: Problem, name: str) -> list[Turn]:
    piece = problem.piece_by_id[name]
    return sorted(problem.turns) if piece.is_mitred else sorted(problem.turns)[:1]


def _ended(problem: Problem, bar: BarStock, placed: tuple[Placed, ...]) -> Iterator[Run]:
    walked = walk(problem, placed)
    last = problem.piece_by_id[placed[-1].piece]
    spare = bar.length_um - walked.bottom_um
    if walked.lean_um == 0 and spare >= 0 and problem.may_end_in_vise(last, bar):
        stretched = list(placed)
        for index in reversed(range(len(bar.begun), len(placed))):
            more = min(spare, problem.piece_by_id[placed[index].piece].over_um)
            stretched[index] = replace(placed[index], over_um=more)
            spare -= more
        if spare == 0:
            yield Run(bar.id, (1,), tuple(stretched), 0, walked.cuts, ends_in_vise=True)
    ended = close(problem, bar, walked)
    if ended.remnant_um >= problem.grip_um:
        yield Run(bar.id, (1,), placed, ended.remnant_um, ended.cuts)


def _sets_of_bars(problem: Problem, laid: Sequence[Laid], wanted: Counts) -> Iterator[list[Laid]]:
    """Every set of laid bars that makes up what is wanted; the same set may come more than once."""

    def further(left: Counts, first: int, chosen: list[Laid]) -> Iterator[list[Laid]]:
        if not any(left):
            yield chosen
            return
        for index in range(first, len(laid)):
            one = laid[index]
            if all(count <= rest for count, rest in zip(one.counts, left, strict=True)):
                bar = problem.bar_by_id[one.run.bar]
                if bar.count is None or sum(c.run.bar == bar.id for c in chosen) < bar.count:
                    rest = tuple(r - c for r, c in zip(left, one.counts, strict=True))
                    yield from further(rest, index, [*chosen, one])

    return further(wanted, 0, [])


def _loaded(problem: Problem, bars: Sequence[Laid]) -> Iterator[tuple[Run, ...]]:
    """Every way to bundle equal bars, to keep or scrap what is left, and to order the loads."""
    groups: dict[Run, int] = {}
    for one in bars:
        groups[one.run] = groups.get(one.run, 0) + 1
    ways = []
    for run, number in groups.items():
        kept = range(number + 1 if problem.leftovers.may_keep(run.remnant_um) else 1)
        bundles = _bundles(number, min(number, problem.bundle_most))
        ways.append([replace(run, loads=loads, kept=keep) for loads in bundles for keep in kept])
    timed = any(piece.due_ms is not None for piece in problem.pieces)
    for runs in product(*ways):
        if not timed:
            yield runs
            continue
        single = [one for run in runs for one in _single_loads(run)]
        yield from dict.fromkeys(permutations(single))


def _single_loads(run: Run) -> Iterator[Run]:
    kept = run.kept
    for bars in run.loads:
        yield replace(run, loads=(bars,), kept=min(kept, bars))
        kept -= min(kept, bars)


def _bundles(number: int, most: int) -> Iterator[tuple[int, ...]]:
    """Every way to write a number as a falling sum of numbers up to ``most``."""
    if number == 0:
        yield ()
        return
    for first in range(min(number, most), 0, -1):
        for rest in _bundles(number - first, min(first, most)):
            yield (first, *rest)
