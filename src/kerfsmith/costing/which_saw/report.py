"""A comparison in words and figures of one measure, ready to be printed or shown."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from kerfsmith.costing.reckoning import Span3
from kerfsmith.costing.shown import rounded
from kerfsmith.costing.which_saw.limits_reached import Reach
from kerfsmith.costing.which_saw.report_page import (
    Gauge,
    PayBackCard,
    PieceRow,
    Refused,
    ReportPage,
    SawSection,
    SideRow,
    SpecialRow,
)
from kerfsmith.costing.which_saw.specials import Special
from kerfsmith.costing.which_saw.told import ComparisonTold, PayBackTold, RefusedTold, SawTold
from kerfsmith.planning.lengths import Promise
from kerfsmith.units.length import Measure, mm_to_um
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_force, show_length, show_mass, show_money, show_power, show_speed
from kerfsmith.units.told import in_measure

MOST_CAPACITIES = 2
NONE = "—"


def report_page(
    comparison: ComparisonTold, *, shop: str, customer: str, measure: Measure, day: date
) -> ReportPage:
    """Everything that stands on the report, as text in ``measure``."""
    return ReportPage(
        shop=shop,
        customer=customer,
        day=day.isoformat(),
        workload=comparison.name,
        basis=comparison.basis,
        pieces=_count(comparison.pieces_a_year),
        currency=comparison.currency,
        saws=tuple(saw.sheet.name for saw in comparison.saws),
        side=tuple(_side(comparison)),
        common=_common(comparison),
        pay_backs=tuple(_card(one, comparison) for one in comparison.pay_backs),
        sections=tuple(_section(saw, measure) for saw in comparison.saws),
        piece_rows=tuple(_pieces(comparison, measure)),
        assumptions=(*comparison.assumptions, *_doubts(comparison)),
        sources=comparison.sources,
    )


def _side(comparison: ComparisonTold) -> Iterator[SideRow]:
    saws = comparison.saws
    whole = comparison.pieces_a_year
    cut = [saw.pieces_a_year for saw in saws]
    yield _row(
        "pieces it cuts",
        "a year",
        [_count(one) for one in cut],
        [f"{one / whole:.0%} of them" for one in cut],
    )
    hours = [saw.hours for saw in saws]
    yield _row(
        "saw hours",
        "a year, of what it cuts",
        [_count(one[1]) for one in hours],
        [f"{_count(one[0])} to {_count(one[2])}" for one in hours],
    )
    shop = comparison.shop_year
    shifts = [one[1] / shop.hours_a_shift for one in hours]
    yield _row(
        "shifts it takes",
        f"of {shop.shifts_a_year:g} a year",
        [_count(one) for one in shifts],
        [f"{one / shop.shifts_a_year:.0%} of one-shift working" for one in shifts],
    )
    rates = [saw.pieces_a_shift for saw in saws]
    yield _row("pieces a shift", "of this mix", [NONE if one is None else _count(one) for one in rates])
    bands = [saw.bands for saw in saws]
    yield _row(
        "bands",
        "a year",
        [NONE if one is None else f"{one[1]:.1f}" for one in bands],
        ["life not known" if one is None else f"{one[0]:.1f} to {one[2]:.1f}" for one in bands],
    )
    if comparison.common:
        same = [saw.common_hours for saw in saws]
        yield _row(
            "saw hours, same work",
            "lines every saw cuts",
            [_count(one[1]) for one in same],
            [f"{_count(one[0])} to {_count(one[2])}" for one in same],
        )
        each = [saw.common_cost_each for saw in saws]
        yield _row(
            "cost a piece, same work",
            "mean of the lines every saw cuts",
            [_each(one) for one in each],
            [_ends(one) for one in each],
        )
    own = [saw.cost_each for saw in saws]
    yield _row(
        "cost a piece", "mean of all that it cuts", [_each(one) for one in own], [_ends(one) for one in own]
    )
    held = [dict(saw.verdicts).get(Promise.HOLDS.value) for saw in saws]
    yield _row(
        "tolerance held", "share of its pieces", [NONE if one is None else f"{one:.0%}" for one in held]
    )


def _row(name: str, remark: str, figures: list[str], notes: list[str] | None = None) -> SideRow:
    return SideRow(name, remark, tuple(figures), tuple(notes or [""] * len(figures)))


def _common(comparison: ComparisonTold) -> str:
    lines, every = comparison.common, len(comparison.pieces)
    if not lines:
        return (
            "There is no line that every saw cuts, so that cost a piece can't be compared over all of them."
        )
    return f"{lines} of {every} lines are cut whole by every saw."


def _section(saw: SawTold, measure: Measure) -> SawSection:
    verdicts = [f"{verdict} for {share:.0%}" for verdict, share in saw.verdicts if share > 0]
    ruled = [f"{limit} {share:.0%}" for limit, share in saw.time_ruled if share >= 0.005]
    return SawSection(
        name=saw.sheet.name,
        note=saw.sheet.note,
        refused=tuple(_refused(one, measure) for one in saw.refused),
        gauges=tuple(_gauge(reach, measure) for reach in _telling(saw.reaches)),
        ruled=", ".join(ruled),
        tolerance=", ".join(verdicts),
        specials=tuple(_special(one, measure) for one in saw.specials),
    )


def _refused(one: RefusedTold, measure: Measure) -> Refused:
    return Refused("; ".join(one.works), _count(one.pieces_a_year), in_measure(one.reason, measure))


def _telling(reaches: tuple[Reach, ...]) -> tuple[Reach, ...]:
    """Every limit, but of the capacities at all angles only those that the work comes nearest to."""
    capacities = [reach for reach in reaches if reach.limit.startswith("capacity")][MOST_CAPACITIES:]
    return tuple(reach for reach in reaches if reach not in capacities)


def _gauge(reach: Reach, measure: Measure) -> Gauge:
    most, allowed = (_figure(value, reach.unit, measure) for value in (reach.most, reach.allowed))
    words = f"{most} of {allowed}: {reach.where}"
    if reach.reached_mm is not None:
        words += f"; reached at {show_length(mm_to_um(reach.reached_mm), measure, decimals=0)} of bar"
    if reach.note:
        words += f"; {reach.note}"
    return Gauge(reach.limit, reach.share, f"{reach.share:.0%}", words)


def _special(one: Special, measure: Measure) -> SpecialRow:
    gain = f"{_count(one.pieces_a_year)} pieces a year"
    gain += f", {one.hours:.1f} h saved" if one.hours else ""
    if not one.has and not one.must_reach:
        return SpecialRow(one.figure, NONE, NONE, in_measure(one.why, measure), gain)
    has, must = (_figure(value, one.unit, measure) for value in (one.has, one.must_reach))
    return SpecialRow(one.figure, has, must, in_measure(one.why, measure), gain)


def _figure(value: float, unit: str, measure: Measure) -> str:
    """A figure of a saw's sheet in the reader's measure."""
    match unit:
        case "mm" | "mm wide":
            return show_length(mm_to_um(value), measure, decimals=0) + unit.removeprefix("mm")
        case "kg":
            return show_mass(value, measure)
        case "kW":
            return show_power(value, measure)
        case "N":
            return show_force(value, measure)
        case "m/min":
            return show_speed(value, measure)
        case "deg":
            return f"{value:g}°"
        case _:
            return f"{value:.3g} {unit}".strip()


def _card(told: PayBackTold, comparison: ComparisonTold) -> PayBackCard:
    one = told.pay_back
    price = show_money(one.offer.price)
    answer = f"{one.years:.1f} years" if one.years is not None else "never, on this work"
    saving = f"saves {_amount(one.saving)} {comparison.currency} a year, "
    saving += f"between {_amount(one.saving_low)} and {_amount(one.saving_high)}"
    return PayBackCard(
        title=f"{comparison.name_of(one.saw)} for {price}, against {comparison.name_of(one.against)}",
        answer=answer,
        words=(one.reason or f"On the work both cut it {saving}.") + _besides(told, comparison),
        cases=tuple(
            (case.name, _years(case.worse), _years(case.better))
            for case in one.cases
            if one.years is not None
        ),
    )


def _besides(told: PayBackTold, comparison: ComparisonTold) -> str:
    """Work that only one of the two saws can do, which no saving speaks of."""
    words = ""
    for saw, pieces in (
        (told.pay_back.saw, told.new_alone),
        (told.pay_back.against, told.there_alone),
    ):
        if pieces:
            name = comparison.name_of(saw)
            words += f" {name} alone cuts {_count(pieces)} more pieces a year; they aren't in this."
    return words


def _pieces(comparison: ComparisonTold, measure: Measure) -> Iterator[PieceRow]:
    for piece in comparison.pieces:
        yield PieceRow(
            mark=piece.mark,
            work=f"{piece.grade} · {piece.section} · {show_length(piece.length_um, measure)}",
            pieces=_count(piece.pieces_a_year),
            costs=tuple(NONE if each is None else _amount(each) for each in piece.costs),
        )


def _doubts(comparison: ComparisonTold) -> Iterator[str]:
    for saw in comparison.saws:
        for doubt in saw.doubts:
            yield f"{saw.sheet.name}: {doubt}."


def _years(years: Decimal | None) -> str:
    return "never" if years is None else f"{years:.1f}"


def _each(span: Span3 | None) -> str:
    return NONE if span is None else _amount(span.likely)


def _ends(span: Span3 | None) -> str:
    return "" if span is None else f"{_amount(span.low)} to {_amount(span.high)}"


def _amount(money: Money) -> str:
    return show_money(rounded(money)).rsplit(" ", 1)[0].replace("-", "−")


def _count(value: float) -> str:
    """A number of pieces or hours: one place below ten, whole above, thousands apart."""
    return f"{value:.1f}" if value < 10 and value != int(value) else f"{value:,.0f}".replace(",", "\u00a0")
