"""One pattern of the plan as a strip drawn to scale and a table of cuts with boxes to tick."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.geometry.mitre import mitre_factor
from kerfsmith.nesting.ends import Turn
from kerfsmith.paper.codes import Code, CodeKind
from kerfsmith.paper.ticket_page import BarCard, CutRow, Remnant, Segment, Ticks
from kerfsmith.planning.plan import PlannedBar, PlannedPiece
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import UM_PER_MM, Measure, mm_to_um
from kerfsmith.units.show import show_length


@dataclass(frozen=True, slots=True)
class Bench:
    """What all bars of one ticket share.

    ``lines`` are the order lines by id, ``across_um`` is the width of the work in the vise, ``kerf_um`` that
    of a square cut, ``longest_um`` the bar that fills the strip's scale; ``plan`` and ``run`` go into the
    codes.
    """

    saw: SawSheet
    lines: Mapping[str, OrderLine]
    measure: Measure
    across_um: int
    kerf_um: int
    longest_um: int
    plan: str
    run: int

    def text(self, length_um: int) -> str:
        """Length of a bar or remnant, to be read."""
        return show_length(length_um, self.measure)

    def piece(self, length_um: int) -> str:
        """Length of a piece as ordered: a fraction of an inch where it is one, else 0.01 mm or 0.001 in."""
        return show_length(length_um, self.measure, decimals=2)

    def dial(self, length_um: int) -> str:
        """Length as dialled in: decimals (0.01 mm or 0.001 in), since counters show no fractions."""
        return _counter(length_um, self.measure)


def bar_card(bar: PlannedBar, first: int, bench: Bench) -> BarCard:
    """The card of ``bar``, whose equal bars have the numbers ``first`` on in the run."""
    numbers = range(first, first + bar.times)
    heat = f"heat {bar.heat}" if bar.heat else "heat not stated"
    return BarCard(
        title=f"Bar{'s' if bar.times > 1 else ''} {span(numbers)}{_at_once(bar)}",
        source=f"{bar.bar_id} · {bench.text(bar.length_um)} · {heat}",
        facing=_facing(bar, bench),
        strip_share=bar.length_um / bench.longest_um,
        segments=tuple(_segments(bar, bench)),
        rows=tuple(_rows(bar, numbers, bench)),
        remnants=_remnants(bar, numbers, bench),
    )


def _at_once(bar: PlannedBar) -> str:
    if bar.at_once == 1:
        return ""
    return f", {bar.at_once} at once" + (f" in {bar.loads} loads" if bar.loads > 1 else "")


def span(numbers: range) -> str:
    """``3`` or ``3–9``."""
    return f"{numbers[0]}" if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}"


def _facing(bar: PlannedBar, bench: Bench) -> str:
    if not bar.facing_um:
        return "No facing cut."
    near_deg = bar.pieces[0].ends_deg[0] if bar.pieces else 0.0
    at = f", head at {near_deg:+g}°".replace("-", "−") if near_deg else ""
    return f"Face first: take {bench.dial(bar.facing_um)} and one kerf off the front end{at}."


def _segments(bar: PlannedBar, bench: Bench) -> Iterator[Segment]:
    """Facing, pieces and remnant from the front, in shares of the longest bar; kerfs are the gaps between."""
    whole = bench.longest_um
    at_um = bar.facing_um + bar.facing_kerf_um
    if bar.facing_um:
        yield Segment("facing", 0.0, bar.facing_um / whole, "", "", "")
    for piece in bar.pieces:
        yield Segment(
            "piece",
            at_um / whole,
            (piece.taken_um - piece.kerf_um) / whole,
            piece.mark,
            bench.piece(piece.length_um),
            _figure(bench.piece(piece.length_um)),
            *piece.ends_deg,
        )
        at_um += piece.taken_um
    if bar.ends_in_vise:
        return
    grip_um = min(mm_to_um(bench.saw.least_grip_mm), bar.remnant_um)
    if bar.remnant_um > grip_um:
        kind = "remnant" if bar.keep else "scrap"
        free_um = bar.remnant_um - grip_um
        left = bench.text(bar.remnant_um)
        yield Segment(kind, at_um / whole, free_um / whole, kind, left, _figure(left))
    if grip_um:
        yield Segment("grip", (bar.length_um - grip_um) / whole, grip_um / whole, "", "", "")


def _figure(shown: str) -> str:
    """A shown length without its unit."""
    return shown.rpartition(" ")[0]


def _rows(bar: PlannedBar, numbers: range, bench: Bench) -> Iterator[CutRow]:
    """Equal pieces that follow each other share a row."""
    at = 1
    for piece, equal in groupby(bar.pieces):
        count = len(list(equal))
        cuts = range(at, at + count)
        at += count
        line = bench.lines.get(piece.line_id)
        advance, strokes = _advance(piece, bench)
        yield CutRow(
            cuts=span(cuts),
            mark=_marks(piece, bar),
            order=line.order if line else "",
            length=bench.piece(piece.length_um),
            allowed=allowed(line, bench.measure),
            ends=ends_as_it_lies(piece),
            advance=advance,
            strokes=strokes,
            ticks=tuple(
                Ticks(span(range(number, number + bar.at_once)), count) for number in numbers[:: bar.at_once]
            ),
        )


def _marks(piece: PlannedPiece, bar: PlannedBar) -> str:
    """The piece's mark; of bars cut at once how many pieces of a stroke are for which."""
    if bar.at_once == 1:
        return piece.mark
    return ", ".join(f"{count} × {line.mark}" for line, count in bar.of_load(piece).items())


