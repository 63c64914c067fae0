"""What the page of charts shows of a figure in subgroups: means, spreads, limits and why, signals."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from markupsafe import Markup

from kerfsmith.learning.charts.limits import Limits, range_mean, range_sd
from kerfsmith.learning.charts.run_rules import Rule
from kerfsmith.learning.charts.subgroup_limits import Spread, SubgroupLimits, sd_mean
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted, ToleranceSold
from kerfsmith.learning.subgroups import (
    FALSE_SIGNAL_EVERY,
    FEW,
    FIRST,
    IN_A_ROW,
    LEAST,
    Grouping,
    Signal,
    SubgroupChart,
    saw_chart,
)
from kerfsmith.units.told import Told
from kerfsmith.web.drawing.control_chart import MOST, ChartMark, ChartShown, Line, Steps, control_chart
from kerfsmith.web.drawing.scale import tick_text
from kerfsmith.web.pages.charts.shower import Pick, Shower, moment
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class SignalShown:
    """A rule broken, in words."""

    title: str
    when: str
    changes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GroupRow:
    """One subgroup in the table."""

    number: str
    when: str
    what: str
    count: str
    mean: str
    mean_limits: str
    spread: str
    spread_limits: str
    signals: str


@dataclass(frozen=True, slots=True)
class LimitWhy:
    """A limit with its sum written out and where its factor comes from."""

    name: str
    value: str
    how: str


@dataclass(frozen=True, slots=True)
class SubgroupsShown:
    """A figure in subgroups; ``problem`` says why there is no chart."""

    groupings: tuple[Pick, ...]
    spreads: tuple[Pick, ...]
    told: str
    problem: str
    spread_name: str = ""
    means: Markup | None = None
    spread_chart: Markup | None = None
    left_out: int = 0
    signals: tuple[SignalShown, ...] = ()
    rows: tuple[GroupRow, ...] = ()
    why: tuple[LimitWhy, ...] = ()
    on_trial: str = ""
    false_signals: str = ""
    capability: tuple[tuple[str, str], ...] = ()


_TOLD: dict[Grouping, Callable[[], str]] = {
    Grouping.BAR: lambda: say(
        "Each subgroup is the measured pieces of one bar: one band, one setting, one heat. So limits hold "
        "what the saw does by itself; what comes with another bar, band or setting shows beyond them."
    ),
    Grouping.SHIFT: lambda: say(
        "Each subgroup is what one person measured without a pause of four hours. It shows shifts that "
        "differ; bars and bands that change within a shift widen its limits."
    ),
    Grouping.ROW: lambda: say(
        "Each subgroup is {count} measured pieces in a row, whatever bar they came from: for shops that "
        "measure a piece or two of a bar. What changes within five pieces widens its limits.",
        count=str(IN_A_ROW),
    ),
}
_NAMES: dict[Grouping, Callable[[], str]] = {
    Grouping.BAR: lambda: say("by bar"),
    Grouping.SHIFT: lambda: say("by shift"),
    Grouping.ROW: lambda: say("five in a row"),
}
_SPREADS: dict[Spread, Callable[[], str]] = {
    Spread.RANGE: lambda: say("range"),
    Spread.SD: lambda: say("standard deviation"),
}


def subgroups_shown(
    log: Log,
    saw: str,
    charted: Charted,
    shower: Shower,
    reading: Reading,
    *,
    grouping: Grouping | None,
    spread: Spread | None,
    sold: ToleranceSold | None,
) -> SubgroupsShown:
    """A figure of a saw in subgroups; where nothing was asked, as the trade makes them."""
    chart = saw_chart(log, charted, saw, grouping, spread)
    here = chart.grouping if chart else grouping or Grouping.BAR
    picks = tuple(Pick(_NAMES[one](), _href(saw, charted, one, spread), one is here) for one in Grouping)
    if chart is None:
        least = say_many("{count} subgroup", "{count} subgroups", LEAST)
        problem = say(
            "Too little was measured for that: a chart begins with {least} of two pieces.", least=least
        )
        return SubgroupsShown(picks, (), _TOLD[here](), problem)
    told_by = chart.limits.spread
    first = max(0, len(chart.groups) - MOST)
    return SubgroupsShown(
        groupings=picks,
        spreads=tuple(
            Pick(_SPREADS[one](), _href(saw, charted, here, one), one is told_by) for one in Spread
        ),
        told=_TOLD[here](),
        problem="",
        spread_name=_SPREADS[told_by](),
        means=_means(chart, first, sold, shower),
        spread_chart=_spreads(chart, first, shower),
        left_out=first,
        signals=tuple(_signal(chart, one, shower, reading) for one in reversed(chart.signals)),
        rows=tuple(_row(chart, at, shower) for at in reversed(range(first, len(chart.groups)))),
        why=_why(chart, shower),
        on_trial=_on_trial(chart),
        false_signals=str(FALSE_SIGNAL_EVERY[charted]),
        capability=_capability(chart, sold),
    )


def _href(saw: str, charted: Charted, grouping: Grouping, spread: Spread | None) -> str:
    asked = {"saw": saw, "of": charted.value, "by": grouping.value}
    asked |= {"spread": spread.value} if spread else {}
    return "/charts?" + urlencode(asked) + "#subgroups"


def _on_trial(chart: SubgroupChart) -> str:
    if not chart.on_trial:
        return say("Limits were learned from the first {count} subgroups and are held.", count=str(FIRST))
    return say(
        "Limits are on trial: {count} subgroups tell them, and {few} to {first} are usual.",
        count=str(chart.limits.count),
        few=str(FEW),
        first=str(FIRST),
    )


def _means(chart: SubgroupChart, first: int, sold: ToleranceSold | None, shower: Shower) -> Markup:
    values = [group.mean for group in chart.groups]
    lines = []
    if sold is not None and sold.plus_mm is not None:
        lines.append(Line(sold.plus_mm * shower.into, say("sold, longest"), "sold"))
    if sold is not None and sold.minus_mm is not None:
        lines.append(Line(-sold.minus_mm * shower.into, say("sold, shortest"), "sold"))
    name = say("Means of subgroups")
    return _picture(chart, values, chart.means, first, shower, name, "means", lines, of_spread=False)


def _spreads(chart: SubgroupChart, first: int, shower: Shower) -> Markup:
    spread = chart.limits.spread
    values = [spread.of(group.values) for group in chart.groups]
    name = say("Spreads of subgroups: {spread}", spread=_SPREADS[spread]())
    return _picture(chart, values, chart.spreads, first, shower, name, "spreads", (), of_spread=True)


def _picture(
    chart: SubgroupChart,
    values: Sequence[float],
    limits: Sequence[Limits],
    first: int,
    shower: Shower,
    name: str,
    key: str,
    lines: Sequence[Line],
    *,
    of_spread: bool,
) -> Markup:
    """The newest subgroups, each limit stepping with the size of its subgroup."""
    signalled = {signal.at: signal.rule for signal in chart.signals if signal.of_spread is of_spread}
    groups, signed = chart.groups[first:], not (of_spread or chart.of_sizes)
    marks = [
        ChartMark(
            value * shower.into,
            _kind(signalled.get(first + place)),
            f"{moment(groups[place].points[-1].at)}: {shower.value(value, signed=signed)}",
        )
        for place, value in enumerate(values[first:])
    ]
    steps = [
        Steps([limit.upper * shower.into for limit in limits[first:]], say("upper limit"), "limit"),
        Steps([limit.centre * shower.into for limit in limits[first:]], say("mean"), "centre"),
        Steps([limit.lower * shower.into for limit in limits[first:]], say("lower limit"), "limit"),
    ]
    places = sorted({0, len(groups) // 3, 2 * len(groups) // 3, len(groups) - 1})
    days = [(place, groups[place].points[0].at.date().isoformat()) for place in places]
    words = say_many("{count} subgroup drawn", "{count} subgroups drawn", len(groups))
    told = say_many("{count} signal", "{count} signals", sum(at >= first for at in signalled))
    return control_chart(
        ChartShown(name, f"{words}, {told}.", shower.unit, marks, lines, (), days, steps=steps),
        tick_text,
        key,
    )


def _kind(rule: Rule | None) -> str:
    if rule is None:
        return "usual"
    return "far" if rule is Rule.BEYOND else "moved"


def _signal(chart: SubgroupChart, signal: Signal, shower: Shower, reading: Reading) -> SignalShown:
    group = chart.groups[signal.at]
    if signal.of_spread:
        found, limits = chart.limits.spread.of(group.values), chart.spreads[signal.at]
        what = say("Spread of subgroup {number}", number=str(signal.at + 1))
        value = shower.value(found)
    else:
        found, limits = group.mean, chart.means[signal.at]
        what = say("Mean of subgroup {number}", number=str(signal.at + 1))
        value = shower.value(found, signed=not chart.of_sizes)
    title = say(
        "{what}, {value}: {rule}",
        what=what,
        value=value,
        rule=say("beyond {limit}", limit=shower.value(limits.upper if found > limits.upper else limits.lower))
        if signal.rule is Rule.BEYOND
        else say(signal.rule.value),
    )
    when = moment(chart.groups[signal.since].points[0].at)
    nothing = say("none")
    changes = tuple(
        say(
            "{what}: {before} to {after}",
            what=say(one.what),
            before=reading.told(Told(one.before)) or nothing,
            after=reading.told(Told(one.after)) or nothing,
        )
        for one in signal.changes
    )
    return SignalShown(title, when, changes)


def _row(chart: SubgroupChart, at: int, shower: Shower) -> GroupRow:
    group, means, spreads = chart.groups[at], chart.means[at], chart.spreads[at]
    broken = [
        (say("spread") if one.of_spread else say("mean")) + ": " + say(one.rule.value)
        for one in chart.signals
        if one.at == at
    ]
    around = group.points[0].around
    what = around.get("bar", "") if chart.grouping is Grouping.BAR else around.get("person", "")
    return GroupRow(
        number=str(at + 1),
        when=moment(group.points[0].at),
        what=what,
        count=str(len(group.points)),
        mean=shower.value(group.mean, signed=not chart.of_sizes),
        mean_limits=_between(means, shower, signed=not chart.of_sizes),
        spread=shower.value(chart.limits.spread.of(group.values)),
        spread_limits=_between(spreads, shower),
        signals="; ".join(broken),
    )


def _between(limits: Limits, shower: Shower, *, signed: bool = False) -> str:
    low, high = (shower.value(each, signed=signed) for each in (limits.lower, limits.upper))
    return say("{low} to {high}", low=low, high=high)


def _why(chart: SubgroupChart, shower: Shower) -> tuple[LimitWhy, ...]:
    """Each limit of the newest subgroup with its sum, the factors to four figures."""
    limits, size = chart.limits, len(chart.groups[-1].points)
    means, spreads, signed = chart.means[-1], chart.spreads[-1], not chart.of_sizes
    factor, (low, high) = limits.mean_factor(size), limits.spread_factors(size)
    by_range = limits.spread is Spread.RANGE
    names = ("A2", "D3", "D4") if by_range else ("A3", "B3", "B4")
    centre, middle = shower.value(limits.centre, signed=signed), shower.value(spreads.centre)
    mean_of = say_many("mean of {count} subgroup", "mean of {count} subgroups", limits.count)

    def times(name: str, value: float) -> str:
        return f"{name} {value:.4g} × {middle}"

    return (
        LimitWhy(say("Mean"), centre, say("{mean_of}, each value counted once", mean_of=mean_of)),
        LimitWhy(say("Mean spread"), middle, _spread_how(limits, size, mean_of)),
        LimitWhy(
            say("Upper limit of the mean"),
            shower.value(means.upper, signed=signed),
            f"{centre} + {times(names[0], factor)}",
        ),
        LimitWhy(
            say("Lower limit of the mean"),
            shower.value(means.lower, signed=signed),
            f"{centre} − {times(names[0], factor)}{'' if signed else _none_below()}",
        ),
        LimitWhy(say("Upper limit of the spread"), shower.value(spreads.upper), times(names[2], high)),
        LimitWhy(say("Lower limit of the spread"), shower.value(spreads.lower), times(names[1], low)),
        LimitWhy(
            say("Factors for {size} pieces", size=str(size)),
            f"{names[0]} {factor:.4g}",
            _factor_how(limits.spread, size),
        ),
    )


def _none_below() -> str:
    return say("; a size is not below zero")


def _spread_how(limits: SubgroupLimits, size: int, mean_of: str) -> str:
    if len(limits.sizes) == 1:
        return mean_of
    if limits.spread is Spread.RANGE:
        return say(
            "{mean_of}, each range over the d2 of its size, times d2 of {size}",
            mean_of=mean_of,
            size=str(size),
        )
    return say("{mean_of}, pooled by how many pieces each has", mean_of=mean_of)


def _factor_how(spread: Spread, size: int) -> str:
    """The factors from the constants that they are made of, which are integrals of the normal law."""
    if spread is Spread.RANGE:
        return f"A2 = 3 / (d2 √n), D = 1 ± 3 d3 / d2; d2 {range_mean(size):.4g}, d3 {range_sd(size):.4g}"
    return f"A3 = 3 / (c4 √n), B = 1 ± 3 √(1 − c4²) / c4; c4 {sd_mean(size):.4g}"


def _capability(chart: SubgroupChart, sold: ToleranceSold | None) -> tuple[tuple[str, str], ...]:
    """What the spread within subgroups would hold, beside what all pieces did."""
    if sold is None:
        return ()
    ends = [] if sold.plus_mm is None else [sold.plus_mm - chart.limits.centre]
    ends += [] if sold.minus_mm is None else [sold.minus_mm + chart.limits.centre]
    within = min(ends) / (3 * chart.limits.sd)
    rows = [(say("Cpk, by the spread within subgroups"), f"{within:.2f}")]
    if sold.plus_mm is not None and sold.minus_mm is not None:
        cp = (sold.plus_mm + sold.minus_mm) / (6 * chart.limits.sd)
        rows.append((say("Cp, were it centred as well"), f"{cp:.2f}"))
    rows.append((say("Cpk, of all pieces"), f"{sold.found.cpk.value:.2f}"))
    return tuple(rows)
