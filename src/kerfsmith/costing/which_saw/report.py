"""A comparison in words and figures of one measure, ready to be printed or shown."""

from collections.abc import Iterator, Sequence
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
from kerfsmith.costing.which_saw.told import ComparisonTold, PayBackTold, Range, RefusedTold, SawTold
from kerfsmith.planning.lengths import Promise
from kerfsmith.units.length import Measure, mm_to_um
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_force, show_length, show_mass, show_money, show_power, show_speed
from kerfsmith.units.told import NOTHING, Told, joined, sentence

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
        Told("pieces it cuts"),
        Told("a year"),
        [_count(one) for one in cut],
        [sentence("{share} of them", share=f"{one / whole:.0%}") for one in cut],
    )
    hours = [saw.hours for saw in saws]
    yield _row(Told("saw hours"), Told("a year, of what it cuts"), *_of_hours(hours))
    shop = comparison.shop_year
    shifts = [one[1] / shop.hours_a_shift for one in hours]
    yield _row(
        Told("shifts it takes"),
        sentence("of {shifts} a year", shifts=f"{shop.shifts_a_year:g}"),
        [_count(one) for one in shifts],
        [sentence("{share} of one-shift working", share=f"{one / shop.shifts_a_year:.0%}") for one in shifts],
    )
    rates = [saw.pieces_a_shift for saw in saws]
    figures = [NONE if one is None else _count(one) for one in rates]
    yield _row(Told("pieces a shift"), Told("of this mix"), figures)
    bands = [saw.bands for saw in saws]
    yield _row(
        Told("bands"),
        Told("a year"),
        [NONE if one is None else f"{one[1]:.1f}" for one in bands],
        [Told("life not known") if one is None else _span(f"{one[0]:.1f}", f"{one[2]:.1f}") for one in bands],
    )
    yield from _costs(comparison)
    held = [dict(saw.verdicts).get(Told(Promise.HOLDS.value)) for saw in saws]
    shares = [NONE if one is None else f"{one:.0%}" for one in held]
    yield _row(Told("tolerance held"), Told("share of its pieces"), shares)


def _costs(comparison: ComparisonTold) -> Iterator[SideRow]:
    saws = comparison.saws
    if comparison.common:
        hours = _of_hours([saw.common_hours for saw in saws])
        yield _row(Told("saw hours, same work"), Told("lines every saw cuts"), *hours)
        each = [saw.common_cost_each for saw in saws]
        yield _row(
            Told("cost a piece, same work"),
            Told("mean of the lines every saw cuts"),
            [_each(one) for one in each],
            [_ends(one) for one in each],
        )
    own = [saw.cost_each for saw in saws]
    yield _row(
        Told("cost a piece"),
        Told("mean of all that it cuts"),
        [_each(one) for one in own],
        [_ends(one) for one in own],
    )


def _of_hours(hours: Sequence[Range]) -> tuple[list[str], list[Told]]:
    return [_count(one[1]) for one in hours], [_span(_count(one[0]), _count(one[2])) for one in hours]


def _row(name: Told, remark: Told, figures: list[str], notes: list[Told] | None = None) -> SideRow:
    return SideRow(name, remark, tuple(figures), tuple(notes or [NOTHING] * len(figures)))


def _common(comparison: ComparisonTold) -> Told:
    lines, every = comparison.common, len(comparison.pieces)
    if not lines:
        return Told(
            "There is no line that every saw cuts, so that cost a piece can't be compared over all of them."
        )
    return sentence("{lines} of {every} lines are cut whole by every saw.", lines=lines, every=every)


def _section(saw: SawTold, measure: Measure) -> SawSection:
    verdicts = [
        sentence("{verdict} for {share}", verdict=verdict, share=f"{share:.0%}")
        for verdict, share in saw.verdicts
        if share > 0
    ]
    ruled = [
        sentence("{limit} {share}", limit=limit, share=f"{share:.0%}")
        for limit, share in saw.time_ruled
        if share >= 0.005
    ]
    return SawSection(
        name=saw.sheet.name,
        note=saw.sheet.note,
        refused=tuple(_refused(one) for one in saw.refused),
        gauges=tuple(_gauge(reach, measure) for reach in _telling(saw.reaches)),
        ruled=joined(", ", ruled),
        tolerance=joined(", ", verdicts),
        specials=tuple(_special(one, measure) for one in saw.specials),
    )


def _refused(one: RefusedTold) -> Refused:
    return Refused("; ".join(one.works), _count(one.pieces_a_year), one.reason)


def _telling(reaches: tuple[Reach, ...]) -> tuple[Reach, ...]:
    """Every limit, but of the capacities at all angles only those that the work comes nearest to."""
    capacities = [reach for reach in reaches if reach.limit.startswith("capacity")][MOST_CAPACITIES:]
    return tuple(reach for reach in reaches if reach not in capacities)