def advance_um(piece: PlannedPiece, across_um: int, kerf_um: int) -> int | None:
    """How far the bar goes forward for one piece, micrometres; None where that hangs on the head's pivot.

    Source: derived. Square ends: the piece as it is dialled and its kerf. Parallel mitres (equal angles, one
    after another): the distance between two parallel cuts along the bar, long point to long point less the
    slant across the work, plus the kerf along the bar. Otherwise the head swings between the cuts, and where
    on the work its pivot stands decides.
    """
    if not is_mitred(piece):
        return piece.taken_um + piece.over_um
    if piece.angle_a_deg != piece.angle_b_deg:
        return None
    factor = mitre_factor(piece.angle_b_deg)
    slant_um = across_um * math.sqrt(factor * factor - 1)
    return round(piece.dial_um - slant_um + kerf_um * factor)


def _advance(piece: PlannedPiece, bench: Bench) -> tuple[str, str]:
    """Shuttle advance of one piece and its strokes as text."""
    if not piece.far_cut and not piece.near_cut:
        return "no cut", "end in vise"
    advance = advance_um(piece, bench.across_um, bench.kerf_um)
    if advance is None:
        return "by pivot", "see note"
    if advance <= 0:
        return "—", "—"
    strokes = bench.saw.strokes(advance / UM_PER_MM)
    each = "" if strokes == 1 else f" × {bench.dial(round(advance / strokes))}"
    return bench.dial(advance), f"{strokes}{each}"


def allowed(line: OrderLine | None, measure: Measure) -> str:
    """The least and greatest length allowed, or that none is stated."""
    if line is None or (line.plus_um is None and line.minus_um is None):
        return "not stated"
    low = None if line.minus_um is None else _counter(line.length_um - line.minus_um, measure)
    high = None if line.plus_um is None else _counter(line.length_um + line.plus_um, measure)
    if low and high:
        return f"{_figure(low)} to {high}"
    return f"at least {low}" if low else f"at most {high}"


def is_mitred(piece: PlannedPiece) -> bool:
    """Whether either end is not square."""
    return piece.angle_a_deg != 0 or piece.angle_b_deg != 0


def ends(piece: PlannedPiece) -> str:
    """The mitres of a piece, the end cut first being the near one; nothing where both ends are square."""
    if not is_mitred(piece):
        return ""
    near, far = (f"{angle:+g}°".replace("-", "−") for angle in (piece.angle_a_deg, piece.angle_b_deg))
    return f"ends {near} / {far}"


def ends_as_it_lies(piece: PlannedPiece) -> str:
    """The head angles of a mitred piece in the order of cutting, and how it is turned against its drawing."""
    if not is_mitred(piece):
        return ""
    near, far = (f"{angle:+g}°".replace("-", "−") for angle in piece.ends_deg)
    turned = "" if piece.turn is Turn.AS_IS else f", {piece.turn}"
    own_near = "" if not piece.near_cut else " (near end cut too)"
    return f"ends {near} / {far}{turned}{own_near}"


def _remnants(bar: PlannedBar, numbers: range, bench: Bench) -> tuple[Remnant, ...]:
    if bar.remnant_um <= 0 or bar.ends_in_vise:
        return ()
    mitred = any(map(is_mitred, bar.pieces))
    return tuple(
        Remnant(
            bar=str(number),
            length=("at least " if mitred else "") + bench.text(bar.remnant_um),
            keep=bar.keep,
            place=bar.place,
            heat=bar.heat,
            code=Code(CodeKind.REMNANT, bench.plan, bench.run, number).text if bar.keep else "",
        )
        for number in numbers
    )


def _counter(length_um: int, measure: Measure) -> str:
    return show_length(length_um, measure, denominator=1, decimals=2)
