"""Subgroups of measured pieces with their limits, as a list."""

from collections.abc import Iterable, Iterator

from kerfsmith.exchange.export.table import Cell, CellKind, Column, Table
from kerfsmith.learning.charts.subgroup_limits import Spread
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted
from kerfsmith.learning.subgroups import IN_SUBGROUPS, Grouping, SubgroupChart, saw_chart

COLUMNS = (
    Column("saw", CellKind.TEXT, "Id of the saw"),
    Column(
        "figure",
        CellKind.TEXT,
        "What was measured: length error in mm, or lean of the face in thousandths of the height",
        choices=tuple(one.value for one in IN_SUBGROUPS),
    ),
    Column("by", CellKind.TEXT, "What makes a subgroup", choices=tuple(one.value for one in Grouping)),
    Column("subgroup", CellKind.WHOLE, "Its number at this saw, from 1"),
    Column("from", CellKind.MOMENT, "Its first piece"),
    Column("to", CellKind.MOMENT, "Its last piece"),
    Column("pieces", CellKind.WHOLE, "Pieces measured in it"),
    Column("mean", CellKind.NUMBER, "Mean of the figure"),
    Column("mean_lower_limit", CellKind.NUMBER, "Lower limit of that mean"),
    Column("mean_upper_limit", CellKind.NUMBER, "Upper limit of that mean"),
    Column("spread_is", CellKind.TEXT, "What tells the spread", choices=tuple(one.value for one in Spread)),
    Column("spread", CellKind.NUMBER, "The spread within the subgroup"),
    Column("spread_lower_limit", CellKind.NUMBER, "Lower limit of that spread"),
    Column("spread_upper_limit", CellKind.NUMBER, "Upper limit of that spread"),
    Column("signals", CellKind.TEXT, "Run rules that it breaks, the spread's told as such; empty: none"),
)


def subgroups_table(log: Log) -> Table:
    """Every subgroup of every saw, made as the trade makes them."""
    return Table("subgroups", "Subgroups", COLUMNS, tuple(_rows(log)))


def _rows(log: Log) -> Iterator[tuple[Cell, ...]]:
    for saw in sorted({cut.saw for cut in log.cuts}):
        for charted in IN_SUBGROUPS:
            chart = saw_chart(log, charted, saw)
            if chart is not None:
                yield from _of(saw, charted, chart)


def _of(saw: str, charted: Charted, chart: SubgroupChart) -> Iterable[tuple[Cell, ...]]:
    for at, (group, means, spreads) in enumerate(zip(chart.groups, chart.means, chart.spreads, strict=True)):
        broken = [
            f"{'spread: ' if one.of_spread else ''}{one.rule.value}" for one in chart.signals if one.at == at
        ]
        yield (
            saw,
            charted.value,
            chart.grouping.value,
            at + 1,
            group.points[0].at,
            group.points[-1].at,
            len(group.points),
            group.mean,
            means.lower,
            means.upper,
            chart.limits.spread.value,
            chart.limits.spread.of(group.values),
            spreads.lower,
            spreads.upper,
            "; ".join(broken),
        )
