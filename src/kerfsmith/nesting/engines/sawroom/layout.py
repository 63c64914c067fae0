"""Where the last piece of a bar ends, for pieces in their best order and turns.

A piece takes its length from point to point less what its slanting ends share with their neighbours, and that
depends on the ends alone. So the sum of lengths is one thing, and the rest, here called the offset, another:
it is found once for each number of pieces of each shape."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from kerfsmith.nesting.ends import Turn, bottom_length, kerf_along, lean_of
from kerfsmith.nesting.problem import BarStock, Piece, Placed, Problem
from kerfsmith.nesting.recount import cut_leans, walk

Counts = tuple[int, ...]
End = tuple[int, ...]
"""Offset of a layout [um], its cuts, and of these those at each slant that has a time of its own."""


@dataclass(frozen=True, slots=True)
class Shape:
    """How the two ends of a piece lean [um], and whether it is long enough to be held in the vise."""

    left_um: int
    right_um: int
    holds: bool


@dataclass(frozen=True, slots=True)
class Lying:
    """A shape as it lies in one of its turns: its leans, and its bottom edge less its length [um]."""

    shape: int
    turn: Turn
    left_um: int
    right_um: int
    bottom_um: int


Step = tuple[Lying, End] | None
"""The piece laid next and the end of the layout behind it; None where the layout is over."""


class Layouts:
    """The ends layouts can have, by how many pieces of each shape are laid."""

    def __init__(self, problem: Problem) -> None:
        """Collects the shapes of the problem's pieces."""
        self._problem = problem
        self.timed = problem.timed_leans
        self.shapes = sorted(
            {_shape(problem, piece) for piece in problem.pieces},
            key=lambda shape: (shape.left_um, shape.right_um, shape.holds),
        )
        self._closed: dict[tuple[Counts, int], dict[End, Step]] = {}
        self._in_vise: dict[tuple[Counts, int], dict[End, Step]] = {}

    def shape_of(self, piece: Piece) -> int:
        """The number of a piece's shape."""
        return self.shapes.index(_shape(self._problem, piece))

    @cached_property
    def _ways(self) -> list[list[Lying]]:
        ways = []
        for number, shape in enumerate(self.shapes):
            seen: dict[tuple[int, int], Lying] = {}
            for turn in Turn:
                if turn in self._problem.turns:
                    left, right = lean_of(shape.left_um, shape.right_um, turn)
                    lying = Lying(number, turn, left, right, bottom_length(0, left, right))
                    seen.setdefault((left, right), lying)
            ways.append(list(seen.values()))
        return ways

    def ends(self, bar: BarStock, counts: Counts, in_vise: bool) -> dict[End, Step]:
        """All ends worth having when these shapes are laid on an unbegun bar, or behind what has been begun.

        Closed layouts that end further along with no fewer cuts are left out. Layouts that end in the vise
        must fill the bar exactly, so all their offsets are kept, each with its least cuts."""
        if self._all_square:
            return self._square_ends(bar, counts, in_vise)
        if bar.begun:
            begun = walk(self._problem, bar.begun)
            tails = self._tails(counts, begun.lean_um, in_vise, _last_holds(self._problem, bar))
            before = self._begun_end(bar)
            return {_sum(before, tail): step for tail, step in tails.items()}
        found: dict[End, Step] = {}
        for lying, rest in self._next(counts):
            front = self._front(lying)
            for tail in self._tails(rest, lying.right_um, in_vise, self.shapes[lying.shape].holds):
                found.setdefault(_sum(front, tail), (lying, tail))
        return _all_offsets(found) if in_vise else _undominated(found)

    def order(self, bar: BarStock, counts: Counts, in_vise: bool, end: End) -> list[Lying]:
        """The shapes in the order and turns that lead to ``end``, one of those `ends` gives."""
        if self._all_square:
            return self._square_order(counts)
        laid: list[Lying] = []
        if bar.begun:
            begun = walk(self._problem, bar.begun)
            lean, holds = begun.lean_um, _last_holds(self._problem, bar)
            tail = _sum(end, self._begun_end(bar), -1)
        else:
            step = self.ends(bar, counts, in_vise)[end]
            assert step is not None
            first, tail = step
            laid.append(first)
            counts = _less(counts, first.shape)
            lean, holds = first.right_um, self.shapes[first.shape].holds
        while (step := self._tails(counts, lean, in_vise, holds)[tail]) is not None:
            lying, tail = step
            laid.append(lying)
            counts = _less(counts, lying.shape)
            lean, holds = lying.right_um, self.shapes[lying.shape].holds
        return laid

    def _begun_end(self, bar: BarStock) -> End:
        """Where the pieces already cut end, and the cuts they took."""
        begun = walk(self._problem, bar.begun)
        leans = cut_leans(self._problem, bar.begun, ends_in_vise=True)
        return begun.bottom_um, begun.cuts, *(leans[lean] for lean in self.timed)

    def _end(self, at: int, *leans: int) -> End:
        """An end at this offset, with cuts that slant so."""
        return at, len(leans), *(sum(abs(lean) == timed for lean in leans) for timed in self.timed)

    @cached_property
    def _all_square(self) -> bool:
        return all(shape.left_um == shape.right_um == 0 for shape in self.shapes)

    def _square_ends(self, bar: BarStock, counts: Counts, in_vise: bool) -> dict[End, Step]:
        """Every piece takes one kerf, the last in the vise none: the order matters only for which is last."""
        pieces, kerf = sum(counts), self._problem.kerf_um
        if bar.begun:
            begun = walk(self._problem, bar.begun)
            at, cuts, holds = begun.bottom_um + kerf, begun.cuts + 1, _last_holds(self._problem, bar)
        else:
            at, cuts, holds = self._problem.facing_um, int(self._problem.front_trim_um > 0), False
        at, cuts = at + pieces * kerf, cuts + pieces
        square = (0,) * len(self.timed)
        if not in_vise:
            return {(at, cuts, *square): None}
        if pieces:
            holds = any(count and shape.holds for count, shape in zip(counts, self.shapes, strict=True))
        return {(at - kerf, cuts - 1, *square): None} if holds or not self._problem.grip_um else {}

    def _square_order(self, counts: Counts) -> list[Lying]:
        """The shapes that can be held in the vise last."""
        order = sorted(range(len(counts)), key=lambda shape: (self.shapes[shape].holds, shape))
        return [Lying(shape, Turn.AS_IS, 0, 0, 0) for shape in order for _ in range(counts[shape])]

    def _front(self, lying: Lying) -> End:
        trim = self._problem.front_trim_um
        if not trim and not lying.left_um:
            return self._end(lying.bottom_um)
        at = trim + self._kerf(lying.left_um) + max(0, -lying.left_um) + lying.bottom_um
        return self._end(at, lying.left_um)

    def _kerf(self, lean_um: int) -> int:
        return kerf_along(self._problem.kerf_um, lean_um, self._problem.depth_um)

    def _next(self, counts: Counts) -> Iterator[tuple[Lying, Counts]]:
        for shape, count in enumerate(counts):
            if count:
                rest = _less(counts, shape)
                for lying in self._ways[shape]:
                    yield lying, rest

    def _tails(self, counts: Counts, lean_um: int, in_vise: bool, holds: bool) -> dict[End, Step]:
        """Ends of what still is to be laid behind a face, counted from that face's bottom edge."""
        if not any(counts):
            if in_vise:
                may_end = lean_um == 0 and (holds or not self._problem.grip_um)
                return {self._end(0): None} if may_end else {}
            return {self._end(max(0, lean_um) + self._kerf(lean_um), lean_um): None}
        memory = self._in_vise if in_vise else self._closed
        known = memory.get((counts, lean_um))
        if known is not None:
            return known
        found: dict[End, Step] = {}
        for lying, rest in self._next(counts):
            if lying.left_um == lean_um:
                here = self._end(self._kerf(lean_um) + lying.bottom_um, lean_um)
            else:
                at = self._kerf(lean_um) + self._kerf(lying.left_um) + max(0, lean_um - lying.left_um)
                here = self._end(at + lying.bottom_um, lean_um, lying.left_um)
            for tail in self._tails(rest, lying.right_um, in_vise, self.shapes[lying.shape].holds):
                found.setdefault(_sum(here, tail), (lying, tail))
        kept = _all_offsets(found) if in_vise else _undominated(found)
        memory[counts, lean_um] = kept
        return kept


