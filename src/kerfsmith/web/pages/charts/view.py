"""The page of control charts, as values."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from urllib.parse import urlencode

from markupsafe import Markup

from kerfsmith.learning.charts.ewma import ewma
from kerfsmith.learning.charts.run_rules import Rule, broken_rules
from kerfsmith.learning.charts.subgroup_limits import Spread
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted, ToleranceSold, length_capability, watched
from kerfsmith.learning.subgroups import IN_SUBGROUPS, Grouping
from kerfsmith.learning.watch import FALSE_ALARM_EVERY, Alarm, Watched
from kerfsmith.units.told import Told
from kerfsmith.web.drawing.control_chart import MOST, ChartMark, ChartShown, Line, Stretch, control_chart
from kerfsmith.web.drawing.scale import tick_text
from kerfsmith.web.pages.charts.shower import Pick, Shower, moment, shower_of
from kerfsmith.web.pages.charts.subgroups import SubgroupsShown, subgroups_shown
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class AlarmShown:
    """One alarm in words. ``letter`` is over its stretch in the picture, "" for what is no longer drawn."""

    letter: str
    title: str
    since: str
    by: str
    band: str
    changes: tuple[str, ...]
    lasts: bool


@dataclass(frozen=True, slots=True)
class ChartsPage:
    """One saw and figure. ``picture`` is None where nothing was measured."""

    saws: tuple[Pick, ...]
    figures: tuple[Pick, ...]
    name: str
    told: str
    picture: Markup | None
    count: int
    left_out: int
    alarms: tuple[AlarmShown, ...]
    capability: tuple[tuple[str, str], ...]
    capable: str
    false_alarms: str
    patterns: tuple[str, ...]
    """Run rules broken by the values drawn: not alarms, but what a practised eye looks for."""
    subgroups: SubgroupsShown | None
    """The figure in subgroups, where it is one that is measured on pieces."""


def charts_page(
    log: Log,
    names: Mapping[str, str],
    saw: str,
    charted: Charted,
    reading: Reading,
    *,
    grouping: Grouping | None = None,
    spread: Spread | None = None,
) -> ChartsPage:
    """The page for ``saw`` and ``charted``."""
    saws = sorted({cut.saw for cut in log.cuts} | ({saw} if saw else set()))
    seen = {each: watched(log, each, saw) for each in Charted}
    shown = seen[charted]
    shower = shower_of(charted, reading)
    sold = length_capability(log, saw) if charted is Charted.LENGTH else None
    first = max(0, len(shown.points) - MOST)
    alarms = _alarms(shown, first, shower, reading)
    figure = figure_words(charted)
    return ChartsPage(
        saws=tuple(
            Pick(names.get(one, one), _href(one, charted), one == saw, _any_moved(log, one)) for one in saws
        ),
        figures=tuple(
            Pick(figure_words(each), _href(saw, each), each is charted, seen[each].lasting is not None)
            for each in Charted
        ),
        name=f"{figure}, {names.get(saw, saw)}",
        told=_TOLD[charted](),
        picture=_picture(shown, first, alarms, sold, shower, f"{figure}, {names.get(saw, saw)}"),
        count=len(shown.points),
        left_out=first,
        alarms=alarms,
        capability=_capability(sold, shower),
        capable=_capable(sold, moved=shown.lasting is not None),
        false_alarms=str(FALSE_ALARM_EVERY),
        patterns=_patterns(shown, first),
        subgroups=subgroups_shown(
            log, saw, charted, shower, reading, grouping=grouping, spread=spread, sold=sold
        )
        if charted in IN_SUBGROUPS
        else None,
    )


def figure_words(charted: Charted) -> str:
    """A figure's name."""
    match charted:
        case Charted.LENGTH:
            return say("Length")
        case Charted.SQUARENESS:
            return say("Squareness")
        case Charted.CUT_TIME:
            return say("Cutting time")
        case Charted.MOTOR_LOAD:
            return say("Motor load")


