"""Labels that go on cut pieces and on what returns to the rack."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kerfsmith.paper.bar_card import ends, is_mitred
from kerfsmith.paper.codes import Code, CodeKind
from kerfsmith.paper.ticket import numbered_bars, run_number
from kerfsmith.planning.plan import Plan, PlanGroup, PlannedBar
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Measure
from kerfsmith.units.show import show_length

_LONGEST = 48
"""A longer text would push the next line off the smallest label; the code names the piece all the same."""


@dataclass(frozen=True, slots=True)
class Label:
    """One label: ``head`` is read first (a piece's mark), ``code`` is what the scanner reads.

    ``kind`` is piece or remnant; ``count`` tells which of how many of the mark it is; ``ends`` the mitres.
    """

    kind: str
    head: str
    length: str
    grade: str
    section: str
    heat: str
    order: str
    bar: str
    place: str
    count: str
    ends: str
    code: str


def piece_labels(
    plan: Plan, group: PlanGroup, *, measure: Measure, lines: Iterable[OrderLine] = ()
) -> tuple[Label, ...]:
    """A label for each piece planned, in the order of cutting. Raises InvalidValue for a group not in the
    plan."""
    run = run_number(plan, group)
    by_id = {line.id: line for line in lines}
    wanted = Counter[str]()
    for planned in group.bars:
        for piece, count in planned.each_piece():
            wanted[piece.line_id] += count
    done: Counter[str] = Counter()
    labels = []
    for number, at, bar in _single_bars(group):
        for place, piece in enumerate(bar.laid(at), start=1):
            done[piece.line_id] += 1
            line = by_id.get(piece.line_id)
            labels.append(
                Label(
                    kind="piece",
                    head=_short(piece.mark),
                    length=show_length(piece.length_um, measure, decimals=2),
                    grade=group.grade,
                    section=_short(group.section.name),
                    heat=_short(bar.heat),
                    order=_short(_for(line, group)) if line else "",
                    bar=f"{_short(bar.bar_id)} · run {run} bar {number}",
                    place="",
                    count=f"{done[piece.line_id]} of {wanted[piece.line_id]}",
                    ends=ends(piece),
                    code=Code(CodeKind.PIECE, plan.id, run, number, place).text,
                )
            )
    return tuple(labels)


def remnant_labels(plan: Plan, group: PlanGroup, *, measure: Measure) -> tuple[Label, ...]:
    """A label for each remnant that goes back to the rack. Raises InvalidValue for a group not in the
    plan."""
    run = run_number(plan, group)
    return tuple(
        Label(
            kind="remnant",
            head="Remnant",
            length=show_length(bar.remnant_um, measure),
            grade=group.grade,
            section=_short(group.section.name),
            heat=_short(bar.heat),
            order="",
            bar=f"{_short(bar.bar_id)} · run {run} bar {number}",
            place=_short(bar.place),
            count="or more" if any(map(is_mitred, bar.pieces)) else "",
            ends="",
            code=Code(CodeKind.REMNANT, plan.id, run, number).text,
        )
        for number, _, bar in _single_bars(group)
        if bar.keep and bar.remnant_um > 0
    )


def _single_bars(group: PlanGroup) -> Iterator[tuple[int, int, PlannedBar]]:
    """Each bar's number in the run and its place in its load, from 0."""
    for first, bar in numbered_bars(group):
        for place in range(bar.times):
            yield first + place, place % bar.at_once, bar


def _for(line: OrderLine, group: PlanGroup) -> str:
    """The order, and what it asked for where the piece is cut from a substitute."""
    ordered = group.ordered_for(line.id)
    told = f"ordered {ordered.unlike(group.material)}" if ordered else ""
    return " · ".join(filter(None, (line.order, told)))


def _short(text: str) -> str:
    """``text``, its middle left out where it is too long for a label."""
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 16]}…{text[-15:]}"
