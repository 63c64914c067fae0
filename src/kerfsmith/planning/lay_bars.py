"""Bars of one group: work and rack put as a nesting problem, and its answer read back as planned bars."""

import math
from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.result import Result
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


def kerf_along_bar_um(kerf_um: int, angle_deg: float) -> int:
    """Kerf measured along the bar of a cut at ``angle_deg`` from square: kerf / cos(angle), rounded up.

    Source: derived (the band's thickness of cut, seen along the bar).
    """
    return math.ceil(kerf_um / math.cos(math.radians(angle_deg)) - 1e-6)


def piece_kerf_um(line: OrderLine, kerf_um: int) -> int:
    """Kerf charged to one piece of ``line``.

    A square piece takes one cut. A piece with a mitred end takes two, its own far end and the near end of
    whatever follows: sound for every neighbour, since the long points bound both (derived).
    """
    if not line.is_mitred:
        return kerf_um
    return kerf_along_bar_um(kerf_um, line.angle_a_deg) + kerf_along_bar_um(kerf_um, line.angle_b_deg)


def pose(work: Work, bars: Sequence[Bar], saw: SawSheet, kerf_um: int, costing: BarCosting) -> Problem:
    """The group as a nesting problem: a kind of piece for each length and ends, of bar for each entry."""
    pieces = [
        Piece(
            id=name,
            length_um=lines[0].length_um + piece_kerf_um(lines[0], kerf_um) - kerf_um,
            count=sum(line.quantity for line in lines),
        )
        for name, lines in piece_kinds(work).items()
    ]
    return Problem(
        kerf_um=kerf_um,
        front_trim_um=mm_to_um(saw.facing_mm),
        grip_um=mm_to_um(saw.least_grip_mm),
        bars=tuple(
            BarStock(
                id=bar.id,
                length_um=bar.length_um,
                count=bar.count,
                cost=costing.cost_of[bar.id],
                is_remnant=bar.kind is BarKind.REMNANT,
                heat=bar.heat,
            )
            for bar in bars
        ),
        pieces=tuple(sorted(pieces, key=lambda piece: (-piece.length_um, piece.id))),
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
    result: Result, work: Work, bars: Sequence[Bar], saw: SawSheet, kerf_um: int, rules: ShopRules
) -> tuple[PlannedBar, ...]:
    """The nesting answer as planned bars, in the order to cut them.

    Bars that hold the pieces due first come first; equal patterns of one rack entry are put together.
    """
    by_id = {bar.id: bar for bar in bars}
    waiting = _lines_by_kind(work)
    laid: list[PlannedBar] = []
    for bar_id, kinds in sorted(_single_bars(result), key=lambda one: _when(one, by_id, waiting)):
        lines = [waiting[kind].popleft() for kind in kinds]
        laid.append(_planned(by_id[bar_id], lines, saw, kerf_um, rules))
    return _put_together(laid)


def _single_bars(result: Result) -> Iterable[tuple[str, tuple[str, ...]]]:
    for run in result.runs:
        kinds = tuple(placed.piece for placed in run.placed)
        for _ in range(run.times):
            yield run.bar, kinds


def _lines_by_kind(work: Work) -> dict[str, deque[OrderLine]]:
    return {
        name: deque(line for line in lines for _ in range(line.quantity))
        for name, lines in piece_kinds(work).items()
    }


def _when(
    one: tuple[str, tuple[str, ...]], by_id: Mapping[str, Bar], waiting: Mapping[str, deque[OrderLine]]
) -> tuple[date, int, str, tuple[str, ...]]:
    bar_id, kinds = one
    first_due = min((waiting[kind][0].due or date.max for kind in kinds), default=date.max)
    rank = (BarKind.REMNANT, BarKind.BAR, BarKind.TO_BUY).index(by_id[bar_id].kind)
    return first_due, rank, bar_id, kinds


def _planned(
    bar: Bar, lines: Sequence[OrderLine], saw: SawSheet, kerf_um: int, rules: ShopRules
) -> PlannedBar:
    facing_um = mm_to_um(saw.facing_mm)
    pieces = [
        PlannedPiece(
            line_id=line.id,
            mark=line.mark,
            length_um=line.length_um,
            kerf_um=piece_kerf_um(line, kerf_um),
            angle_a_deg=line.angle_a_deg,
            angle_b_deg=line.angle_b_deg,
        )
        for line in sorted(lines, key=lambda line: (line.is_mitred, -line.length_um, line.id))
    ]
    facing_kerf_um = kerf_um if facing_um else 0
    used_um = facing_um + facing_kerf_um + sum(piece.length_um + piece.kerf_um for piece in pieces)
    if used_um == bar.length_um + kerf_um and not saw.least_grip_mm:
        # The last piece is what is left of the bar: its end is the bar's own and needs no closing cut.
        pieces[-1] = replace(pieces[-1], kerf_um=pieces[-1].kerf_um - kerf_um)
        used_um -= kerf_um
    remnant_um = bar.length_um - used_um
    return PlannedBar(
        bar_id=bar.id,
        kind=bar.kind,
        length_um=bar.length_um,
        times=1,
        heat=bar.heat,
        place=bar.place,
        facing_um=facing_um,
        facing_kerf_um=facing_kerf_um,
        pieces=tuple(pieces),
        remnant_um=remnant_um,
        keep=remnant_um >= rules.least_remnant_um,
    )


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
