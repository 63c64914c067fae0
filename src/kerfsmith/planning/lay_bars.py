"""Bars of one group: work and rack put as a nesting problem, and its answer read back as planned bars."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.nesting.ends import Turn, kerf_along, lean_of
from kerfsmith.nesting.problem import BarStock, Piece, Placed, Problem
from kerfsmith.nesting.recount import walk
from kerfsmith.nesting.result import Result, Run
from kerfsmith.planning.mitred_ends import depth_um, lean_um, turns_allowed
from kerfsmith.planning.plan import PlannedBar, PlannedPiece
from kerfsmith.planning.work import Work
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.length import mm_to_um

MILLION = 1_000_000


@dataclass(frozen=True, slots=True)
class BarCosting:
    """How bars are charged while they are chosen: in money where every price is known, else in metres."""

    unit: str
    cost_of: Mapping[str, int]
    """Bar id -> cost in millionths of the unit."""


def charge(bars: Sequence[Bar], rules: ShopRules) -> BarCosting:
    """Price each bar for the choice; one still to be bought weighs ``rules.buying_weight`` times as much.

    The weight makes a plan use the rack before it buys; within either the least cost decides.
    """
    priced = all(bar.price is not None for bar in bars)
    costs = {}
    for bar in bars:
        cost = bar.price * MILLION if priced and bar.price is not None else Decimal(bar.length_um)
        weight = rules.buying_weight if bar.kind is BarKind.TO_BUY else 1
        costs[bar.id] = int(cost) * weight
    bought = any(bar.kind is BarKind.TO_BUY for bar in bars)
    unit = rules.currency if priced else "m of bar"
    return BarCosting(unit + (f", bought bars x{rules.buying_weight}" if bought else ""), costs)


@dataclass(frozen=True, slots=True)
class Bench:
    """What a group's bars are laid on: the saw, its kerf, and how the section lies under the band."""

    saw: SawSheet
    kerf_um: int
    lie: str


def pose(work: Work, bars: Sequence[Bar], bench: Bench, costing: BarCosting) -> Problem:
    """The group as a nesting problem: a kind of piece for each length and ends, of bar for each entry."""
    mitred = any(line.is_mitred for line in work.lines)
    across_um = depth_um(work.section, bench.lie) if mitred else 0
    pieces = [
        Piece(
            id=name,
            length_um=lines[0].length_um,
            count=sum(line.quantity for line in lines),
            left_um=lean_um(lines[0].angle_a_deg, across_um),
            right_um=lean_um(lines[0].angle_b_deg, across_um),
        )
        for name, lines in piece_kinds(work).items()
    ]
    return Problem(
        kerf_um=bench.kerf_um,
        front_trim_um=mm_to_um(bench.saw.facing_mm),
        grip_um=mm_to_um(bench.saw.least_grip_mm),
        bars=tuple(_stock(bar, costing) for bar in bars),
        pieces=tuple(sorted(pieces, key=lambda piece: (-piece.length_um, piece.id))),
        depth_um=across_um,
        turns=turns_allowed(work.section, bench.lie) if mitred else frozenset({Turn.AS_IS}),
    )


def _stock(bar: Bar, costing: BarCosting) -> BarStock:
    return BarStock(
        id=bar.id,
        length_um=bar.length_um,
        count=bar.count,
        cost=costing.cost_of[bar.id],
        is_remnant=bar.kind is BarKind.REMNANT,
        heat=bar.heat,
    )


def piece_kinds(work: Work) -> dict[str, list[OrderLine]]:
    """Lines of equal length and ends, due first, under a name a person knows them by: their marks.

    Lines may bear the same mark and yet differ; the later kind is then numbered.
    """
    alike: dict[tuple[int, float, float], list[OrderLine]] = {}
    for line in sorted(work.lines, key=lambda line: (line.due or date.max, line.id)):
        alike.setdefault((line.length_um, line.angle_a_deg, line.angle_b_deg), []).append(line)
    named: dict[str, list[OrderLine]] = {}
    for number, lines in enumerate(alike.values(), start=1):
        name = " + ".join(dict.fromkeys(line.mark for line in lines))
        named[name if name not in named else f"{name} (kind {number})"] = lines
    return named


def read_back(
    result: Result, problem: Problem, work: Work, bars: Sequence[Bar], rules: ShopRules
) -> tuple[PlannedBar, ...]:
    """The nesting answer as planned bars, in the order to cut them.

    Bars that hold the pieces due first come first; equal patterns of one rack entry are put together.
    """
    by_id = {bar.id: bar for bar in bars}
    waiting = _lines_by_kind(work)
    singles = [run for run in result.runs for _ in range(run.times)]
    laid = [
        _planned(by_id[run.bar], run, problem, waiting, rules)
        for run in sorted(singles, key=lambda run: _when(run, by_id, waiting))
    ]
    return _put_together(laid)


