"""The week drawn: hours, stops and runs of each saw as the picture asks for them."""

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from markupsafe import Markup

from kerfsmith.geometry.outline import Outline
from kerfsmith.scheduling.calendar import Hours
from kerfsmith.scheduling.kept import Begun, KeptWeek, Wished
from kerfsmith.scheduling.problem import Saw
from kerfsmith.scheduling.result import Placement
from kerfsmith.web.days import day_and_time, short_day, whole_day
from kerfsmith.web.drawing.week import Block, Day, Row, Scale, Stretch, week_picture
from kerfsmith.web.pages.week.words import from_to, rounded_down, rounded_up
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say
from kerfsmith.workflow.week_now import GONE_BY

FITTED = 1150.0
"""Pixels that the whole week is fitted into, where that leaves an hour wide enough."""
LEAST_HOUR, MOST_HOUR = 60.0, 150.0
FOLDED, LEAST_FOLD = 0.4, 1.5
"""Hours in which every saw is closed are drawn so short, where there are more of them than this."""
BACK = timedelta(hours=10)
"""How far back what has been cut is still drawn."""
ZOOMS = {"far": 0.4, "": 1.0, "near": 2.5}


class Pictured:
    """Draws one week. ``names`` maps a run to its grade and section, ``outlines`` to its outline."""

    def __init__(
        self,
        kept: KeptWeek,
        now: datetime,
        names: Mapping[str, tuple[str, str]],
        outlines: Mapping[str, Outline],
        chosen: str,
        zoom: str,
        late: frozenset[str],
    ) -> None:
        self._kept, self._now, self._names, self._outlines = kept, now, names, outlines
        self._chosen, self._zoom, self._late = chosen, zoom, late
        self._left = self._left_edge()
        self._right = self._right_edge()
        self._folds = tuple(self._closed())
        self._hours = self._at(self._right)

    def picture(self) -> Markup:
        """The whole of it."""
        rows = [self._row(saw) for saw in self._kept.problem.saws]
        runs = len(self._kept.week.placements)
        words = say(
            "A row for each saw, hours along it: {runs} runs, {late} of them late. The list says the same.",
            runs=runs,
            late=len(self._late),
        )
        return week_picture(rows, self._scale(), name=say("The week"), words=words, now_word=say("now"))

    def _left_edge(self) -> datetime:
        shown = [one.since for one in self._kept.begun if (one.until or self._now) > self._now - BACK]
        first = min([self._kept.clock.moment(self._kept.now), self._now, *shown])
        return rounded_down(max(first, self._now - BACK), 2)

    def _right_edge(self) -> datetime:
        ends = [self._kept.clock.moment(one.end) for one in self._kept.week.placements]
        return rounded_up(max([self._now + timedelta(hours=6), *ends]) + timedelta(minutes=30), 2)

    def _scale(self) -> Scale:
        fitted = min(MOST_HOUR, max(LEAST_HOUR, FITTED / self._hours))
        px = fitted * ZOOMS.get(self._zoom, 1.0)
        step = next(hours for hours in (1, 2, 4, 6, 12, 24) if hours * px >= 42 or hours == 24)
        marks: list[tuple[float, str]] = []
        days = [self._day(0.0, self._left)]
        moment = rounded_up(self._left, step)
        while moment <= self._right:
            at = self._at(moment)
            if not self._is_folded(moment) and (not marks or (at - marks[-1][0]) * px >= 40):
                marks.append((at, f"{moment:%H:%M}"))
            moment += timedelta(hours=step)
        moment = self._left.replace(hour=0) + timedelta(days=1)
        while moment <= self._right:
            days.append(self._day(self._at(moment), moment))
            moment += timedelta(days=1)
        return Scale(self._hours, px, tuple(days), tuple(marks), self._at(self._now))

    @staticmethod
    def _day(at: float, moment: datetime) -> Day:
        return Day(at, whole_day(moment.date()), short_day(moment.date()))

    def _at(self, moment: datetime) -> float:
        """Where a moment lies, in hours from the left edge; hours in which all is closed are folded."""
        hours = (moment - self._left).total_seconds() / 3600
        at = hours
        for start, end in self._folds:
            if hours > start:
                inside = min(hours, end) - start
                at -= inside * (1 - FOLDED / (end - start))
        return at

    def _closed(self) -> Iterator[tuple[float, float]]:
        """Stretches in which no saw has hours and nothing goes on, in hours from the left edge."""
        kept, last = self._kept, (self._right - self._left).total_seconds() / 3600

        def real(moment: datetime) -> float:
            return (moment - self._left).total_seconds() / 3600

        busy = [(real(self._now) - 0.5, real(self._now) + 0.5)]
        for saw in kept.problem.saws:
            for window in saw.calendar.windows:
                busy.append((real(kept.clock.moment(window.start)), real(kept.clock.moment(window.end))))
        busy += [(real(one.since), real(one.until or self._now)) for one in kept.begun]
        reached = 0.0
        for start, end in [*sorted(busy), (last, last)]:
            if start - reached > LEAST_FOLD:
                yield reached, min(start, last)
            reached = max(reached, end)
            if reached >= last:
                return

    def _tick(self, tick: int) -> float:
        return self._at(self._kept.clock.moment(tick))

    def _is_folded(self, moment: datetime) -> bool:
        hours = (moment - self._left).total_seconds() / 3600
        return any(start < hours < end for start, end in self._folds)

    def _row(self, saw: Saw) -> Row:
        blocks = [self._block(one) for one in self._kept.week.on(saw.id)]
        gone = [self._gone(one) for one in self._kept.begun if one.saw == saw.id and self._is_shown(one)]
        return Row(saw.id, saw.name or saw.id, tuple(self._stretches(saw)), (*gone, *blocks))

    def _stretches(self, saw: Saw) -> Iterator[Stretch]:
        opened = self._kept.week.opened.get(saw.id, ())
        for place, window in enumerate(saw.calendar.windows):
            kind, name = "attended", ""
            if window.hours is Hours.UNATTENDED:
                kind, name = "unattended", say("unattended")
            elif window.hours is Hours.OVERTIME:
                kind = "asked" if place in opened else "overtime"
                name = say("overtime, asked for") if place in opened else say("overtime, if asked for")
            yield from self._clipped(window.start, window.end, kind, name)
        for start, _ in self._folds:
            first = self._at(self._left + timedelta(hours=start))
            yield Stretch(first, first + FOLDED, "gone")
        for stop in saw.calendar.stops:
            if stop.why != GONE_BY:
                yield from self._clipped(stop.start, stop.end, "stop", stop.why)

    def _clipped(self, start: int, end: int, kind: str, name: str) -> Iterator[Stretch]:
        first, last = max(0.0, self._tick(start)), min(self._hours, self._tick(end))
        if first < last:
            yield Stretch(first, last, kind, name)

    def _is_shown(self, one: Begun) -> bool:
        return (one.until or self._now) > self._left

    def _gone(self, one: Begun) -> Block:
        """What was cut up to now of a run that has begun, or was finished."""
        start = max(0.0, self._at(one.since))
        end = max(start + 0.02, self._at(one.until or self._kept.clock.moment(self._kept.now)))
        told = say("{name}, cut since {since}", name=one.label, since=day_and_time(one.since))
        return Block(
            run=say("{run} so far", run=one.run),
            href=link("week") + f"?run={_quoted(one.run)}#run",
            grade=one.label,
            section="",
            told=told,
            kind="gone",
            parts=((start, end),),
            handling=(),
            set_up=None,
            change="",
            due=None,
            late=False,
            marks=(say("CUT"),) if one.until else (),
            saws=(),
            movable=False,
            chosen=False,
        )

    def _block(self, one: Placement) -> Block:
        kept, run = self._kept, self._kept.problem.run(one.run)
        saw = kept.problem.saw(one.saw)
        late = one.run in self._late
        pinned = run.pin is not None
        begun = run.pin is not None and run.pin.rank is not None
        by_hand = [wish for wish in kept.wishes_for(one.run) if wish.wished is not Wished.NOT_HERE]
        marks = [say("LATE")] if late else []
        marks += [say("BEGUN")] if begun else [say("PINNED")] if pinned or by_hand else []
        when = from_to(kept.clock.moment(one.start), kept.clock.moment(one.end))
        due = say("due {due}", due=day_and_time(kept.clock.moment(run.due))) if run.due is not None else ""
        state = say("late") if late else say("in time") if run.due is not None else ""
        told = ", ".join(
            part for part in (f"{run.label} · {saw.name or saw.id}", when, due, state, *marks[late:]) if part
        )
        grade, section = self._names.get(one.run, (run.label, ""))
        change = ""
        if one.set_up is not None:
            change = say("band {band} goes on", band=one.band) if one.set_up.changes else say("breaking in")
        return Block(
            run=one.run,
            href=link("week") + f"?run={_quoted(one.run)}#run",
            grade=grade,
            section=section,
            told=told,
            kind="alone" if run.unattended.allowed else "minded",
            parts=tuple((self._tick(part.start), self._tick(part.end)) for part in one.segments),
            handling=tuple(
                (self._tick(load.start), self._tick(load.hand_until))
                for load in one.loads
                if load.hand_until > load.start
            ),
            set_up=(self._tick(one.set_up.start), self._tick(one.set_up.end)) if one.set_up else None,
            change=change,
            due=self._tick(run.due) if run.due is not None else None,
            late=late,
            marks=tuple(marks),
            saws=tuple(option.saw for option in run.open_options),
            movable=not begun,
            chosen=one.run == self._chosen,
            outline=self._outlines.get(one.run),
        )


def _quoted(run: str) -> str:
    return link(run)[1:]