def _shape(problem: Problem, piece: Piece) -> Shape:
    matters = problem.grip_um > 0 and any(bar.end_is_good for bar in problem.bars)
    return Shape(piece.left_um, piece.right_um, not matters or piece.length_um >= problem.grip_um)


def _last_holds(problem: Problem, bar: BarStock) -> bool:
    return problem.piece_by_id[bar.begun[-1].piece].length_um >= problem.grip_um


def _less(counts: Counts, shape: int) -> Counts:
    return (*counts[:shape], counts[shape] - 1, *counts[shape + 1 :])


def _sum(one: End, other: End, sign: int = 1) -> End:
    return tuple(a + sign * b for a, b in zip(one, other, strict=True))


def no_more_cuts(one: End, other: End) -> bool:
    """Whether one layout takes no more cuts than another: of none of the slants, nor of all the rest."""
    rest = one[1] - sum(one[2:]) <= other[1] - sum(other[2:])
    return rest and all(a <= b for a, b in zip(one[1:], other[1:], strict=True))


def _undominated(found: dict[End, Step]) -> dict[End, Step]:
    kept: dict[End, Step] = {}
    for end in sorted(found):
        if not any(no_more_cuts(other, end) for other in kept):
            kept[end] = found[end]
    return kept


def _all_offsets(found: dict[End, Step]) -> dict[End, Step]:
    kept: dict[int, list[End]] = {}
    for end in sorted(found):
        alike = kept.setdefault(end[0], [])
        if not any(no_more_cuts(other, end) for other in alike):
            alike.append(end)
    return {end: found[end] for alike in kept.values() for end in alike}


def place(bar: BarStock, order: list[Lying], pieces: dict[int, list[Piece]]) -> tuple[Placed, ...]:
    """The bar's pieces in the given order of shapes; ``pieces`` holds those of each shape and is used up."""
    return bar.begun + tuple(Placed(pieces[lying.shape].pop(0).id, lying.turn) for lying in order)
