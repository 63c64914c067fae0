"""The referee: recounts every plan to the micrometre and knows nothing of who made it."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.problem import BarStock, Piece, Placed, Problem
from kerfsmith.nesting.recount import changes, close, late_pieces, totals, walk
from kerfsmith.nesting.result import Result, Run, Status, Want


@dataclass(frozen=True, slots=True)
class Fault:
    """Something a plan does that it must not: a code for programs, a sentence for people."""

    code: str
    says: str


def check(problem: Problem, result: Result) -> tuple[Fault, ...]:
    """Everything wrong with a result; empty when it keeps every rule and its figures are right."""
    known = [run for run in result.runs if _is_known(problem, run)]
    faults = [Fault("unknown", f"a run names {run.bar} or a piece of it that isn't in the problem")
              for run in result.runs if run not in known]  # fmt: skip
    if faults:
        return tuple(faults)
    if result.status in (Status.INFEASIBLE, Status.UNFINISHED):
        faults.extend(_without_plan(problem, result))
        return tuple(faults)
    for run in known:
        faults.extend(_run_faults(problem, run))
    faults.extend(_count_faults(problem, result))
    faults.extend(_heat_faults(problem, result))
    faults.extend(_decision_faults(problem, result))
    faults.extend(_room_faults(problem, result))
    faults.extend(_figure_faults(problem, result))
    return tuple(faults)


def _is_known(problem: Problem, run: Run) -> bool:
    return run.bar in problem.bar_by_id and all(p.piece in problem.piece_by_id for p in run.placed)


def _without_plan(problem: Problem, result: Result) -> Iterator[Fault]:
    if result.runs or result.cost is not None:
        yield Fault("plan", f"a result that is {result.status} must not hold a plan")
    if result.status is Status.INFEASIBLE and not result.reasons:
        yield Fault("reason", "infeasible without a reason")
    for reason in result.reasons:
        if reason.want is Want.TOO_LONG and too_long_by(problem, problem.piece_by_id[reason.piece]) != (
            reason.length_um
        ):
            yield Fault("reason", f"{reason.piece} isn't too long by {reason.length_um} um")


def too_long_by(problem: Problem, piece: Piece) -> int | None:
    """By how much a piece is too long for the best bar that may serve it [um]; None where no bar may.

    Zero or below: it fits alone, or behind others as the end left in the vise.
    """
    shortest = min((other.length_um for other in problem.pieces if other.count), default=0)
    short = []
    for bar in problem.bars:
        if problem.may_come_from(piece, bar) and bar.count != 0:
            for turn in problem.turns:
                walked = walk(problem, (Placed(piece.id, turn),))
                short.append(problem.grip_um - close(problem, bar, walked).remnant_um)
                beyond = walked.bottom_um - bar.length_um
                fills = -beyond <= piece.over_um or -beyond >= shortest + problem.kerf_um
                if fills and walked.lean_um == 0 and problem.may_end_in_vise(piece, bar):
                    short.append(max(0, beyond))
    return min(short) if short else None


def _run_faults(problem: Problem, run: Run) -> Iterator[Fault]:
    bar = problem.bar_by_id[run.bar]
    if not run.placed or not run.loads:
        yield Fault("empty", f"a run on {bar.id} cuts nothing")
        return
    if min(run.loads) < 1 or max(run.loads) > problem.bundle_most:
        yield Fault("bundle", f"{bar.id}: a load must hold 1 to {problem.bundle_most} bars")
    for placed in run.placed:
        piece = problem.piece_by_id[placed.piece]
        if placed.turn not in problem.turns:
            yield Fault("turn", f"{piece.id}: the section can't lie turned {placed.turn}")
        if not 0 <= placed.over_um <= piece.over_um:
            yield Fault("tolerance", f"{piece.id} is cut {placed.over_um} um over, {piece.over_um} allowed")
        if not problem.may_come_from(piece, bar):
            yield Fault("source", f"{piece.id} may not come from {bar.id} (its material or heat)")
    yield from _length_faults(problem, run, bar)
    if run.placed[: len(bar.begun)] != bar.begun:
        yield Fault("begun", f"{bar.id} has been begun otherwise")


def _length_faults(problem: Problem, run: Run, bar: BarStock) -> Iterator[Fault]:
    walked = walk(problem, run.placed)
    if run.ends_in_vise:
        last = problem.piece_by_id[run.placed[-1].piece]
        if not problem.may_end_in_vise(last, bar):
            yield Fault("vise", f"{bar.id}: {last.id} can't be what is left in the vise")
        if walked.lean_um or walked.bottom_um != bar.length_um:
            yield Fault("vise", f"{bar.id}: the last piece doesn't end where the bar ends")
        remnant, cuts = 0, walked.cuts
    else:
        ended = close(problem, bar, walked)
        remnant, cuts = ended.remnant_um, ended.cuts
        if remnant < problem.grip_um:
            yield Fault("length", f"{bar.id}: {remnant} um would be left, {problem.grip_um} um must be")
    if remnant != run.remnant_um:
        yield Fault("remnant", f"{bar.id}: {remnant} um are left, not {run.remnant_um}")
    if cuts != run.cuts:
        yield Fault("cuts", f"{bar.id}: it takes {cuts} cuts, not {run.cuts}")
    if not 0 <= run.kept <= run.times:
        yield Fault("kept", f"{bar.id}: {run.kept} remnants of {run.times} bars can't be kept")
    if run.kept and not problem.leftovers.may_keep(remnant):
        yield Fault("kept", f"{bar.id}: {remnant} um are too short to be kept")


def _count_faults(problem: Problem, result: Result) -> Iterator[Fault]:
    pieces: Counter[str] = Counter()
    bars: Counter[str] = Counter()
    for run in result.runs:
        bars[run.bar] += run.times
        for placed in run.placed:
            pieces[placed.piece] += run.times
    for piece in problem.pieces:
        if pieces[piece.id] != piece.count:
            yield Fault("pieces", f"{piece.id}: {pieces[piece.id]} are cut, {piece.count} wanted")
    for bar in problem.bars:
        if bar.count is not None and bars[bar.id] > bar.count:
            yield Fault("bars", f"{bar.id}: {bars[bar.id]} are used, {bar.count} there")
        if bar.begun and bars[bar.id] != 1:
            yield Fault("begun", f"{bar.id} has been begun and must be finished")


def _heat_faults(problem: Problem, result: Result) -> Iterator[Fault]:
    heats: dict[str, set[str]] = {}
    for run in result.runs:
        for placed in run.placed:
            order = problem.piece_by_id[placed.piece].order
            heats.setdefault(order, set()).add(problem.bar_by_id[run.bar].heat)
    for order in sorted(problem.one_heat_orders):
        if len(heats.get(order, ())) > 1:
            yield Fault("heat", f"order {order} comes from several heats")


def _decision_faults(problem: Problem, result: Result) -> Iterator[Fault]:
    for promise in problem.promises:
        cut = sum(r.times * r.counts.get(promise.piece, 0) for r in result.runs if r.bar == promise.bar)
        if cut < promise.count:
            yield Fault("promise", f"{promise.count} of {promise.piece} were promised from {promise.bar}")
    changed = changes(problem, result.runs)
    if problem.most_changes is not None and changed > problem.most_changes:
        yield Fault("changes", f"{changed} bars of the former plan are changed")


def _room_faults(problem: Problem, result: Result) -> Iterator[Fault]:
    kept = sum(run.kept for run in result.runs)
    most = problem.leftovers.most_new
    if most is not None and kept > most:
        yield Fault("remnants", f"{kept} remnants are kept, at most {most} may be")
    late = late_pieces(problem, result.runs)
    if late and not problem.may_be_late:
        yield Fault("late", f"{late} pieces are late")


def _figure_faults(problem: Problem, result: Result) -> Iterator[Fault]:
    found = totals(problem, result.runs)
    if result.cost != found[Aim.COST]:
        yield Fault("cost", f"the bars cost {found[Aim.COST]}, not {result.cost}")
    if result.lower_bound > found[Aim.COST]:
        yield Fault("bound", "the bound on the cost is above the cost")
    if tuple(reached.aim for reached in result.aims) != problem.aims:
        yield Fault("aims", "the aims reported aren't those of the problem")
    for reached in result.aims:
        if reached.value != found[reached.aim]:
            yield Fault("aims", f"{reached.aim} is {found[reached.aim]}, not {reached.value}")
        if reached.bound is not None and reached.bound > reached.value:
            yield Fault("bound", f"the bound on {reached.aim} is above its value")
    if result.status is Status.OPTIMAL and not all(reached.is_proven for reached in result.aims):
        yield Fault("status", "called optimal without proof for every aim")
