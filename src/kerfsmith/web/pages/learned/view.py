"""The page of what was learned, as values."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from kerfsmith.learning.charts.line_fit import Line
from kerfsmith.learning.log import Log
from kerfsmith.learning.observe import LeftOut
from kerfsmith.learning.series import Charted, SawErrors, YieldOf, errors_by_saw, yields
from kerfsmith.learning.times_noted import TimesNoted, times_noted
from kerfsmith.shop.factors import Decision, Factor, FactorDecided, Measure, Scope, in_force
from kerfsmith.web.drawing.factor_bar import FactorScale, factor_bar
from kerfsmith.web.reading import Reading, share
from kerfsmith.web.words import say
from kerfsmith.workflow.learn import Lessons

MM_PER_INCH = 25.4
SELDOM = 0.01
"""A trend that chance alone makes as often as once in a hundred is not shown: a page has a dozen of them."""


@dataclass(frozen=True, slots=True)
class FactorRow:
    """One factor: what it is about, its figures and picture, how it stands, and what may be decided."""

    about: str
    learned: str
    change: str
    interval: str
    following: str
    raw: str
    count: int
    picture: Markup
    standing: str
    in_plans: bool
    measure: str
    scope: str
    decisions: tuple[tuple[str, str, str], ...]
    """Each choice: its name in the form, its words, and its words with what it is about."""


@dataclass(frozen=True, slots=True)
class FactorTable:
    """Factors of one measure: the ``first`` are shown, the ``more`` unfold. ``silent`` says what taught
    nothing.
    """

    key: str
    name: str
    told: str
    first: tuple[FactorRow, ...]
    more: tuple[FactorRow, ...]
    silent: tuple[str, ...]
    has_following: bool


@dataclass(frozen=True, slots=True)
class ErrorRow:
    """Length or squareness at one saw."""

    saw: str
    count: int
    mean: str
    sd: str
    by_age: str
    by_height: str
    href: str


@dataclass(frozen=True, slots=True)
class YieldRow:
    """What finished bars of a grade became."""

    grade: str
    bars: int
    pieces: str
    kerfs: str
    waste: str
    kept: str
    from_remnants: str


@dataclass(frozen=True, slots=True)
class LearnedPage:
    """The whole page. ``problem`` is why the last decision was refused."""

    tables: tuple[FactorTable, ...]
    lengths: tuple[ErrorRow, ...]
    squareness: tuple[ErrorRow, ...]
    yields: tuple[YieldRow, ...]
    used: int
    may_decide: bool
    problem: str = ""
    lacking: tuple[str, ...] = ()
    """Saws of which too little is noted to learn how long they feed and clamp."""


def learned_page(
    lessons: Lessons,
    log: Log,
    decisions: Sequence[FactorDecided],
    names: Mapping[str, str],
    reading: Reading,
    *,
    may_decide: bool,
    problem: str = "",
) -> LearnedPage:
    """The page from what was learned and decided."""
    desk = _Desk(lessons, decisions, names)
    return LearnedPage(
        tables=tuple(table for table in desk.tables() if table.first),
        lengths=_error_rows(log, Charted.LENGTH, reading),
        squareness=_error_rows(log, Charted.SQUARENESS, reading),
        yields=tuple(map(_yield_row, yields(log))),
        used=len(in_force(decisions).accepted),
        may_decide=may_decide,
        problem=problem,
        lacking=tuple(filter(None, map(_lacking, times_noted(log)))),
    )


def _lacking(noted: TimesNoted) -> str:
    """What a saw's records lack for feeding and clamping, "" where each cut tells it."""
    if not noted.began:
        return say(
            "{saw}: no cut of this saw has its beginning noted, so nothing tells how long it feeds and "
            "clamps.",
            saw=noted.saw_name,
        )
    if not noted.ended:
        return say(
            "{saw}: no cut of this saw has its end noted, so nothing tells how long it feeds and clamps.",
            saw=noted.saw_name,
        )
    if min(noted.began, noted.ended) < noted.cuts:
        return say(
            "{saw}: of {cuts} cuts, {began} have their beginning noted and {ended} their end; the others "
            "don't tell how long it feeds and clamps.",
            saw=noted.saw_name,
            cuts=str(noted.cuts),
            began=str(noted.began),
            ended=str(noted.ended),
        )
    return ""


