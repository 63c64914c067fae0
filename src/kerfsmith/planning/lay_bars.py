"""A nesting answer read back as planned bars, in the order to cut them."""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from kerfsmith.nesting.ends import kerf_along, lean_of
from kerfsmith.nesting.problem import Piece, Placed, Problem
from kerfsmith.nesting.recount import walk
from kerfsmith.nesting.result import Result, Run
from kerfsmith.planning.lengths import over_um
from kerfsmith.planning.plan import ForLine, PlannedBar, PlannedPiece
from kerfsmith.planning.share_loads import Kinds, Load, LoadRules, in_step, shared
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind

ONE_BY_ONE = LoadRules()
"""Loads stay as the nesting answer has them."""


def read_back(
    result: Result, problem: Problem, kinds: Kinds, bars: Sequence[Bar], rules: LoadRules = ONE_BY_ONE
) -> tuple[PlannedBar, ...]:
    """The nesting answer as planned bars, in the order to cut them; ``kinds``: the lines behind each piece.

    Bars that hold the pieces due first come first; equal patterns of one rack entry are put together, and
    where ``rules`` allow it bars alike that are due on several days share loads. Bars are booked with the
    pieces' nominal lengths: what they are dialled over that, the remnant gives.
    """
    nominal = {name: lines[0].length_um for name, lines in kinds.items()}
    problem = replace(
        problem, pieces=tuple(replace(piece, length_um=nominal[piece.id]) for piece in problem.pieces)
    )
    by_id = {bar.id: bar for bar in bars}
    waiting = {
        name: deque(line for line in lines for _ in range(line.quantity)) for name, lines in kinds.items()
    }

    def when(load: Load) -> tuple[date, int, str, tuple[str, ...]]:
        return _when(load.runs[0], by_id, waiting)

    loads = [one for run in result.runs for one in _loads(run)]
    loads = list(shared(loads, kinds, rules, due=lambda load: when(load)[0]))
    loads.sort(key=lambda load: (when(load), not load.keep, -load.bars))
    laying = _Laying(problem, kinds, waiting)
    return _put_together([laying.planned(by_id[load.runs[0].bar], load) for load in loads])


def _loads(run: Run) -> Iterator[Load]:
    """The loads of a run; one whose ends are kept in part is cut bar by bar."""
    kept = run.kept
    for bars in run.loads:
        if 0 < kept < bars:
            yield from (Load((run,), number < kept) for number in range(bars))
            kept = 0
        else:
            yield Load((run,) * bars, kept > 0)
            kept -= min(kept, bars)


def _when(
    run: Run, by_id: Mapping[str, Bar], waiting: Mapping[str, deque[OrderLine]]
) -> tuple[date, int, str, tuple[str, ...]]:
    kinds = tuple(placed.piece for placed in run.placed)
    first_due = min((waiting[kind][0].due or date.max for kind in kinds), default=date.max)
    rank = (BarKind.REMNANT, BarKind.BAR, BarKind.TO_BUY).index(by_id[run.bar].kind)
    return first_due, rank, run.bar, kinds


@dataclass(frozen=True, slots=True)
class _Laying:
    """What loads are read back by; ``waiting``: the pieces of each kind that no bar has yet, due first."""

    problem: Problem
    kinds: Kinds
    waiting: Mapping[str, deque[OrderLine]]

    def planned(self, bar: Bar, load: Load) -> PlannedBar:
        """The bars of a load."""
        pieces = tuple(self._pieces(load))
        facing_um = self.problem.front_trim_um
        facing_kerf_um = self.problem.facing_um - facing_um
        remnant_um = bar.length_um - facing_um - facing_kerf_um - sum(piece.taken_um for piece in pieces)
        return PlannedBar(
            bar_id=bar.id,
            kind=bar.kind,
            length_um=bar.length_um,
            times=load.bars,
            heat=bar.heat,
            place=bar.place,
            facing_um=facing_um,
            facing_kerf_um=facing_kerf_um,
            pieces=pieces,
            remnant_um=remnant_um,
            keep=load.keep,
            at_once=load.bars,
        )

    def _order(self, run: Run) -> list[Placed]:
        """Square pieces may lie in any order: due first, then the longest; but what is the bar's own end
        stays last. Mitred ones share cuts as laid."""
        square = not any(self.problem.piece_by_id[placed.piece].is_mitred for placed in run.placed)
        free = (len(run.placed) - run.ends_in_vise) if square else 0
        return [*sorted(run.placed[:free], key=self._due_first), *run.placed[free:]]

    def _due_first(self, placed: Placed) -> tuple[date, int, str]:
        due = self.waiting[placed.piece][0].due or date.max
        return due, -self.problem.piece_by_id[placed.piece].length_um, placed.piece

    def _pieces(self, load: Load) -> Iterator[PlannedPiece]:
        """The pieces of a load's bars with the kerfs and laps that walking along them gives.

        The facing cut takes one square kerf; what a first mitred end needs beyond it is charged to its piece.
        """
        problem, run = self.problem, load.runs[0]
        order = self._order(run)
        each = [
            order if other is run else in_step(order, self._order(other), self.kinds) for other in load.runs
        ]
        end_um = problem.facing_um
        for count, placed in enumerate(order, start=1):
            line, *others = (self.waiting[laid[count - 1].piece].popleft() for laid in each)
            kind = problem.piece_by_id[placed.piece]
            walked = walk(problem, order[:count])
            far_cut = not (run.ends_in_vise and count == len(order))
            far_um = kerf_along(problem.kerf_um, walked.lean_um, problem.depth_um) if far_cut else 0
            next_end_um = walked.bottom_um + max(0, walked.lean_um) + far_um
            near_um = _near_kerf_um(order[:count], placed, kind, problem)
            length_um = kind.length_um + placed.over_um
            yield PlannedPiece(
                line_id=line.id,
                mark=line.mark,
                length_um=kind.length_um,
                kerf_um=near_um + far_um,
                angle_a_deg=line.angle_a_deg,
                angle_b_deg=line.angle_b_deg,
                turn=placed.turn,
                lap_um=length_um + near_um + far_um - (next_end_um - end_um),
                over_um=over_um(line) + placed.over_um,
                near_cut=count > 1 and near_um > 0,
                far_cut=far_cut,
                others=_others(line, others),
            )
            end_um = next_end_um


def _others(line: OrderLine, others: Sequence[OrderLine]) -> tuple[ForLine, ...]:
    """The lines of a load's other bars; nothing where all serve one."""
    if all(other.id == line.id for other in others):
        return ()
    return tuple(ForLine(other.id, other.mark) for other in others)


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
            bar = replace(last, times=last.times + bar.times)
        together.append(bar)
    return tuple(together)


def _same(one: PlannedBar, other: PlannedBar) -> bool:
    return one.at_once == other.at_once and replace(one, times=other.times) == other