def _lines_by_kind(work: Work) -> dict[str, deque[OrderLine]]:
    return {
        name: deque(line for line in lines for _ in range(line.quantity))
        for name, lines in piece_kinds(work).items()
    }


def _when(
    run: Run, by_id: Mapping[str, Bar], waiting: Mapping[str, deque[OrderLine]]
) -> tuple[date, int, str, tuple[str, ...]]:
    kinds = tuple(placed.piece for placed in run.placed)
    first_due = min((waiting[kind][0].due or date.max for kind in kinds), default=date.max)
    rank = (BarKind.REMNANT, BarKind.BAR, BarKind.TO_BUY).index(by_id[run.bar].kind)
    return first_due, rank, run.bar, kinds


def _planned(
    bar: Bar, run: Run, problem: Problem, waiting: Mapping[str, deque[OrderLine]], rules: ShopRules
) -> PlannedBar:
    square = not any(problem.piece_by_id[placed.piece].is_mitred for placed in run.placed)
    # Square pieces may lie in any order: the longest first. Mitred ones share cuts as they were laid.
    order = sorted(run.placed, key=lambda placed: _longest_first(placed, problem)) if square else run.placed
    pieces = tuple(_pieces(order, run.ends_in_vise, problem, waiting))
    facing_um = problem.front_trim_um
    facing_kerf_um = problem.facing_um - facing_um
    remnant_um = bar.length_um - facing_um - facing_kerf_um - sum(piece.taken_um for piece in pieces)
    return PlannedBar(
        bar_id=bar.id,
        kind=bar.kind,
        length_um=bar.length_um,
        times=1,
        heat=bar.heat,
        place=bar.place,
        facing_um=facing_um,
        facing_kerf_um=facing_kerf_um,
        pieces=pieces,
        remnant_um=remnant_um,
        keep=remnant_um >= rules.least_remnant_um,
    )


def _longest_first(placed: Placed, problem: Problem) -> tuple[int, str]:
    return -problem.piece_by_id[placed.piece].length_um, placed.piece


def _pieces(
    order: Sequence[Placed], ends_in_vise: bool, problem: Problem, waiting: Mapping[str, deque[OrderLine]]
) -> Iterator[PlannedPiece]:
    """The pieces of one bar with the kerfs and laps that walking along it gives.

    The facing cut takes one square kerf; what a first mitred end needs beyond it is charged to its piece.
    """
    end_um = problem.facing_um
    for count, placed in enumerate(order, start=1):
        line = waiting[placed.piece].popleft()
        kind = problem.piece_by_id[placed.piece]
        walked = walk(problem, order[:count])
        far_cut = not (ends_in_vise and count == len(order))
        far_um = kerf_along(problem.kerf_um, walked.lean_um, problem.depth_um) if far_cut else 0
        next_end_um = walked.bottom_um + max(0, walked.lean_um) + far_um
        near_um = _near_kerf_um(order[:count], placed, kind, problem)
        length_um = kind.length_um + placed.over_um
        yield PlannedPiece(
            line_id=line.id,
            mark=line.mark,
            length_um=length_um,
            kerf_um=near_um + far_um,
            angle_a_deg=line.angle_a_deg,
            angle_b_deg=line.angle_b_deg,
            turn=placed.turn,
            lap_um=length_um + near_um + far_um - (next_end_um - end_um),
            near_cut=count > 1 and near_um > 0,
            far_cut=far_cut,
        )
        end_um = next_end_um


def _near_kerf_um(before: Sequence[Placed], placed: Placed, kind: Piece, problem: Problem) -> int:
    """Kerf of a cut at the piece's near end that is its own: none where the face before it is shared."""
    left_um, _ = lean_of(kind.left_um, kind.right_um, placed.turn)
    own_um = kerf_along(problem.kerf_um, left_um, problem.depth_um)
    if len(before) == 1:
        # The facing cut is this piece's near cut; a slanting one takes more than the square kerf booked.
        return own_um - (problem.kerf_um if problem.front_trim_um else 0) if left_um else 0
    shared = walk(problem, before[:-1]).lean_um == left_um
    return 0 if shared else own_um


def _put_together(bars: Sequence[PlannedBar]) -> tuple[PlannedBar, ...]:
    together: list[PlannedBar] = []
    for bar in bars:
        if together and _same(together[-1], bar):
            last = together.pop()
            bar = replace(last, times=last.times + 1)
        together.append(bar)
    return tuple(together)


def _same(one: PlannedBar, other: PlannedBar) -> bool:
    return (one.bar_id, one.pieces, one.length_um) == (other.bar_id, other.pieces, other.length_um)