class _Desk:
    """Lessons and decisions brought together row by row."""

    def __init__(
        self, lessons: Lessons, decisions: Sequence[FactorDecided], names: Mapping[str, str]
    ) -> None:
        self._lessons, self._names = lessons, names
        self._last = {(one.measure, one.scope): one for one in decisions}
        self._held = {(one.measure, one.scope): one for one in in_force(decisions).accepted}

    def tables(self) -> Iterable[FactorTable]:
        every = self._lessons.factors()
        yield self._table(
            Measure.CUT_TIME,
            say("Cutting time"),
            say("Seconds of sawing over the seconds that the published figures give for the same cut."),
            every,
        )
        yield self._table(
            Measure.INDEX_TIME,
            say("Feeding and clamping"),
            say("Time from one cut's end to the next one's start on the same bar, over the saw sheet's."),
            every,
        )
        yield self._table(
            Measure.BAND_LIFE,
            say("Band life"),
            say(
                "Area that half of the bands cut before they are worn, over the published life. Bands still "
                "in use, and those that broke or lost teeth, count as having lasted at least so long."
            ),
            every,
        )

    def _table(self, measure: Measure, name: str, told: str, every: Sequence[Factor]) -> FactorTable:
        factors = [factor for factor in every if factor.measure is measure]
        # What a person decided stays in sight when the records no longer tell of it.
        known = {factor.scope for factor in factors}
        factors += [one for (of, scope), one in self._held.items() if of is measure and scope not in known]
        ends = [end for factor in factors for end in (factor.low, factor.high)]
        scale = FactorScale(min([0.7, *ends]), max([1.45, *ends]))
        rows = [(factor.scope, self._row(factor, scale, place)) for place, factor in enumerate(factors)]
        first = [row for scope, row in rows if not (scope.section_kind or scope.band_kind)]
        more = [row for scope, row in rows if scope.section_kind or scope.band_kind]
        left_out = self._lessons.left_out.get(measure, {})
        silent = [_silence(why, count) for why, count in left_out.items()]
        following = measure is not Measure.BAND_LIFE
        key = measure.value.replace(" ", "-")
        return FactorTable(key, name, told, tuple(first), tuple(more), tuple(silent), following)

    def _row(self, factor: Factor, scale: FactorScale, place: int) -> FactorRow:
        about = self._about(factor.scope)
        learned = self._lessons.learned(factor.measure, factor.scope)
        following = (learned.next_low, learned.next_high) if learned else None
        words = say(
            "{about}: {factor} times the published figure, {low} to {high}",
            about=about,
            factor=f"{factor.value:.2f}",
            low=f"{factor.low:.2f}",
            high=f"{factor.high:.2f}",
        )
        key = f"{factor.measure.value.replace(' ', '-')}-{place}"
        return FactorRow(
            about=about,
            learned=f"{factor.value:.2f}",
            change=_change(factor),
            interval=f"{factor.low:.2f} – {factor.high:.2f}",
            following=f"{following[0]:.2f} – {following[1]:.2f}" if following else "",
            raw=f"{learned.raw:.2f}" if learned else "",
            count=factor.count,
            picture=factor_bar(factor.value, (factor.low, factor.high), following, scale, words, key),
            standing=self._standing(factor),
            in_plans=(factor.measure, factor.scope) in self._held,
            measure=factor.measure.value,
            scope=factor.scope.key,
            decisions=self._decisions(factor, about),
        )

    def _about(self, scope: Scope) -> str:
        parts = []
        if scope.grade:
            parts.append(scope.grade)
        if scope.saw:
            parts.append(self._names.get(scope.saw, scope.saw))
        if scope.section_kind:
            parts.append(say("{kind} sections", kind=say(scope.section_kind)))
        if scope.band_kind:
            parts.append(self._names.get(scope.band_kind, scope.band_kind))
        return ", ".join(parts) or say("all work")

    def _standing(self, factor: Factor) -> str:
        held = self._held.get((factor.measure, factor.scope))
        last = self._last.get((factor.measure, factor.scope))
        if held is not None and last is not None:
            if held.frozen:
                return say("in plans, frozen at {value}", value=f"{held.value:.2f}")
            return say("in plans as {value}, follows the log", value=f"{held.value:.2f}")
        if last is not None and last.decision is Decision.FORGET:
            return say("forgotten {day}", day=_day(last.at))
        return say("not in plans")

    def _decisions(self, factor: Factor, about: str) -> tuple[tuple[str, str, str], ...]:
        held = self._held.get((factor.measure, factor.scope))
        choices: list[tuple[Decision, Callable[[], str]]] = []
        if held is None or held.frozen or abs(held.value / factor.value - 1) > 1e-9:
            choices.append((Decision.ACCEPT, lambda: say("Accept")))
        if held is None or not held.frozen:
            choices.append((Decision.FREEZE, lambda: say("Freeze")))
        choices.append((Decision.FORGET, lambda: say("Forget")))
        return tuple(
            (decision.value, words(), f"{words()}: {say(factor.measure.value)}, {about}")
            for decision, words in choices
        )