_TOLD: dict[Charted, Callable[[], str]] = {
    Charted.LENGTH: lambda: say("Measured less wanted length, piece after piece."),
    Charted.SQUARENESS: lambda: say("How far the face leans, in thousandths of the section's height."),
    Charted.CUT_TIME: lambda: say(
        "Cutting time against what its grade and section usually take at this saw."
    ),
    Charted.MOTOR_LOAD: lambda: say("Motor load against what its grade and section usually ask of this saw."),
}


def _any_moved(log: Log, saw: str) -> bool:
    return any(watched(log, each, saw).lasting is not None for each in Charted)


def _href(saw: str, charted: Charted) -> str:
    return "/charts?" + urlencode({"saw": saw, "of": charted.value})


def _alarms(shown: Watched, first: int, shower: Shower, reading: Reading) -> tuple[AlarmShown, ...]:
    found = []
    letters = iter(ascii_uppercase)
    for alarm in shown.alarms:
        letter = next(letters, "") if _end(shown, alarm) > first else ""
        found.append(_alarm(shown, alarm, letter, shower, reading))
    return tuple(reversed(found))


def _end(shown: Watched, alarm: Alarm) -> int:
    """Place after the last value of an alarm."""
    if alarm.single:
        return alarm.at + 1
    return len(shown.points) if alarm.lasts else (alarm.ends or alarm.at + 1)


def _alarm(shown: Watched, alarm: Alarm, letter: str, shower: Shower, reading: Reading) -> AlarmShown:
    at = shown.points[alarm.step.at].at
    size = shower.value(alarm.by, signed=True)
    if alarm.single:
        title = say("One value far out: {by}", by=size)
    elif alarm.lasts:
        title = say("Has moved by {by} and stays there", by=size)
    else:
        title = say("Had moved by {by}", by=size)
    early, late = shown.points[alarm.step.earliest], shown.points[alarm.step.latest]
    since = say("{day}, value {number}", day=moment(at), number=alarm.step.at + 1)
    if alarm.step.latest > alarm.step.earliest:
        since = say(
            "{since}; surely between {early} and {late}",
            since=since,
            early=moment(early.at),
            late=moment(late.at),
        )
    by = say(
        "between {low} and {high}",
        low=shower.value(alarm.by_low, signed=True),
        high=shower.value(alarm.by_high, signed=True),
    )
    changes = tuple(_change(one.what, one.before, one.after, one.off, reading) for one in alarm.changes)
    band = shown.points[alarm.step.at].around.get("band", "")
    return AlarmShown(letter, title, since, by, band, changes, alarm.lasts)


def _change(what: str, before: str, after: str, off: int, reading: Reading) -> str:
    if off == 0:
        when = say("at that very value")
    elif off < 0:
        when = say_many("one value before", "{count} values before", -off)
    else:
        when = say_many("one value after", "{count} values after", off)
    nothing = say("none")
    return say(
        "{what}: {before} to {after}, {when}",
        what=say(what),
        before=reading.told(Told(before)) or nothing,
        after=reading.told(Told(after)) or nothing,
        when=when,
    )


