"""The week's page made of the weeks as they stand."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from functools import cached_property

from kerfsmith.geometry.outline import Outline
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.scheduling.causes import causes
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.scheduling.result import Placement
from kerfsmith.scheduling.wanted import is_late, lines_of
from kerfsmith.scheduling.words import headline, standing
from kerfsmith.web.days import day_and_time
from kerfsmith.web.pages.plan.words import shortage_words
from kerfsmith.web.pages.week.pictured import ZOOMS, Pictured
from kerfsmith.web.pages.week.run import RunMaker
from kerfsmith.web.pages.week.view import (
    Compared,
    LateRow,
    ListRow,
    ProposalView,
    RunView,
    SawLabel,
    Standing,
    WeekPage,
)
from kerfsmith.web.pages.week.words import (
    AIM_NAMES,
    aim_value,
    length_of,
    script_words,
    verdict,
    what_it_costs,
)
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import glyph, link
from kerfsmith.web.week_stage import WeekOnFloor
from kerfsmith.web.words import say, say_many, to_say
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_now import USUAL_STANDSTILL

ZOOM_WORDS = {"far": to_say("Wider"), "": to_say("As fits"), "near": to_say("Closer")}
LEGEND = (
    ("attended", to_say("somebody there")),
    ("unattended", "unattended"),
    ("overtime", to_say("overtime, if asked for")),
    ("stop", to_say("the saw stands")),
    ("gone", to_say("closed hours, folded")),
    ("change", to_say("band changed")),
    ("hands", to_say("crane and hands")),
    ("alone", to_say("may run unattended")),
    ("due", "due"),
)


class WeekMaker:
    """Makes the page of one week."""

    def __init__(
        self,
        floor: WeekOnFloor,
        kept: KeptWeek,
        reading: Reading,
        *,
        chosen: str,
        zoom: str,
        refusal: Refusal | None,
    ) -> None:
        self._floor, self._kept, self._reading, self._refusal = floor, kept, reading, refusal
        self._chosen, self._zoom = chosen, zoom if zoom in ZOOMS else ""
        self._late = frozenset(one.run for one in kept.week.placements if is_late(kept.problem, one))

    def page(self) -> WeekPage:
        """Everything on it."""
        kept, floor, tick_s = self._kept, self._floor, self._kept.clock.tick_s
        return WeekPage(
            headline=headline(kept.week),
            standing_words=tuple(standing(one, tick_s) for one in kept.week.aims),
            picture=Pictured(
                kept, floor.now, self._names, self._outlines, self._chosen, self._zoom, self._late
            ).picture(),
            saws=tuple(self._saw(saw.id, saw.name or saw.id) for saw in kept.problem.saws),
            script_words=script_words(),
            legend=tuple((kind, say(words)) for kind, words in LEGEND),
            zooms=tuple((say(ZOOM_WORDS[zoom]), self._here(zoom), zoom == self._zoom) for zoom in ZOOMS),
            proposal=self._proposal(),
            run=self._run(),
            late=self._late_rows(),
            rows=tuple(self._list_row(one) for one in self._in_order()),
            left_out=tuple(f"{self._name(group)}: {self._reading.told(why)}" for group, why in kept.left_out),
            short=tuple(self._short()),
            stale=floor.stale if floor.proposed is None else (),
            stopped=tuple(self._standing(stop.saw) for stop in floor.standing),
            job_href=link("week", "job", floor.job.id) if floor.job else "",
            here=self._here(self._zoom),
            problem=self._refusal.reason if self._refusal else "",
            remedy=self._refusal.remedy if self._refusal else "",
            made=say(
                "{why}; reckoned at {now}.",
                why=kept.why[:1].upper() + kept.why[1:],
                now=day_and_time(kept.clock.moment(kept.now)),
            ),
        )

    @cached_property
    def _groups(self) -> Mapping[str, PlanGroup]:
        plan: Plan | None = self._floor.plan
        return {group.id: group for group in plan.groups} if plan is not None else {}

    @cached_property
    def _names(self) -> Mapping[str, tuple[str, str]]:
        return {run: (group.grade, group.section.name) for run, group in self._groups.items()}

    @cached_property
    def _outlines(self) -> Mapping[str, Outline]:
        return {run: group.section.shape.outline() for run, group in self._groups.items()}

    def _name(self, run: str) -> str:
        group = self._groups.get(run)
        return f"{group.grade} · {group.section.name}" if group is not None else run

    def _moment(self, tick: int) -> datetime:
        return self._kept.clock.moment(tick)

    def _here(self, zoom: str) -> str:
        return link("week") + (f"?zoom={zoom}" if zoom else "")

    def _in_order(self) -> list[Placement]:
        names = [saw.id for saw in self._kept.problem.saws]
        return sorted(self._kept.week.placements, key=lambda one: (names.index(one.saw), one.start))

    def _saw(self, saw: str, name: str) -> SawLabel:
        row = self._kept.week.on(saw)
        minutes = sum(
            (load.end - load.start) * self._kept.clock.tick_s / 60 for one in row for load in one.loads
        )
        stop = next((stop for stop in self._floor.standing if stop.saw == saw), None)
        runs = say_many("{count} run", "{count} runs", len(row))
        return SawLabel(
            name,
            f"{runs}, {length_of(minutes)}" if row else runs,
            say("stands: {why}", why=say(str(stop.reason))) if stop is not None else "",
        )

    def _standing(self, saw: str) -> Standing:
        stop = next(stop for stop in self._floor.standing if stop.saw == saw)
        name = next((one.name for one in self._floor.saws if one.id == saw), saw)
        back = self._floor.now + USUAL_STANDSTILL
        why = f"{say(str(stop.reason))}{f', {stop.note}' if stop.note else ''}"
        return Standing(saw, name, why, f"{back:%Y-%m-%dT%H:%M}")

    def _proposal(self) -> ProposalView | None:
        week = self._floor.proposed
        if week is None:
            return None
        tick_s = week.clock.tick_s
        before = {one.aim: one.value for one in week.before}
        rows = [
            Compared(
                say(AIM_NAMES[one.aim]),
                aim_value(one.aim, before[one.aim], tick_s) if one.aim in before else "–",
                aim_value(one.aim, one.value, tick_s),
                verdict(one.aim, before[one.aim], one.value, tick_s) if one.aim in before else "",
                one.aim in before and one.value > before[one.aim],
            )
            for one in week.week.aims
            if one.aim in AIM_NAMES
        ]
        summary = what_it_costs(week.before, week.week.aims, tick_s) if week.before else ""
        if week.base and not week.before:
            summary = say("The order in force no longer holds, so there is nothing to set it against.")
        why = week.why[:1].upper() + week.why[1:]
        return ProposalView(week.id, why, summary, tuple(rows), self._moved(week), not week.base)

    def _moved(self, week: KeptWeek) -> tuple[str, ...]:
        """Runs that go to another saw with the proposal."""
        kept = self._floor.kept
        if kept is None:
            return ()
        names = {saw.id: saw.name or saw.id for saw in (*kept.problem.saws, *week.problem.saws)}
        old = {one.run: one.saw for one in kept.week.placements}
        return tuple(
            say(
                "{run} from {old} to {new}",
                run=self._name(one.run),
                old=names[old[one.run]],
                new=names[one.saw],
            )
            for one in week.week.placements
            if one.run in old and old[one.run] != one.saw
        )

    def _run(self) -> RunView | None:
        one = next((one for one in self._kept.week.placements if one.run == self._chosen), None)
        if one is None:
            return None
        group = self._groups.get(one.run)
        return RunMaker(self._kept, one, group, self._floor, self._reading).view(self._name(one.run))

    def _late_rows(self) -> tuple[LateRow, ...]:
        kept = self._kept
        why = {cause.run: cause for cause in causes(kept.problem, kept.week, since=kept.now)}
        rows = []
        for one in kept.week.placements:
            if one.run not in self._late:
                continue
            lines = [line for line in lines_of(kept.problem, one) if line.late]
            cause = why.get(one.run)
            rows.append(
                (
                    max(line.late for line in lines),
                    LateRow(
                        self._run_href(one.run),
                        self._name(one.run),
                        length_of(max(line.late for line in lines) * kept.clock.tick_s / 60),
                        "; ".join(
                            say(
                                "{mark}: {late} of {pieces} late, done {done}",
                                mark=line.mark or self._name(one.run),
                                late=line.late_pieces,
                                pieces=line.pieces,
                                done=day_and_time(self._moment(line.done)),
                            )
                            for line in lines
                        ),
                        cause.text if cause is not None else "",
                    ),
                )
            )
        return tuple(row for _, row in sorted(rows, key=lambda pair: -pair[0]))

    def _short(self) -> Iterator[tuple[str, str, str]]:
        """Runs whose bars aren't all there: href, name, and what is missing."""
        for one in self._in_order():
            group = self._groups.get(one.run)
            if group is not None and (group.bars_to_buy or group.pieces_planned < group.pieces_wanted):
                yield self._run_href(one.run), self._name(one.run), shortage_words(group)

    def _run_href(self, run: str) -> str:
        zoom = f"&zoom={self._zoom}" if self._zoom else ""
        return f"{link('week')}?run={link(run)[1:]}{zoom}#run"

    def _list_row(self, one: Placement) -> ListRow:
        kept, run = self._kept, self._kept.problem.run(one.run)
        late = one.run in self._late
        lines = lines_of(kept.problem, one)
        due = min((line.due for line in lines), default=None)
        state = say("late") if late else say("in time") if due is not None else say("nobody waits")
        pin = run.pin
        pinned = ""
        if pin is not None:
            pinned = say("begun") if pin.rank is not None else say("pinned")
        band = one.band
        if one.set_up is not None and one.set_up.changes:
            band = say("{band}, put on {when}", band=one.band, when=f"{self._moment(one.set_up.start):%H:%M}")
        return ListRow(
            href=self._run_href(one.run),
            saw=kept.problem.saw(one.saw).name or one.saw,
            begins=day_and_time(self._moment(one.start)),
            ends=day_and_time(self._moment(one.end)),
            name=self._name(one.run) if one.run in self._groups else run.label,
            pieces=str(run.weight),
            band=band,
            due=day_and_time(self._moment(due)) if due is not None else "–",
            state=state,
            mark=glyph("short" if late else "done"),
            late=late,
            alone=say("may") if run.unattended.allowed else say("may not"),
            why_alone=self._reading.told(run.unattended.reason),
            pinned=pinned,
        )
