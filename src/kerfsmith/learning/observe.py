"""Observations: what of the log can teach, and what is left out and why."""

import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from statistics import median

from kerfsmith.learning.log import BandStay, Log, SawnCut, StopSpan
from kerfsmith.learning.weibull import Life
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.factors import Measure, Scope

FARTHEST = 4.0
"""A cut that took more than so many times the prediction, or less than that part, is a fault of the
record.
"""
OUTLYING = 4.5
"""Further from the median of its like than so many (scaled) median deviations: something else happened there.
Of a normal distribution 7 in a million lie so far out."""
LEAST_ALIKE = 8
LEAST_SPREAD = 0.02
"""Cuts alike to 2 % are no nearer to one another than clocks and hands."""
GRADE_SHARE = 0.6
"""A band counts for the grade that is so much of what it cut; others are of mixed work."""
MIXED = "mixed work"

Forgotten = Mapping[tuple[Measure, Scope], datetime]
"""Until when the records of a scope teach nothing."""


Span = tuple[SawnCut, datetime | None, datetime | None, float | None]
"""A cut with when something of it began and ended, and the seconds that were predicted for it."""


class LeftOut(StrEnum):
    """Why a cut teaches nothing about times."""

    UNDONE = "taken back"
    NO_TIMES = "start and finish not recorded"
    TOGETHER = "counted together with others"
    NO_PREDICTION = "no predicted time on record"
    CLOCK = "finish before start"
    STOPPED = "the saw stood still meanwhile"
    FAR_OFF = "more than four times off the prediction"
    OUTLYING = "far from its like"
    FORGOTTEN = "forgotten by a person"


@dataclass(frozen=True, slots=True)
class Observation:
    """One cut's log of time taken over time predicted."""

    cut: SawnCut
    log_ratio: float

    @property
    def named(self) -> Mapping[str, str]:
        """What it is learned by."""
        cut = self.cut
        return {
            "saw": cut.saw,
            "grade": cut.grade,
            "section_kind": cut.section_kind,
            "band_kind": cut.band_kind,
        }


@dataclass(frozen=True, slots=True)
class Observed:
    """What can teach, and how many cuts can't for which reason."""

    observations: tuple[Observation, ...]
    left_out: Mapping[LeftOut, int]


def work_of(cut: SawnCut) -> Scope:
    """A cut's own scope."""
    return Scope(cut.grade, cut.saw, cut.section_kind, cut.band_kind)


def cut_times(log: Log, forgotten: Forgotten) -> Observed:
    """Log of sawing time over prediction.

    Of a cut whose start and finish were noted it is that; where only its finish is known, or the moment of
    counting, it is the time since the one before it on the same bar, less the predicted feeding and clamping
    between the two.

    Cuts counted one upon another were made before, as by a saw that ran alone. Where the first of them tells
    when the band went in, they teach once: the time from there until they were counted, less the feeding
    between them, over what was predicted for them all. Where it doesn't, none of them teaches, nor does the
    cut after them by the moment at which they were counted.
    """
    passes = tuple(_with_the_one_before(log.cuts))
    several = _counted_together(passes)
    made_before = {one.id for others in several.values() for one in others}
    spans: list[Span] = []
    for cut, before in passes:
        if cut.id in made_before:
            continue
        if cut.id in several:
            spans.append(_span_of_several(cut, several[cut.id]))
        elif cut.began_at is not None or before is None:
            spans.append((cut, cut.began_at, cut.ended_at, cut.predicted_s))
        else:
            spans.append(_span_since(before if before.id not in made_before else None, cut))
    taught = [span for span in spans if span[1] is not None or span[0].id not in several]
    seen = _observe(Measure.CUT_TIME, taught, _by_saw(log.stops), forgotten)
    together = len(passes) - len(taught)
    left_out = {**seen.left_out, LeftOut.TOGETHER: together} if together else seen.left_out
    return Observed(seen.observations, left_out)


