"""The costs of a plan as a table: one row an order line, its cost split by what it is for."""

from decimal import Decimal

from kerfsmith.costing.plan_cost import LineCost, PlanCost, Uncosted
from kerfsmith.costing.reckoning import Kind
from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table

PARTS = (
    ("material", Kind.MATERIAL, "metal taken, less the remnants put back"),
    ("saw_time", Kind.SAW, "hours of the saw"),
    ("people", Kind.PEOPLE, "hours of people"),
    ("band", Kind.BAND, "wear of bands"),
    ("handling", Kind.HANDLING, "loading and moving"),
    ("papers", Kind.PAPERS, "certificates and labels"),
    ("scrap_risk", Kind.SCRAP, "pieces that may be scrapped"),
)
COLUMNS = (
    Column("order", CellKind.TEXT, "Order or job"),
    Column("mark", CellKind.TEXT, "The pieces' mark"),
    Column("line_id", CellKind.TEXT, "Id of the order line"),
    Column("grade", CellKind.TEXT, "Grade"),
    Column("section", CellKind.TEXT, "Section"),
    Column("substitutes", CellKind.TEXT, "What it is cut from instead, as the order allows; else empty"),
    Column("pieces", CellKind.WHOLE, "Pieces that this row speaks of"),
    Column("currency", CellKind.TEXT, "Currency of all amounts, by its three letters"),
    Column("cost_each", CellKind.MONEY, "Cost of one piece; empty where it has none", True),
    Column("cost", CellKind.MONEY, "Cost of all the pieces; the parts behind add up to it", True),
    Column("cost_low", CellKind.MONEY, "The cost at the lower end of what it may come out as", True),
    Column("cost_high", CellKind.MONEY, "The cost at the upper end", True),
    *(Column(name, CellKind.MONEY, f"Part of the cost: {says}", True) for name, _, says in PARTS),
    Column("saw_hours", CellKind.NUMBER, "Hours at the saw", True),
    Column("area_cm2", CellKind.NUMBER, "Area that bands cut", True),
    Column("why_no_cost", CellKind.TEXT, "Why these pieces have no cost; empty where they have one"),
)
_FINEST = Decimal("0.000001")


def costs_table(cost: PlanCost) -> Table:
    """Every line with its cost, then those that have none, with the reason."""
    rows = [_costed(one, cost.currency) for one in cost.lines]
    rows += [_uncosted(one, cost.currency) for one in cost.uncosted]
    return Table("costs", "Costs", COLUMNS, tuple(rows))


def _costed(one: LineCost, currency: str) -> tuple[Cell, ...]:
    span = one.cost.span
    line = one.line
    return (
        line.order,
        line.mark,
        line.id,
        line.grade,
        line.section.name,
        "; ".join(one.substitutes),
        one.pieces,
        currency,
        _held(one.each.amount),
        _held(one.cost.amount.amount),
        _held(span.low.amount),
        _held(span.high.amount),
        *(_held(one.cost.part(kind).amount) for _, kind, _ in PARTS),
        one.seconds.total_s / 3600,
        float(one.area_cm2),
        "",
    )


def _uncosted(one: Uncosted, currency: str) -> tuple[Cell, ...]:
    line = one.line
    head = (line.order, line.mark, line.id, line.grade, line.section.name, "", one.count, currency)
    return (*head, *(None,) * (6 + len(PARTS)), str(one.reason))


def _held(amount: Decimal) -> Decimal:
    """To a millionth of the currency's unit: finer than that no reader of tables keeps."""
    return amount.quantize(_FINEST)