def _gauge(reach: Reach, measure: Measure) -> Gauge:
    most, allowed = (_figure(value, reach.unit, measure) for value in (reach.most, reach.allowed))
    words = sentence("{most} of {allowed}: {where}", most=most, allowed=allowed, where=reach.where)
    if reach.reached_mm is not None:
        at = show_length(mm_to_um(reach.reached_mm), measure, decimals=0)
        words = sentence("{words}; reached at {length} of bar", words=words, length=at)
    if reach.note:
        words = joined("; ", (words, reach.note))
    return Gauge(reach.limit, reach.share, f"{reach.share:.0%}", words)


def _special(one: Special, measure: Measure) -> SpecialRow:
    pieces = _count(one.pieces_a_year)
    if one.hours:
        gain = sentence("{pieces} pieces a year, {hours} h saved", pieces=pieces, hours=f"{one.hours:.1f}")
    else:
        gain = sentence("{pieces} pieces a year", pieces=pieces)
    if not one.has and not one.must_reach:
        return SpecialRow(one.figure, Told(NONE), Told(NONE), one.why, gain)
    has, must = (_figure(value, one.unit, measure) for value in (one.has, one.must_reach))
    return SpecialRow(one.figure, has, must, one.why, gain)


def _figure(value: float, unit: str, measure: Measure) -> Told:
    """A figure of a saw's sheet in the reader's measure."""
    match unit:
        case "mm":
            return Told(show_length(mm_to_um(value), measure, decimals=0))
        case "mm wide":
            return sentence("{width} wide", width=show_length(mm_to_um(value), measure, decimals=0))
        case "kg":
            return Told(show_mass(value, measure))
        case "kW":
            return Told(show_power(value, measure))
        case "N":
            return Told(show_force(value, measure))
        case "m/min":
            return Told(show_speed(value, measure))
        case "deg":
            return Told(f"{value:g}°")
        case _:
            return Told(f"{value:.3g} {unit}".strip())


def _card(told: PayBackTold, comparison: ComparisonTold) -> PayBackCard:
    one = told.pay_back
    never = Told("never, on this work")
    answer = never if one.years is None else sentence("{years} years", years=f"{one.years:.1f}")
    words = one.reason or sentence(
        "On the work both cut it saves {saving} {currency} a year, between {low} and {high}.",
        saving=_amount(one.saving),
        currency=comparison.currency,
        low=_amount(one.saving_low),
        high=_amount(one.saving_high),
    )
    return PayBackCard(
        title=sentence(
            "{saw} for {price}, against {other}",
            saw=comparison.name_of(one.saw),
            price=show_money(one.offer.price),
            other=comparison.name_of(one.against),
        ),
        answer=answer,
        words=joined(" ", (words, *_besides(told, comparison))),
        cases=tuple(
            (case.name, _years(case.worse), _years(case.better))
            for case in one.cases
            if one.years is not None
        ),
    )


def _besides(told: PayBackTold, comparison: ComparisonTold) -> Iterator[Told]:
    """Work that only one of the two saws can do, which no saving speaks of."""
    for saw, pieces in (
        (told.pay_back.saw, told.new_alone),
        (told.pay_back.against, told.there_alone),
    ):
        if pieces:
            yield sentence(
                "{saw} alone cuts {pieces} more pieces a year; they aren't in this.",
                saw=comparison.name_of(saw),
                pieces=_count(pieces),
            )


def _pieces(comparison: ComparisonTold, measure: Measure) -> Iterator[PieceRow]:
    for piece in comparison.pieces:
        yield PieceRow(
            mark=piece.mark,
            work=f"{piece.grade} · {piece.section} · {show_length(piece.length_um, measure)}",
            pieces=_count(piece.pieces_a_year),
            costs=tuple(NONE if each is None else _amount(each) for each in piece.costs),
        )


def _doubts(comparison: ComparisonTold) -> Iterator[Told]:
    for saw in comparison.saws:
        for doubt in saw.doubts:
            yield sentence("{saw}: {doubt}.", saw=saw.sheet.name, doubt=doubt)


def _years(years: Decimal | None) -> Told:
    return Told("never") if years is None else Told(f"{years:.1f}")


def _each(span: Span3 | None) -> str:
    return NONE if span is None else _amount(span.likely)


def _ends(span: Span3 | None) -> Told:
    return NOTHING if span is None else _span(_amount(span.low), _amount(span.high))


def _span(low: str, high: str) -> Told:
    return sentence("{low} to {high}", low=low, high=high)


def _amount(money: Money) -> str:
    return show_money(rounded(money)).rsplit(" ", 1)[0].replace("-", "−")


def _count(value: float) -> str:
    """A number of pieces or hours: one place below ten, whole above, thousands apart."""
    return f"{value:.1f}" if value < 10 and value != int(value) else f"{value:,.0f}".replace(",", "\u00a0")
