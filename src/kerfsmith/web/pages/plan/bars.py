"""A group's bars: their strips, and the list of cuts on each."""

from markupsafe import Markup

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.nesting.ends import Turn
from kerfsmith.planning.plan import PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.shop.rack import BarKind
from kerfsmith.web.drawing.bar import bar_strip, marks_of, runs
from kerfsmith.web.drawing.lying import width_in_vise_mm
from kerfsmith.web.pages.plan.view import BarRow, BarSheet
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many


def group_strip(
    bar: PlannedBar, group: PlanGroup, saw: SawSheet | None, reading: Reading, key: str
) -> Markup:
    """The strip of one of a group's bars, to the scale of its longest."""
    across_mm = width_in_vise_mm(group.section, group.settings[0]) if group.settings else 0.0
    return bar_strip(
        bar,
        longest_um=max(one.length_um for one in group.bars),
        grip_um=round(saw.least_grip_mm * 1000) if saw else 0,
        across_um=round(across_mm * 1000),
        reading=reading,
        key=key,
    )


def bar_sheet(
    bar: PlannedBar, group: PlanGroup, saw: SawSheet | None, reading: Reading, key: str
) -> BarSheet:
    """One pattern with the list of its cuts, front to back."""
    rows = tuple(
        BarRow(
            mark=marks_of(run.piece, bar),
            count=run.count,
            length=reading.length(run.piece.length_um),
            ends=_ends(run.piece),
            advance="" if run.piece.is_mitred else reading.length(run.piece.taken_um + run.piece.over_um),
            strokes=_strokes(run.piece, saw),
            line=", ".join(line.line_id for line in bar.of_load(run.piece)),
        )
        for run in runs(bar)
    )
    return BarSheet(
        heading=_heading(bar, reading),
        source=place_of(bar),
        picture=group_strip(bar, group, saw, reading, key),
        rows=rows,
        facing=say("facing cut {facing}", facing=reading.length(bar.facing_um))
        if bar.facing_um
        else say("no facing cut"),
        rest=_rest(bar, reading),
    )


def _heading(bar: PlannedBar, reading: Reading) -> str:
    length = reading.length(bar.length_um)
    if bar.at_once == 1:
        return f"{bar.times} × {bar.bar_id}, {length}"
    return say(
        "{times} × {bar}, {length}, {at_once} at once in {loads}",
        times=bar.times,
        bar=bar.bar_id,
        length=length,
        at_once=bar.at_once,
        loads=say_many("1 load", "{count} loads", bar.loads),
    )


def _rest(bar: PlannedBar, reading: Reading) -> str:
    """What becomes of the bar's end."""
    left = reading.length(bar.remnant_um)
    if bar.ends_in_vise:
        return say("the last piece is the bar's own end: unclamp it and measure it, no cut")
    if bar.keep:
        return say("{left} goes back to the rack", left=left)
    return say("{left} is scrap", left=left)


def place_of(bar: PlannedBar) -> str:
    """Where a bar is and what it is, but for its length."""
    kind = "" if bar.kind is BarKind.BAR else say(str(bar.kind))
    parts = [
        kind,
        say("heat {heat}", heat=bar.heat) if bar.heat else "",
        say("at {place}", place=bar.place) if bar.place else "",
    ]
    return ", ".join(part for part in parts if part) or say("bar on the rack")


def _strokes(piece: PlannedPiece, saw: SawSheet | None) -> str:
    """Shuttle strokes for the piece; between mitred cuts they hang on the head's pivot."""
    if not piece.far_cut and not piece.near_cut:
        return say("no cut")
    if saw is None:
        return say("not known")
    return (
        say("see the ticket")
        if piece.is_mitred
        else str(saw.strokes((piece.taken_um + piece.over_um) / 1000))
    )


def _ends(piece: PlannedPiece) -> str:
    """The head's angle at both ends as the piece lies, and how it is turned against its drawing."""
    near_deg, far_deg = piece.ends_deg
    if near_deg == far_deg == 0:
        return say("square")
    near, far = f"{near_deg:g}", f"{far_deg:g}"
    if piece.turn is Turn.AS_IS:
        return say("near {near}°, far {far}°", near=near, far=far)
    return say("near {near}°, far {far}°; turned {turn}", near=near, far=far, turn=say(str(piece.turn)))
