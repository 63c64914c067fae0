"""What is charted: one figure of one saw, cut after cut, with its circumstances."""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean, median, stdev

from kerfsmith.learning.charts.capability import Capability, capability
from kerfsmith.learning.charts.line_fit import Differ, Line, differ, line_fit
from kerfsmith.learning.log import BarUse, Log, SawnCut
from kerfsmith.learning.observe import cut_times
from kerfsmith.learning.watch import Point, Watched, watch


class Charted(StrEnum):
    """A figure that is watched.

    Length: measured less wanted length, mm. Squareness: lean of the face over the section's height,
    thousandths (micrometres a millimetre, thousandths an inch). Cut time: against what cuts of its grade and
    section kind usually take at this saw, percent. Motor load: the same for the most that the motor was
    loaded with.
    """

    LENGTH = "length"
    SQUARENESS = "squareness"
    CUT_TIME = "cut time"
    MOTOR_LOAD = "motor load"


def series(log: Log, charted: Charted, saw: str) -> tuple[Point, ...]:
    """The values of one saw, oldest first; cuts that were taken back are left out."""
    cuts = [cut for cut in log.cuts if cut.saw == saw and not cut.undone]
    match charted:
        case Charted.LENGTH:
            return _points((cut, cut.over_mm) for cut in cuts)
        case Charted.SQUARENESS:
            return _points((cut, lean(cut)) for cut in cuts)
        case Charted.MOTOR_LOAD:
            loads = [(cut, math.log(cut.motor_load)) for cut in cuts if cut.motor_load]
            return _points(_against_their_like(loads))
        case Charted.CUT_TIME:
            seen = cut_times(Log(tuple(cuts), stops=log.stops), {}).observations
            return _points(_against_their_like([(one.cut, one.log_ratio) for one in seen]))


def lean(cut: SawnCut) -> float | None:
    """Thousandths by which the face leans over the section's height; None where it wasn't measured."""
    if cut.off_square_mm is None or cut.height_mm <= 0:
        return None
    return 1000 * cut.off_square_mm / cut.height_mm


def watched(log: Log, charted: Charted, saw: str) -> Watched:
    """A figure of a saw, watched."""
    return watch(series(log, charted, saw), sizes=charted is Charted.SQUARENESS)


Pairs = Sequence[tuple[SawnCut, float]]
FIRST_ALIKE = 25
"""Common practice for the beginning of a chart: 20 to 30 values."""


def _points(pairs: Iterable[tuple[SawnCut, float | None]]) -> tuple[Point, ...]:
    return tuple(Point(cut.id, cut.at, value, around(cut)) for cut, value in pairs if value is not None)


def around(cut: SawnCut) -> Mapping[str, str]:
    """What may have changed along with a figure, by its name."""
    return {
        "band": cut.band,
        "grade": cut.grade,
        "section": cut.section_name,
        "setting": cut.setting,
        "bar": cut.bar,
        "person": cut.by,
    }


def _against_their_like(pairs: Pairs) -> list[tuple[SawnCut, float]]:
    """Logs as percent over the median of the first of the same grade and section kind.

    The first alone, so that what moves later doesn't move what it is set against.
    """
    groups: dict[tuple[str, str], list[float]] = {}
    for cut, value in pairs:
        groups.setdefault((cut.grade, cut.section_kind), []).append(value)
    usual = {key: median(values[:FIRST_ALIKE]) for key, values in groups.items()}
    return [(cut, 100 * math.expm1(value - usual[cut.grade, cut.section_kind])) for cut, value in pairs]


@dataclass(frozen=True, slots=True)
class ToleranceSold:
    """Capability of the lengths of one saw against the tolerance that most of them were sold with, mm."""

    plus_mm: float | None
    minus_mm: float | None
    found: Capability


LEAST_FOR_CAPABILITY = 10


def length_capability(log: Log, saw: str) -> ToleranceSold | None:
    """Capability of a saw's lengths; None where too few of one tolerance were measured, or all alike."""
    measured = [cut for cut in log.cuts if cut.saw == saw and not cut.undone and cut.over_mm is not None]
    sold = Counter(
        (cut.plus_mm, cut.minus_mm) for cut in measured if cut.plus_mm is not None or cut.minus_mm is not None
    )
    if not sold:
        return None
    (plus, minus), count = sold.most_common(1)[0]
    values = [cut.over_mm or 0.0 for cut in measured if (cut.plus_mm, cut.minus_mm) == (plus, minus)]
    if count < LEAST_FOR_CAPABILITY or stdev(values) == 0:
        return None
    found = capability(
        fmean(values), stdev(values), len(values), low=None if minus is None else -minus, high=plus
    )
    return ToleranceSold(plus, minus, found)


@dataclass(frozen=True, slots=True)
class SawErrors:
    """Errors of length (mm) or squareness (thousandths) at one saw, and how they go with band age and height.

    ``by_age`` is a line over square metres that the band had cut, ``by_height`` over decimetres of section;
    None where too little was measured.
    """

    saw: str
    saw_name: str
    count: int
    mean: float
    sd: float
    by_age: Line | None
    by_height: Line | None


def errors_by_saw(log: Log, charted: Charted) -> tuple[tuple[SawErrors, ...], Differ | None]:
    """Length or squareness at each saw, and whether saws differ by more than chance makes likely."""
    figure: Callable[[SawnCut], float | None] = lean if charted is Charted.SQUARENESS else _over
    found: dict[str, list[tuple[SawnCut, float]]] = {}
    for cut in log.cuts:
        value = figure(cut)
        if value is not None and not cut.undone:
            found.setdefault(cut.saw, []).append((cut, value))
    rows = tuple(_errors(saw, pairs) for saw, pairs in sorted(found.items()) if len(pairs) > 1)
    return rows, differ([[value for _, value in pairs] for pairs in found.values()])


def _over(cut: SawnCut) -> float | None:
    return cut.over_mm


def _errors(saw: str, pairs: Pairs) -> SawErrors:
    values = [value for _, value in pairs]
    return SawErrors(
        saw,
        pairs[-1][0].saw_name,
        len(values),
        fmean(values),
        stdev(values),
        line_fit([cut.band_age_cm2 / 10_000 for cut, _ in pairs], values),
        line_fit([cut.height_mm / 100 for cut, _ in pairs], values),
    )


@dataclass(frozen=True, slots=True)
class YieldOf:
    """What finished bars of one grade became, as shares of their length, and how many had been remnants."""

    grade: str
    bars: int
    pieces: float
    kerfs: float
    trims: float
    scrap: float
    kept: float
    from_remnants: int


def yields(log: Log) -> tuple[YieldOf, ...]:
    """Yield by grade, weighted by length."""
    grades: dict[str, list[BarUse]] = {}
    for bar in log.bars:
        grades.setdefault(bar.grade, []).append(bar)
    return tuple(_yield_of(grade, bars) for grade, bars in sorted(grades.items()))


def _yield_of(grade: str, bars: Sequence[BarUse]) -> YieldOf:
    whole_mm = sum(bar.length_mm for bar in bars)

    def weighted(shares: Iterable[float]) -> float:
        return sum(bar.length_mm * share for bar, share in zip(bars, shares, strict=True)) / whole_mm

    return YieldOf(
        grade=grade,
        bars=len(bars),
        pieces=weighted(bar.pieces for bar in bars),
        kerfs=weighted(bar.kerfs for bar in bars),
        trims=weighted(bar.trims for bar in bars),
        scrap=weighted(bar.scrap for bar in bars),
        kept=weighted(bar.kept for bar in bars),
        from_remnants=sum(bar.from_remnant for bar in bars),
    )
