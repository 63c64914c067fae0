"""Paper of the panel: the remnant's label, and which cut a piece's printed label speaks of."""

from datetime import datetime

from kerfsmith.errors import UnreadableText
from kerfsmith.paper.codes import CodeKind, read_code
from kerfsmith.paper.labels import Label
from kerfsmith.paper.ticket import numbered_bars
from kerfsmith.paper.typeset import labels_pdf
from kerfsmith.planning.plan import Plan
from kerfsmith.shop.cut_log import Outcome, pieces_standing, rejected_ids
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.units.length import Measure
from kerfsmith.units.show import show_length
from kerfsmith.wiring.printing import LABEL_STOCK
from kerfsmith.workflow.floor_ports import BarAtSaw, FloorReading
from kerfsmith.workflow.ports import Records


def remnant_label_pdf(
    records: Records, bar_id: str, label: str, *, measure: Measure, paper: str, at: datetime
) -> bytes | None:
    """One label for what is left of a loaded bar; its code is the label itself, which loading asks for."""
    with records.look() as look:
        at_saw = look.floor.bar(bar_id)
        run = look.floor.run(at_saw.bar.run_id) if at_saw is not None else None
    if at_saw is None or run is None:
        return None
    bar = at_saw.bar
    remnant = Label(
        kind="remnant",
        head=label,
        length=show_length(bar.left_um, measure),
        grade=run.grade,
        section=run.section.name,
        heat=bar.heat,
        order="",
        bar=f"of {bar.label}",
        place="",
        count="",
        ends="",
        code=label,
    )
    stock = LABEL_STOCK.get(paper, LABEL_STOCK["a4"])
    return labels_pdf([remnant], stock=stock, title=f"Remnant {label}", date=at.date())


def piece_of_label(records: Records, code: str) -> str | None:
    """The cut of the piece whose printed label reads ``code``.

    The label names a bar of the plan and a place on it. Bars of one pattern are numbered as they were loaded,
    and pieces of one line are taken as labelled in the order they were cut. None where that piece wasn't cut,
    and for a text that is no code of a piece.
    """
    try:
        read = read_code(code)
    except UnreadableText:
        return None
    plan = records.latest_plan()
    if read.kind is not CodeKind.PIECE or plan is None or plan.id != read.plan:
        return None
    with records.look() as look:
        at_saw = _bar_numbered(look.floor, plan, read.run, read.bar)
        if at_saw is None or not 1 <= read.piece <= len(at_saw.pattern):
            return None
        wanted = at_saw.pattern[read.piece - 1].line_id
        before = sum(piece.line_id == wanted for piece in at_saw.pattern[: read.piece - 1])
        entries = look.floor.entries(at_saw.bar.id)
    rejected = rejected_ids(entries)
    good = [
        entry.id
        for entry in pieces_standing(entries)
        if entry.line_id == wanted and entry.outcome is not Outcome.SCRAPPED and entry.id not in rejected
    ]
    return good[before] if before < len(good) else None


def _bar_numbered(floor: FloorReading, plan: Plan, run_number: int, bar_number: int) -> BarAtSaw | None:
    """The loaded bar that was number ``bar_number`` of a group's run as it was planned."""
    if not 1 <= run_number <= len(plan.groups):
        return None
    group = plan.groups[run_number - 1]
    run = floor.run_of_group(plan.id, group.id)
    if run is None:
        return None
    for position, (first, planned) in enumerate(numbered_bars(group)):
        if first <= bar_number < first + planned.times:
            wanted = (0, position, bar_number - first + 1)
            loaded = (one for one in floor.bars(run.id) if one.bar.state is not BarState.RETURNED)
            return next(
                (one for one in loaded if (one.bar.revision, one.bar.position, one.bar.copy) == wanted), None
            )
    return None