def _picture(
    shown: Watched,
    first: int,
    alarms: Sequence[AlarmShown],
    sold: ToleranceSold | None,
    shower: Shower,
    name: str,
) -> Markup | None:
    points = shown.points[first:]
    if not points:
        return None
    kinds = _kinds(shown)
    marks = [
        ChartMark(
            point.value * shower.into,
            kinds[first + place],
            f"{moment(point.at)}: {shower.value(point.value, signed=True)}",
        )
        for place, point in enumerate(points)
    ]
    days = (
        [
            (place, points[place].at.date().isoformat())
            for place in sorted({0, len(points) // 3, 2 * len(points) // 3, len(points) - 1})
        ]
        if len(points) > 3
        else [(0, points[0].at.date().isoformat())]
    )
    told = "; ".join(f"{one.letter} {one.title}" for one in alarms if one.letter)
    words = say_many("{count} value drawn.", "{count} values drawn.", len(points))
    words += " " + (told or say("Nothing has moved."))
    stretches = _stretches(shown, first, alarms)
    chart = ChartShown(
        name,
        words,
        shower.unit,
        marks,
        _levels(shown, sold, shower),
        stretches,
        days,
        _smooth(shown, first, shower),
    )
    return control_chart(chart, tick_text, "chart")


def _patterns(shown: Watched, first: int) -> tuple[str, ...]:
    """Each rule that was broken, how often and when last. The first rule is what the alarms are for."""
    scores = [score or 0.0 for score in shown.scores[first:]]
    rules = [rule for rule in Rule if rule is not Rule.BEYOND]
    found: dict[Rule, list[int]] = {}
    for at, rule in broken_rules(scores, rules):
        found.setdefault(rule, []).append(at)
    return tuple(
        say_many(
            "{rule}: once, {day}",
            "{rule}: {count} times, last {day}",
            len(places),
            rule=say(rule.value),
            day=moment(shown.points[first + places[-1]].at),
        )
        for rule, places in found.items()
    )


def _smooth(shown: Watched, first: int, shower: Shower) -> tuple[float, ...]:
    """The weighted average from what is usual on, of the values drawn."""
    if shown.usual is None or not shown.sd:
        return ()
    values = [point.value for point in shown.points]
    averages = ewma(values, shown.usual.centre, shown.sd).averages
    return tuple(average * shower.into for average in averages[first:])


def _kinds(shown: Watched) -> list[str]:
    kinds = ["usual"] * len(shown.points)
    for alarm in shown.alarms:
        if alarm.single:
            kinds[alarm.at] = "far"
        else:
            for place in range(alarm.step.at, _end(shown, alarm)):
                kinds[place] = "moved"
    return kinds


def _stretches(shown: Watched, first: int, alarms: Sequence[AlarmShown]) -> list[Stretch]:
    found = []
    for alarm, told in zip(shown.alarms, reversed(alarms), strict=True):
        end = _end(shown, alarm)
        if told.letter:
            found.append(Stretch(max(alarm.step.at - first, 0), end - first, told.letter))
    return found


def _levels(shown: Watched, sold: ToleranceSold | None, shower: Shower) -> list[Line]:
    lines = []
    if shown.usual is not None:
        lines += [
            Line(shown.usual.upper * shower.into, say("usual, highest"), "limit"),
            Line(shown.usual.centre * shower.into, say("usual"), "centre"),
            Line(shown.usual.lower * shower.into, say("usual, lowest"), "limit"),
        ]
    if sold is not None and sold.plus_mm is not None:
        lines.append(Line(sold.plus_mm * shower.into, say("sold, longest"), "sold"))
    if sold is not None and sold.minus_mm is not None:
        lines.append(Line(-sold.minus_mm * shower.into, say("sold, shortest"), "sold"))
    return lines


def _capability(sold: ToleranceSold | None, shower: Shower) -> tuple[tuple[str, str], ...]:
    if sold is None:
        return ()
    found = sold.found
    ends = [None if sold.plus_mm is None else "+" + shower.value(sold.plus_mm)]
    ends.append(None if sold.minus_mm is None else "−" + shower.value(sold.minus_mm))
    rows = [
        (say("Tolerance sold"), ", ".join(end for end in ends if end)),
        (say("Measured of it"), str(found.count)),
    ]
    if found.cp is not None:
        rows.append(("Cp", f"{found.cp.value:.2f} ({found.cp.low:.2f} – {found.cp.high:.2f})"))
    rows.append(("Cpk", f"{found.cpk.value:.2f} ({found.cpk.low:.2f} – {found.cpk.high:.2f})"))
    rows.append((say("Expected out of it"), f"{100 * found.outside:.2g} %"))
    return tuple(rows)


def _capable(sold: ToleranceSold | None, *, moved: bool) -> str:
    """What the index says, in words; 1.33 as enough is common practice."""
    if sold is None:
        return ""
    index = sold.found.cpk
    if moved:
        return say("The figure has moved, so this mixes before and after: put it right, then judge.")
    if index.low >= 1.33:
        return say("The saw holds this tolerance with room to spare.")
    if index.high < 1.0:
        return say("The saw does not hold this tolerance: some pieces will lie outside it.")
    if index.value >= 1.0:
        return say("The saw holds this tolerance just so; a small shift puts pieces outside it.")
    return say("The saw hardly holds this tolerance: expect some pieces outside it.")
