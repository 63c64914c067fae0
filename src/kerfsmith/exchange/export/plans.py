"""A plan as two tables: its groups, and every piece on every bar."""

from collections.abc import Iterator

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table, mm
from kerfsmith.nesting.ends import Turn
from kerfsmith.planning.plan import ForLine, Plan, PlanGroup, PlannedBar, PlannedPiece, PlanStatus
from kerfsmith.shop.rack import BarKind

GROUP_COLUMNS = (
    Column("group", CellKind.WHOLE, "Number of the group in the plan, from 1"),
    Column("grade", CellKind.TEXT, "Grade of the group"),
    Column("section", CellKind.TEXT, "Section of the group"),
    Column("saw", CellKind.TEXT, "Saw that takes it; empty where none does", True),
    Column("band", CellKind.TEXT, "Band for its square cut; empty where it can't be cut", True),
    Column(
        "standing",
        CellKind.TEXT,
        "How good the plan of it is",
        choices=tuple(one.value for one in PlanStatus),
    ),
    Column("pieces_wanted", CellKind.WHOLE, "Pieces asked for"),
    Column("pieces_planned", CellKind.WHOLE, "Pieces that lie on bars"),
    Column("bars", CellKind.WHOLE, "Bars and remnants taken"),
    Column(
        "loads",
        CellKind.WHOLE,
        "How many times the saw is loaded; fewer than bars where some are cut at once",
    ),
    Column("bars_to_buy", CellKind.WHOLE, "Of these, still to be bought"),
    Column("yield_percent", CellKind.NUMBER, "Share of the bars' length that becomes pieces"),
    Column("mass_kg_per_m", CellKind.NUMBER, "Mass of a metre of bar"),
    Column("sawing_hours", CellKind.NUMBER, "Hours in which the band cuts, likeliest"),
    Column("sawing_hours_low", CellKind.NUMBER, "The same at its lowest"),
    Column("sawing_hours_high", CellKind.NUMBER, "The same at its highest"),
    Column("saw_hours", CellKind.NUMBER, "Hours at the saw with feeding, loading and unloading"),
    Column("bars_cost", CellKind.NUMBER, "What the bars cost in the plan's own reckoning"),
    Column("bars_cost_bound", CellKind.NUMBER, "Less than this no plan can cost"),
    Column("bars_cost_unit", CellKind.TEXT, "In what: a currency, or metres of bar"),
    Column("first_due", CellKind.DAY, "Day on which the first of its pieces is due", True),
    Column("unplanned", CellKind.TEXT, "Pieces left out, each with the reason"),
)
PIECE_COLUMNS = (
    Column("group", CellKind.WHOLE, "Number of the group in the plan, from 1"),
    Column("grade", CellKind.TEXT, "Grade"),
    Column("section", CellKind.TEXT, "Section"),
    Column("saw", CellKind.TEXT, "Saw that cuts it"),
    Column("pattern", CellKind.WHOLE, "Number of the bar's pattern in the group, in the order of cutting"),
    Column("bars", CellKind.WHOLE, "Equal bars cut in this pattern"),
    Column("at_once", CellKind.WHOLE, "How many of them lie in the vise at once; 1 where each is cut alone"),
    Column("bar", CellKind.TEXT, "Label of the bar, or the rack's entry"),
    Column("bar_kind", CellKind.TEXT, "What it is", choices=tuple(kind.value for kind in BarKind)),
    Column("bar_length_mm", CellKind.NUMBER, "Its length"),
    Column("heat", CellKind.TEXT, "Its heat"),
    Column("place", CellKind.TEXT, "Where it lies"),
    Column("facing_mm", CellKind.NUMBER, "Waste of the facing cut at its front"),
    Column("position", CellKind.WHOLE, "Place of the piece on the bar, from 1 at the front"),
    Column("mark", CellKind.TEXT, "The piece's mark"),
    Column("line_id", CellKind.TEXT, "Id of its order line"),
    Column("pieces", CellKind.WHOLE, "Pieces at this place that serve this line, over all these bars"),
    Column("ordered", CellKind.TEXT, "What was ordered, where it is cut from a substitute; else empty"),
    Column("length_mm", CellKind.NUMBER, "Its length from long point to long point"),
    Column("angle_a", CellKind.NUMBER, "Angle of its first end from square as drawn, degrees"),
    Column("angle_b", CellKind.NUMBER, "Angle of its other end from square as drawn, degrees"),
    Column("turn", CellKind.TEXT, "How it lies to its drawing", choices=tuple(one.value for one in Turn)),
    Column("kerf_mm", CellKind.NUMBER, "What its cuts take off the bar"),
    Column("in_vise", CellKind.FLAG, "Whether it is the bar's own end, left in the vise without a cut"),
    Column("remnant_mm", CellKind.NUMBER, "What is left of the bar behind its last piece"),
    Column("remnant_kept", CellKind.FLAG, "Whether that goes back to the rack"),
)


def plan_table(plan: Plan) -> Table:
    """One row a group."""
    rows = tuple(_group(number, group) for number, group in enumerate(plan.groups, start=1))
    return Table("plan", "Plan, group by group", GROUP_COLUMNS, rows)


def plan_pieces_table(plan: Plan) -> Table:
    """One row a piece of each pattern, which is cut ``bars`` times; where bars cut at once serve several
    lines at a place, one for each of these.
    """
    rows = tuple(
        _piece(number, group, pattern, bar, position, piece, line, count * bar.loads)
        for number, group in enumerate(plan.groups, start=1)
        for pattern, bar in enumerate(group.bars, start=1)
        for position, piece in enumerate(bar.pieces, start=1)
        for line, count in bar.of_load(piece).items()
    )
    return Table("plan-pieces", "Plan, piece by piece", PIECE_COLUMNS, rows)


def _group(number: int, group: PlanGroup) -> tuple[Cell, ...]:
    times = group.times
    return (
        number,
        group.grade,
        group.section.name,
        group.saw_name or None,
        group.settings[0].band.id if group.settings else None,
        group.status.value,
        group.pieces_wanted,
        group.pieces_planned,
        group.bars_used,
        group.loads,
        group.bars_to_buy,
        group.yield_share * 100,
        group.mass_kg_per_m,
        times.sawing_s / 3600,
        times.sawing_low_s / 3600,
        times.sawing_high_s / 3600,
        times.total_s / 3600,
        group.cost,
        group.lower_bound,
        group.cost_unit,
        group.first_due,
        "; ".join(_left_out(group)),
    )


def _left_out(group: PlanGroup) -> Iterator[str]:
    for one in group.unplanned:
        yield f"{one.count} x {one.mark}: {one.reason}"


def _piece(
    number: int,
    group: PlanGroup,
    pattern: int,
    bar: PlannedBar,
    position: int,
    piece: PlannedPiece,
    line: ForLine,
    pieces: int,
) -> tuple[Cell, ...]:
    return (
        number,
        group.grade,
        group.section.name,
        group.saw_name,
        pattern,
        bar.times,
        bar.at_once,
        bar.bar_id,
        bar.kind.value,
        mm(bar.length_um),
        bar.heat,
        bar.place,
        mm(bar.facing_um),
        position,
        line.mark,
        line.line_id,
        pieces,
        ordered.name if (ordered := group.ordered_for(line.line_id)) else "",
        mm(piece.length_um),
        float(piece.angle_a_deg),
        float(piece.angle_b_deg),
        piece.turn.value,
        mm(piece.kerf_um),
        not piece.far_cut,
        0.0 if bar.ends_in_vise else mm(bar.remnant_um),
        bar.keep,
    )
