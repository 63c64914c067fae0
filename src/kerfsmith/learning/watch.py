"""Watching one figure of one saw: what is usual, what moved, since when, and what else changed then.

What is usual is learned from the figures themselves, each judged by those before it: the next value less the
mean so far, over its standard deviation, follows Student's distribution whatever mean and spread are, and is
turned into a standard normal value. So the run lengths of charts with known mean and spread nearly hold from
the fifth value on; that values near an alarm are kept from what is usual makes false ones a little oftener.

References
----------
.. [1] Hawkins, D. M., Self-starting CUSUM charts for location and scale, The Statistician 36, 1987.
.. [2] Lucas, J. M., Combined Shewhart-CUSUM quality control schemes, J. Quality Technology 14, 1982 (limit of
   3.5 beside the sums: one false alarm in some 390 values).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from statistics import fmean

from kerfsmith.learning.change_point import Step, step_before
from kerfsmith.learning.charts.cusum import LIMIT, SLACK
from kerfsmith.learning.charts.limits import Limits
from kerfsmith.learning.distributions import STANDARD_NORMAL, student_share

SINGLE = 3.5
"""A single value further out signals by itself. References: [2]_."""
FALSE_ALARM_EVERY = 300
"""Values from one false alarm to the next, where nothing moves: measured by `benchmarks.learning.charts`
(312; 398 for known mean and spread)."""
FIRST = 4
"""Values before the first that is judged."""
HIGHEST = 1.4 * LIMIT
"""A sum climbs no further: it must be able to come back within a dozen values or so."""
CLEAR = 1.0
"""A sum below this has gone back to what is usual."""


@dataclass(frozen=True, slots=True)
class Point:
    """One value with its circumstances: named texts, as the band's label, the bar, the person."""

    id: str
    at: datetime
    value: float
    around: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Change:
    """A circumstance that changed near the step: what, from and to, and how many values before or after it.

    ``off`` is 0 where the first value after the step is the first under the new circumstance.
    """

    what: str
    before: str
    after: str
    off: int


@dataclass(frozen=True, slots=True)
class Alarm:
    """Something moved. Signalled at place ``at``; since ``step.at``; by ``by`` in the unit of the values.

    ``single`` says that one value alone lay far out, which may be a slip of the tape. ``lasts`` is whether
    the newest value still belongs to it. ``changes`` is what else changed then, the nearest first.
    """

    at: int
    step: Step
    by: float
    by_low: float
    by_high: float
    single: bool
    lasts: bool
    changes: tuple[Change, ...]
    ends: int | None = None
    """The place of the first value that was as usual again; None while it lasts."""


@dataclass(frozen=True, slots=True)
class Watched:
    """A series watched: each value in standard deviations (None while too few came before), sums, and alarms.

    ``usual`` has the centre and limits at 3 standard deviations of what counts as usual, ``sd`` its spread;
    both None for fewer than two values.
    """

    points: tuple[Point, ...]
    scores: tuple[float | None, ...]
    upper: tuple[float, ...]
    lower: tuple[float, ...]
    alarms: tuple[Alarm, ...]
    usual: Limits | None
    sd: float | None

    @property
    def lasting(self) -> Alarm | None:
        """The alarm that lasts, if one does."""
        return next((alarm for alarm in reversed(self.alarms) if alarm.lasts), None)


@dataclass
class _Usual:
    """Count, mean and sum of squares of the values that count as usual. References: [1]_."""

    count: int = 0
    mean: float = 0.0
    squares: float = 0.0

    def score(self, value: float) -> float | None:
        """The value as a standard normal one, None while too little is known."""
        if self.count < FIRST or self.squares <= 0:
            return None
        ratio = (value - self.mean) / (self.sd * math.sqrt(1 + 1 / self.count))
        share = student_share(-abs(ratio), self.count - 1)
        score = -STANDARD_NORMAL.inv_cdf(max(share, 1e-300))
        return math.copysign(min(score, 8.0), ratio)

    def take(self, value: float) -> None:
        """Count one more."""
        self.count += 1
        aside = value - self.mean
        self.mean += aside / self.count
        self.squares += aside * (value - self.mean)

    @property
    def sd(self) -> float:
        """Their standard deviation."""
        return math.sqrt(self.squares / (self.count - 1))


@dataclass
class _Sums:
    upper: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)

    def add(self, score: float) -> tuple[float, float]:
        up = max(0.0, (self.upper[-1] if self.upper else 0.0) + score - SLACK)
        down = max(0.0, (self.lower[-1] if self.lower else 0.0) - score - SLACK)
        self.upper.append(min(up, HIGHEST))
        self.lower.append(min(down, HIGHEST))
        return self.upper[-1], self.lower[-1]


