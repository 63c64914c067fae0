"""Recounting a plan from nothing but the problem and the order of pieces on each bar.

It shares no line with any solver: the referee, the slow engine and the tests stand on it.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.nesting.aims import Aim, SawTime
from kerfsmith.nesting.ends import bottom_length, kerf_along, lean_of
from kerfsmith.nesting.problem import BarStock, Placed, Problem
from kerfsmith.nesting.result import Run


@dataclass(frozen=True, slots=True)
class Walked:
    """A bar walked from front to end: where its last piece ends (bottom edge), how that face leans, cuts so
    far.
    """

    bottom_um: int
    lean_um: int
    cuts: int


@dataclass(frozen=True, slots=True)
class Ended:
    """A bar with its last cut made: what is left of it and how many cuts it took in all."""

    remnant_um: int
    cuts: int


def walk(problem: Problem, placed: Sequence[Placed]) -> Walked:
    """Lay the pieces one after the other, each as near to the one before as kerfs and leans allow.

    Where the facing cut can be the first piece's own left end it is. Neighbouring faces that lean alike
    share one cut. Where they don't, both are cut, and neither cut's kerf reaches into the other: the faces
    stand apart by both kerfs at the edge where they come closest.
    """
    at, lean, cuts = 0, 0, 0
    for index, item in enumerate(placed):
        piece = problem.piece_by_id[item.piece]
        left, right = lean_of(piece.left_um, piece.right_um, item.turn)
        own = kerf_along(problem.kerf_um, left, problem.depth_um)
        if index == 0:
            if problem.front_trim_um or left:
                at, cuts = problem.front_trim_um + own + max(0, -left), 1
        elif left == lean:
            at, cuts = at + own, cuts + 1
        else:
            at += own + kerf_along(problem.kerf_um, lean, problem.depth_um) + max(0, lean - left)
            cuts += 2
        at += bottom_length(piece.length_um + item.over_um, left, right)
        lean = right
    return Walked(at, lean, cuts)


def close(problem: Problem, bar: BarStock, walked: Walked) -> Ended:
    """Make the closing cut behind the last piece; what is left may turn out below zero (it doesn't fit)."""
    kerf = kerf_along(problem.kerf_um, walked.lean_um, problem.depth_um)
    end = walked.bottom_um + max(0, walked.lean_um) + kerf
    return Ended(bar.length_um - end, walked.cuts + 1)


def cut_leans(problem: Problem, placed: Sequence[Placed], ends_in_vise: bool) -> Counter[int]:
    """How many of a load's cuts slant by how much along the bar, whichever way [um]: those of `walk`, and of
    `close` where the last piece doesn't end in the vise."""
    found: Counter[int] = Counter()
    lean = 0
    for index, item in enumerate(placed):
        piece = problem.piece_by_id[item.piece]
        left, right = lean_of(piece.left_um, piece.right_um, item.turn)
        if index == 0:
            found[abs(left)] += 1 if problem.front_trim_um or left else 0
        elif left == lean:
            found[abs(left)] += 1
        else:
            found.update((abs(left), abs(lean)))
        lean = right
    if not ends_in_vise:
        found[abs(lean)] += 1
    return found


def load_ms(problem: Problem, clock: SawTime, run: Run, bars: int) -> int:
    """Milliseconds of one load of a run, its cuts taken from the order of its pieces where slants matter."""
    if not clock.slanted:
        return clock.of_load(run.cuts, bars)
    return clock.of_load(run.cuts, bars, cut_leans(problem, run.placed, run.ends_in_vise))


def totals(problem: Problem, runs: Sequence[Run]) -> dict[Aim, int]:
    """Every aim's value for a plan whose runs are cut in this order. Takes each run's remnant and cuts as
    given.
    """
    found = dict.fromkeys(Aim, 0)
    for run in runs:
        bar = problem.bar_by_id[run.bar]
        found[Aim.BARS] += run.times
        found[Aim.COST] += run.times * bar.cost
        found[Aim.NEW_STOCK] += 0 if bar.is_remnant else run.times * bar.cost
        found[Aim.REMNANTS] += run.kept
        worth = problem.leftovers.worth_of(run.remnant_um)
        found[Aim.NET_MATERIAL] += run.times * bar.cost - run.kept * worth
        found[Aim.SCRAP] += run.times * scrap(problem, run) - run.kept * run.remnant_um
        found[Aim.LOADS] += len(run.loads)
        found[Aim.CUTS] += len(run.loads) * run.cuts
        times = [load_ms(problem, problem.saw_time, run, bars) for bars in run.loads]
        found[Aim.SAW_TIME] += sum(times)
        found[Aim.MONEY] += sum(time * problem.rates.saw_per_second // 1000 for time in times)
        first_choices = sum(problem.piece_by_id[p.piece].materials[0] == bar.material for p in run.placed)
        found[Aim.SUBSTITUTED] += run.times * (len(run.placed) - first_choices)
    found[Aim.PATTERNS] = len({pattern_of(run) for run in runs})
    found[Aim.LATE] = late_pieces(problem, runs)
    found[Aim.CHANGES] = changes(problem, runs)
    rates = problem.rates
    found[Aim.MONEY] += found[Aim.NET_MATERIAL] + rates.per_load * found[Aim.LOADS]
    found[Aim.MONEY] += rates.per_remnant * found[Aim.REMNANTS] + rates.per_pattern * found[Aim.PATTERNS]
    found[Aim.MONEY] += rates.per_late_piece * found[Aim.LATE]
    return found


def scrap(problem: Problem, run: Run) -> int:
    """Length of one bar that doesn't become pieces: kerfs, facing and the leftover, kept or not [um].

    A mitred piece counts with the mean of its two edges.
    """
    doubled = 0
    for placed in run.placed:
        piece = problem.piece_by_id[placed.piece]
        bottom = bottom_length(piece.length_um, piece.left_um, piece.right_um)
        doubled += 2 * bottom + piece.right_um - piece.left_um
    # Two trapezoids nested make whole micrometres; half of one left over is counted as scrap.
    return problem.bar_by_id[run.bar].length_um - doubled // 2


def pattern_of(run: Run) -> tuple[str, tuple[tuple[str, int], ...]]:
    """What makes two runs the same pattern: the bar and how many of each piece come off it."""
    return run.bar, tuple(sorted(run.counts.items()))


def late_pieces(problem: Problem, runs: Sequence[Run]) -> int:
    """How many pieces come off loads that end after the piece is due, the loads cut in this order."""
    clock, late = 0, 0
    for run in runs:
        for bars in run.loads:
            clock += load_ms(problem, problem.clock, run, bars)
            for placed in run.placed:
                due = problem.piece_by_id[placed.piece].due_ms
                late += bars if due is not None and clock > due else 0
    return late


def changes(problem: Problem, runs: Sequence[Run]) -> int:
    """How many bars of the former plan aren't cut as it said, whatever their order and turns."""
    now: Counter[tuple[str, tuple[tuple[str, int], ...]]] = Counter()
    for run in runs:
        now[pattern_of(run)] += run.times
    before: Counter[tuple[str, tuple[tuple[str, int], ...]]] = Counter()
    for bars in problem.former:
        before[bars.bar, tuple(sorted(bars.pieces))] += bars.times
    return sum(max(0, times - now[pattern]) for pattern, times in before.items())