def _span_since(before: SawnCut | None, cut: SawnCut) -> Span:
    """By the end of the cut before it, None where that isn't known."""
    idle_s = cut.predicted_idle_s
    # Feeding that takes longer than cutting hides it.
    if before is None or idle_s is None or idle_s >= (cut.predicted_s or 0.0):
        began_at = None
    else:
        began_at = (before.ended_at or before.at) + timedelta(seconds=idle_s)
    return cut, began_at, cut.ended_at or cut.at, cut.predicted_s


def _span_of_several(first: SawnCut, others: Sequence[SawnCut]) -> Span:
    """All of them from when the band went into the first until it was counted, without what lies between."""
    predicted = [cut.predicted_s for cut in (first, *others)]
    between = [cut.predicted_idle_s for cut in others]
    known = None not in predicted and None not in between
    idle = timedelta(seconds=sum(seconds or 0.0 for seconds in between))
    all_s = sum(seconds or 0.0 for seconds in predicted) if known else None
    return first, first.began_at, (first.ended_at or first.at) - idle, all_s


def _counted_together(passes: Sequence[tuple[SawnCut, SawnCut | None]]) -> Mapping[str, Sequence[SawnCut]]:
    """By the id of a cut, those that were counted right after it and so were made before that."""
    first_of: dict[str, str] = {}
    found: dict[str, list[SawnCut]] = {}
    for cut, before in passes:
        if before is not None and not cut.undone and _is_hasty(before, cut):
            first = first_of[cut.id] = first_of.get(before.id, before.id)
            found.setdefault(first, []).append(cut)
    return found


def _is_hasty(before: SawnCut, cut: SawnCut) -> bool:
    """Whether a cut with no times of its own would have taken less than `FARTHEST` allows.

    A last piece in the vise, of which no time is predicted, needs no cut and may be counted at any time.
    """
    if cut.began_at is not None or cut.ended_at is not None or not cut.predicted_s:
        return False
    least_s = (cut.predicted_idle_s or 0.0) + cut.predicted_s / FARTHEST
    return 0 <= (cut.at - before.at).total_seconds() < least_s


def _with_the_one_before(cuts: Iterable[SawnCut]) -> Iterator[tuple[SawnCut, SawnCut | None]]:
    """Each pass of the band with the one before it on the same bar at its saw, None for a bar's first."""
    last: dict[str, SawnCut] = {}
    for cut in cuts:
        if cut.follows:
            continue
        before = last.get(cut.saw)
        yield cut, before if before is not None and before.bar_id == cut.bar_id and cut.bar_id else None
        if not cut.undone:
            last[cut.saw] = cut


def index_times(log: Log, forgotten: Forgotten) -> Observed:
    """Log of the time from a cut's finish to the next one's start on the same bar, over its prediction."""
    spans = [
        (cut, before.ended_at, cut.began_at, cut.predicted_idle_s)
        for cut, before in _with_the_one_before(log.cuts)
        if before is not None and not cut.undone
    ]
    return _observe(Measure.INDEX_TIME, spans, _by_saw(log.stops), forgotten)


def _observe(
    measure: Measure, spans: Iterable[Span], stops: Mapping[str, Sequence[StopSpan]], forgotten: Forgotten
) -> Observed:
    left_out: Counter[LeftOut] = Counter()
    good = []
    for cut, began_at, ended_at, predicted_s in spans:
        why = _why_not(cut, began_at, ended_at, predicted_s, stops.get(cut.saw, ()))
        if why is None and _is_forgotten(measure, cut, forgotten):
            why = LeftOut.FORGOTTEN
        if why is None:
            assert began_at is not None, "asked before"
            assert ended_at is not None, "asked before"
            assert predicted_s is not None, "asked before"
            good.append(Observation(cut, math.log((ended_at - began_at).total_seconds() / predicted_s)))
        else:
            left_out[why] += 1
    kept = without_outliers(good)
    if len(kept) < len(good):
        left_out[LeftOut.OUTLYING] = len(good) - len(kept)
    return Observed(kept, dict(left_out))