def watch(points: Sequence[Point], *, sizes: bool = False) -> Watched:
    """Watch values in the order in which they were made. Values of an alarm don't count as usual.

    ``sizes``: values are magnitudes, as how far a face leans to either side; they are judged by their square
    roots, since magnitudes of normal values are lopsided and would alarm three times as often.
    """
    state = _State(sizes)
    for at, point in enumerate(points):
        state.see(at, point.value)
    limits, sd = state.limits()
    alarms = _alarms(points, state.scores, state.signals, state.ended, state.plain)
    upper, lower = tuple(state.sums.upper), tuple(state.sums.lower)
    return Watched(tuple(points), tuple(state.scores), upper, lower, alarms, limits, sd)


@dataclass
class _State:
    """Where a series stands after some of its values."""

    sizes: bool
    usual: _Usual = field(default_factory=_Usual)
    plain: _Usual = field(default_factory=_Usual)
    sums: _Sums = field(default_factory=_Sums)
    scores: list[float | None] = field(default_factory=list)
    waiting: list[float] = field(default_factory=list)
    signals: list[tuple[int, bool]] = field(default_factory=list)
    ended: list[int] = field(default_factory=list)
    alarmed: bool = False
    peak: float = 0.0
    peak_at: int = 0

    def see(self, at: int, value: float) -> None:
        """Take in one more value."""
        score = self.usual.score(_judged(value, self.sizes))
        self.scores.append(score)
        most = max(self.sums.add(score or 0.0))
        far = score is not None and abs(score) > SINGLE
        self._signal(at, most, far)
        if self.alarmed:
            self.waiting.clear()
        elif not far:
            self._learn(value, most)

    def _signal(self, at: int, most: float, far: bool) -> None:
        if self.alarmed:
            if most >= self.peak:
                self.peak, self.peak_at = most, at
            if most < CLEAR:
                # It was over when the sum began to fall.
                self.alarmed = False
                self.ended.append(self.peak_at + 1)
        elif most > LIMIT:
            self.signals.append((at, False))
            self.alarmed, self.peak, self.peak_at = True, most, at
        elif far:
            self.signals.append((at, True))
            self.ended.append(at)

    def _learn(self, value: float, most: float) -> None:
        """A value joins what is usual only when the sums are low again: else a slow drift would teach
        itself.
        """
        self.waiting.append(value)
        if most <= LIMIT / 2:
            for one in self.waiting:
                self.usual.take(_judged(one, self.sizes))
                self.plain.take(one)
            self.waiting.clear()

    def limits(self) -> tuple[Limits | None, float | None]:
        """What is usual so far, and its standard deviation."""
        if self.usual.count < 2:
            return None, None
        middle, aside = self.usual.mean, 3 * self.usual.sd
        ends = (middle - aside, middle, middle + aside)
        limits = Limits(*(max(end, 0.0) ** 2 for end in ends)) if self.sizes else Limits(*ends)
        return limits, self.plain.sd


def _judged(value: float, sizes: bool) -> float:
    return math.sqrt(abs(value)) if sizes else value


def _alarms(
    points: Sequence[Point],
    scores: Sequence[float | None],
    signals: Sequence[tuple[int, bool]],
    ended: Sequence[int],
    usual: _Usual,
) -> tuple[Alarm, ...]:
    found = []
    begin = 0
    for at, single in signals:
        end = next((place for place in ended if place >= at), None)
        flat = [score or 0.0 for score in scores[begin : at + 1]]
        if single:
            size = flat[-1]
            step = Step(at, at, at, size, size, size)
        else:
            inner = step_before(flat, len(flat) - 1)
            step = Step(
                inner.at + begin,
                inner.earliest + begin,
                inner.latest + begin,
                inner.size,
                inner.low,
                inner.high,
            )
        # All values since the step tell its size, not only those up to the alarm: these were picked by it.
        since = points[step.at : at + 1 if single else end]
        by = fmean(point.value for point in since) - usual.mean
        aside = 1.645 * usual.sd * math.sqrt(1 / len(since) + 1 / usual.count)
        found.append(
            Alarm(
                at=at,
                step=step,
                by=by,
                by_low=by - aside,
                by_high=by + aside,
                single=single,
                lasts=not single and end is None,
                changes=changes_near(points, step),
                ends=end,
            )
        )
        begin = at + 1 if end is None or single else end
    return tuple(found)


def changes_near(points: Sequence[Point], step: Step) -> tuple[Change, ...]:
    """What changed between neighbouring values about the step, the nearest first.

    Looked at: the places that the step may have, and one value on either side.
    """
    found = []
    for at in range(max(1, step.earliest - 1), min(len(points) - 1, step.latest + 1) + 1):
        before, after = points[at - 1].around, points[at].around
        for what in after:
            if before.get(what, "") != after[what]:
                found.append(Change(what, before.get(what, ""), after[what], at - step.at))
    found.sort(key=lambda change: abs(change.off))
    first: dict[str, Change] = {}
    for change in found:
        first.setdefault(change.what, change)
    return tuple(first.values())
