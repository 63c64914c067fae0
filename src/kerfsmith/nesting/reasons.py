"""Why there can be no plan: pieces that fit no bar, and bars too few."""

from collections.abc import Mapping

from kerfsmith.nesting.ends import Turn, kerf_along, lean_of
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Reason, Want
from kerfsmith.units.told import Told, quantity, sentence


def pieces_without_bar(problem: Problem) -> tuple[Reason, ...]:
    """A reason for each piece that no single bar could give, however empty."""
    found = []
    for piece in problem.pieces:
        if piece.count == 0 or any(placed.piece == piece.id for bar in problem.bars for placed in bar.begun):
            continue
        bars = [bar for bar in problem.bars if bar.count != 0 and problem.may_come_from(piece, bar)]
        if not bars:
            says = sentence("no bar will do for {piece}: none of its material and heat", piece=piece.id)
            found.append(Reason(Want.NO_BAR, piece.id, piece.count, piece.length_um, says))
            continue
        lacks = min(_lacks(problem, piece, bar) for bar in bars)
        if lacks > 0:
            says = sentence(
                "{piece} is too long for the best bar by {lacks}", piece=piece.id, lacks=_millimetres(lacks)
            )
            found.append(Reason(Want.TOO_LONG, piece.id, piece.count, lacks, says))
    return tuple(found)


def _lacks(problem: Problem, piece: Piece, bar: BarStock) -> int:
    """By how much the bar is too short for this piece however it lies [um]; zero or below when it may fit."""
    return min(_lacks_turned(problem, piece, bar, turn) for turn in problem.turns)


def _lacks_turned(problem: Problem, piece: Piece, bar: BarStock, turn: Turn) -> int:
    left, right = lean_of(piece.left_um, piece.right_um, turn)
    front = 0
    if problem.front_trim_um or left:
        # Before a face that leans back the wedge belongs to the length from point to point already.
        front = problem.front_trim_um + kerf_along(problem.kerf_um, left, problem.depth_um)
    need = front + piece.length_um + kerf_along(problem.kerf_um, right, problem.depth_um) + problem.grip_um
    if right == 0 and problem.may_end_in_vise(piece, bar):
        spare = bar.length_um - front - piece.length_um
        shortest = min(other.length_um for other in problem.pieces if other.count) + problem.kerf_um
        if spare <= piece.over_um or spare >= shortest:
            # It may be the bar's own end, alone or behind others.
            return min(need - bar.length_um, max(0, -spare))
    return need - bar.length_um


def short_of_bars(problem: Problem, uncut: Mapping[str, int], proven: bool) -> tuple[Reason, ...]:
    """A reason for each piece that found no place; ``proven``: no plan leaves a shorter length uncut."""
    total = sum(problem.piece_by_id[name].length_um * count for name, count in uncut.items())
    most = Told("at least") if proven else Told("in the best plan found")
    whole = sentence(
        "short of bars: {most} {total} of pieces find no place", most=most, total=_millimetres(total)
    )
    return tuple(
        Reason(
            Want.SHORT_OF_BARS,
            name,
            count,
            problem.piece_by_id[name].length_um * count,
            sentence("{whole}; here {count} of {name}", whole=whole, count=count, name=name),
        )
        for name, count in uncut.items()
    )


def _millimetres(length_um: int) -> str:
    return quantity(length_um / 1000, "mm")