def _why_not(
    cut: SawnCut,
    began_at: datetime | None,
    ended_at: datetime | None,
    predicted_s: float | None,
    stops: Sequence[StopSpan],
) -> LeftOut | None:
    if cut.undone:
        return LeftOut.UNDONE
    if began_at is None or ended_at is None:
        return LeftOut.NO_TIMES
    if predicted_s is None or predicted_s <= 0:
        return LeftOut.NO_PREDICTION
    took_s = (ended_at - began_at).total_seconds()
    if took_s <= 0:
        return LeftOut.CLOCK
    if any(
        stop.began_at < ended_at and (stop.ended_at is None or stop.ended_at > began_at) for stop in stops
    ):
        return LeftOut.STOPPED
    if not 1 / FARTHEST <= took_s / predicted_s <= FARTHEST:
        return LeftOut.FAR_OFF
    return None


_ALIKE: tuple[Callable[[SawnCut], tuple[str, ...]], ...] = (
    lambda cut: (cut.saw, cut.grade, cut.section_kind),
    lambda cut: (cut.saw, cut.grade),
    lambda cut: ("grade", cut.grade),
    lambda cut: ("saw", cut.saw),
    lambda _cut: (),
)
"""What cuts may be alike in, the closest likeness first."""


def without_outliers(observations: Sequence[Observation]) -> tuple[Observation, ...]:
    """The observations that lie with their like, told by median and median deviation (Hampel's rule).

    A cut is set against the closest likeness that has enough cuts to tell.
    References: Hampel, F. R., The influence curve and its role in robust estimation, JASA 69, 1974.
    """
    limits: dict[tuple[str, ...], tuple[float, float]] = {}
    for alike in _ALIKE:
        groups: dict[tuple[str, ...], list[float]] = {}
        for one in observations:
            groups.setdefault(alike(one.cut), []).append(one.log_ratio)
        limits |= {key: _limits(values) for key, values in groups.items() if len(values) >= LEAST_ALIKE}

    def lies_with_its_like(one: Observation) -> bool:
        keys = (alike(one.cut) for alike in _ALIKE)
        found = next((limits[key] for key in keys if key in limits), (-math.inf, math.inf))
        return _between(one.log_ratio, found)

    return tuple(filter(lies_with_its_like, observations))


def _limits(values: Sequence[float]) -> tuple[float, float]:
    middle = median(values)
    spread = max(1.4826 * median(abs(value - middle) for value in values), LEAST_SPREAD)
    return middle - OUTLYING * spread, middle + OUTLYING * spread


def _between(value: float, limits: tuple[float, float]) -> bool:
    return limits[0] <= value <= limits[1]


def _is_forgotten(measure: Measure, cut: SawnCut, forgotten: Forgotten) -> bool:
    work = work_of(cut)
    return any(
        about is measure and scope.takes_in(work) and cut.at <= until
        for (about, scope), until in forgotten.items()
    )


def _by_saw(stops: Iterable[StopSpan]) -> Mapping[str, Sequence[StopSpan]]:
    found: dict[str, list[StopSpan]] = {}
    for stop in stops:
        found.setdefault(stop.saw, []).append(stop)
    return found


WEAR = frozenset({RemovalReason.WORN, RemovalReason.CUTS_CROOKED, RemovalReason.ROUGH_FACE})
"""Reasons that tell of wear; after any other the band might have gone on."""


def band_lives(
    stays: Sequence[BandStay], ends: frozenset[RemovalReason] = WEAR
) -> Mapping[str, tuple[Life, ...]]:
    """Lives by grade as shares of the published life; ended where the band came off for one of ``ends``.

    A band counts for the grade that is most of what it cut, else for mixed work. One that cut nothing, or of
    which no published life is known, is left out.
    """
    found: dict[str, list[Life]] = {}
    for stay in stays:
        if stay.cut_cm2 <= 0 or not stay.published_cm2:
            continue
        grade, most = max(stay.by_grade_cm2, key=lambda pair: pair[1], default=(MIXED, 0.0))
        total = sum(area for _, area in stay.by_grade_cm2)
        key = grade if total and most >= GRADE_SHARE * total else MIXED
        found.setdefault(key, []).append(Life(stay.cut_cm2 / stay.published_cm2, stay.ended in ends))
    return {grade: tuple(lives) for grade, lives in found.items()}
