"""Problems that ask for nothing but lengths, as the pure cutting-stock problem they are."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import gcd

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.problem import BarStock, Problem

REACH_LIMIT = 10_000_000
"""Longest bar, in units of the lengths' common divisor, for which all reachable sums are listed."""


@dataclass(frozen=True, slots=True)
class PureKind:
    """A kind of bar. A pattern's load is at most ``capacity``, or exactly ``exact`` (the last closing cut
    is saved).

    ``supply`` is None where there are as many as wanted.
    """

    capacity: int
    exact: int | None
    supply: int | None
    cost: int

    def takes(self, load: int) -> bool:
        """Whether a pattern with this load can be cut from it."""
        return load <= self.capacity or load == self.exact


@dataclass(frozen=True, slots=True)
class PureForm:
    """The pure problem: each piece's size is its length and one kerf. Positions are those of
    ``bars``/``pieces``.

    ``bar_ids`` and ``piece_ids`` say which those are; pieces wanted no times and bars of which there are
    none or which hold nothing are left out.
    """

    kinds: tuple[PureKind, ...]
    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    bar_ids: tuple[str, ...]
    piece_ids: tuple[str, ...]

    def load(self, counts: Mapping[int, int]) -> int:
        """Sum of sizes of a pattern."""
        return sum(self.sizes[item] * count for item, count in counts.items())


def is_pure(problem: Problem) -> bool:
    """Whether only lengths, numbers and prices matter: every rule of the saw room is absent or asks for
    nothing.
    """
    pieces, bars = problem.pieces, problem.bars
    plain_pieces = not any(
        piece.is_mitred or piece.over_um or piece.due_ms is not None or piece.heats is not None
        for piece in pieces
    )
    sources = {material for piece in pieces for material in piece.materials}
    one_source = {bar.material for bar in bars} <= sources and all(
        set(piece.materials) == sources for piece in pieces
    )
    good_ends = problem.grip_um > 0 and any(bar.end_is_good for bar in bars)
    decided = problem.promises or problem.most_changes is not None or any(bar.begun for bar in bars)
    return (
        plain_pieces
        and one_source
        and not good_ends
        and not decided
        and not problem.one_heat_orders
        and problem.aims == (Aim.COST,)
    )


def reduce(problem: Problem) -> PureForm:
    """The pure form of a problem for which :func:`is_pure` holds."""
    bars = [bar for bar in problem.bars if bar.count != 0 and _room(problem, bar) > 0]
    pieces = [piece for piece in problem.pieces if piece.count]
    sizes = tuple(piece.length_um + problem.kerf_um for piece in pieces)
    kinds = []
    for bar in bars:
        usable = problem.usable_um(bar)
        saved = problem.grip_um == 0 and problem.kerf_um > 0
        exact = usable + problem.kerf_um if saved else None
        kinds.append(PureKind(max(0, usable), exact, bar.count, bar.cost))
    return PureForm(
        tuple(kinds),
        sizes,
        tuple(piece.count for piece in pieces),
        tuple(bar.id for bar in bars),
        tuple(piece.id for piece in pieces),
    )


def _room(problem: Problem, bar: BarStock) -> int:
    saved = problem.kerf_um if problem.grip_um == 0 else 0
    return problem.usable_um(bar) + saved


def reachable_ends(form: PureForm) -> tuple[PureKind, ...] | None:
    """The kinds with ``exact`` dropped where no set of pieces gives it; None where there are too many sums
    to list.

    A kind keeps its ``exact`` and gains it as its capacity where no load lies between the two: then the plain
    limit says the same.
    """
    unit = gcd(*form.sizes, *(kind.exact for kind in form.kinds if kind.exact is not None))
    longest = max((kind.exact or 0 for kind in form.kinds), default=0) // unit
    if longest > REACH_LIMIT:
        return None
    reach = reachable_sums(zip((size // unit for size in form.sizes), form.demands, strict=True), longest)
    return tuple(_simplest(kind, reach, unit) for kind in form.kinds)


def _simplest(kind: PureKind, reach: int, unit: int) -> PureKind:
    if kind.exact is None:
        return kind
    exact = kind.exact // unit
    if not reach >> exact & 1:
        return PureKind(kind.capacity, None, kind.supply, kind.cost)
    first = kind.capacity // unit + 1
    between = reach >> first & ((1 << max(0, exact - first)) - 1)
    if between:
        return kind
    return PureKind(kind.exact, None, kind.supply, kind.cost)


def reachable_sums(sizes: Iterable[tuple[int, int]], longest: int) -> int:
    """Bit n is set where pieces (size, number) can make up a load of n, up to ``longest``."""
    mask = (1 << (longest + 1)) - 1
    reach = 1
    for size, number in sizes:
        left = min(number, longest // size)
        step = 1
        while left > 0:
            taken = min(step, left)
            reach |= reach << (size * taken) & mask
            left -= taken
            step *= 2
    return reach