def _change(factor: Factor) -> str:
    percent = 100 * (factor.value - 1)
    if factor.low <= 1 <= factor.high:
        return say("no difference to be seen")
    if factor.measure is Measure.BAND_LIFE:
        word = say("{percent} % longer") if percent > 0 else say("{percent} % shorter")
    else:
        word = say("{percent} % slower") if percent > 0 else say("{percent} % quicker")
    return word.format(percent=f"{abs(percent):.0f}")


def _silence(why: LeftOut, count: int) -> str:
    return f"{count}: {say(why.value)}"


def _day(at: datetime) -> str:
    return at.date().isoformat()


def _error_rows(log: Log, charted: Charted, reading: Reading) -> tuple[ErrorRow, ...]:
    rows, _ = errors_by_saw(log, charted)
    return tuple(_error_row(row, charted, reading) for row in rows)


def _error_row(row: SawErrors, charted: Charted, reading: Reading) -> ErrorRow:
    def told(value: float, finer: int = 0) -> str:
        if charted is Charted.SQUARENESS:
            return f"{value:{'+' if finer else ''}.{2 + finer}f} ‰"
        if reading.is_metric:
            return f"{value:+.{2 + finer}f} mm"
        return f"{value / MM_PER_INCH:+.{4 + finer}f} in"

    def trend(line: Line | None, per: str) -> str:
        if line is None:
            return say("too little measured")
        if line.chance > SELDOM:
            return say("no change to be seen")
        return say("{change} {per}", change=told(line.slope, 1), per=per)

    spread = told(row.sd).lstrip("+")
    return ErrorRow(
        saw=row.saw_name,
        count=row.count,
        mean=told(row.mean),
        sd=spread,
        by_age=trend(
            row.by_age,
            say(
                "for each {area} that the band cut",
                area="1 m²" if reading.is_metric else reading.area(10_000),
            ),
        ),
        by_height=trend(row.by_height, say("for each {height} of height", height=reading.size(100))),
        href=f"/charts?saw={row.saw}&of={charted.value.replace(' ', '+')}",
    )


def _yield_row(row: YieldOf) -> YieldRow:
    return YieldRow(
        grade=row.grade,
        bars=row.bars,
        pieces=share(row.pieces),
        kerfs=share(row.kerfs),
        waste=share(row.trims + row.scrap),
        kept=share(row.kept),
        from_remnants=str(row.from_remnants),
    )
