"""Making the panel of a run from what the floor knows of it."""

import json
import secrets
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any

from kerfsmith.cutting.cautions import ALWAYS
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.inspection import Inspection, Verdict
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Role
from kerfsmith.shop.rack import BarKind
from kerfsmith.shop.run import RunLine, RunState
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.shop.session import Session
from kerfsmith.web.floor_stage import RunOnFloor
from kerfsmith.web.pages.at_saw.bars import BarMaker, standing
from kerfsmith.web.pages.at_saw.deciding import ToDecide
from kerfsmith.web.pages.at_saw.dials import MOST_WAITING, angle_dials, more_waiting
from kerfsmith.web.pages.at_saw.loads import FEWER, TAKEN_OUT, LoadMaker
from kerfsmith.web.pages.at_saw.steps import FACING, Bench, Step, angle_key, clock, unit_of
from kerfsmith.web.pages.at_saw.view import (
    BAND,
    CLEAR,
    CUT,
    DONE,
    HELD,
    LAY,
    LOAD,
    OUT,
    OVER,
    PASS,
    REST,
    SHORT,
    BarView,
    LineView,
    LoadView,
    Measured,
    Notice,
    PanelPage,
    StopView,
    WaitingBar,
)
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many, to_say
from kerfsmith.workflow.permissions import Verb, may

QUESTIONS = {
    BAND: to_say("Which band is on the saw?"),
    HELD: to_say("What becomes of this piece?"),
    LOAD: to_say("Which bar goes in?"),
    CUT: to_say("What is cut next?"),
    LAY: to_say("Which bar lies beside the others?"),
    PASS: to_say("What is cut through all bars next?"),
    CLEAR: to_say("What is left of the bars?"),
    OUT: to_say("What is left of the bar?"),
    REST: to_say("Where does the remnant go?"),
    SHORT: to_say("How are the missing pieces cut?"),
    DONE: to_say("Is the run finished?"),
    OVER: to_say("What was cut in this run?"),
}
_IDS = 17
_MOST_PLACES = 8


def panel_page(
    run: RunOnFloor,
    reading: Reading,
    *,
    now: datetime,
    session: Session | None = None,
    role: Role | None = None,
    notices: Sequence[Notice] = (),
) -> PanelPage:
    """The panel of a run at this moment, for a person of that role."""
    return _Maker(run, reading, now, session, role).page(tuple(notices))


class _Maker:
    def __init__(
        self, run: RunOnFloor, reading: Reading, now: datetime, session: Session | None, role: Role | None
    ) -> None:
        self.on_floor, self.sheet, self.reading = run, run.sheet, reading
        self.now, self.session, self.role = now, session, role
        self.bench = Bench(reading, run.saw, {line.line_id: line for line in run.sheet.lines})
        self.unit = unit_of(reading.measure)
        self.bars = BarMaker(self.bench)
        self.decide = ToDecide(self.bench, run.sheet)
        # The sheet's own last piece may have been undone since.
        pieces = [
            one for bar in run.sheet.bars for one in standing(bar.entries) if one.kind is EntryKind.PIECE
        ]
        self.last = max(pieces, key=lambda one: one.at, default=None)
        self.due = run.sheet.inspection_due if self.last is not None else None

    def page(self, notices: tuple[Notice, ...]) -> PanelPage:
        sheet = self.sheet
        open_bars = sorted(sheet.bars, key=lambda one: one.at_saw.bar.state is BarState.LOADED)
        in_hand = bool(open_bars) and open_bars[0].at_saw.bar.state is not BarState.LOADED
        loads = LoadMaker(self.bars, sheet.group)
        load = loads.load(sheet.loads[0]) if sheet.loads and not in_hand else None
        bar = self.bars.bar(open_bars[0]) if open_bars and load is None else None
        beside = self._beside() if load is not None else ()
        shown = sorted(sheet.to_load, key=lambda one: one.planned.kind is BarKind.TO_BUY)[:MOST_WAITING]
        waiting = tuple(loads.waiting(self.bars.waiting(one, f"w{at}")) for at, one in enumerate(shown))
        scene = self._scene(bar, load, waiting)
        todo = bar.todo if bar is not None else [one.step for one in load.todo] if load is not None else ()
        step = todo[0] if todo else None
        last = self.last
        lines = tuple(self._line(line) for line in sheet.lines)
        return PanelPage(
            run_id=sheet.run.id,
            saw=sheet.run.saw,
            saw_name=sheet.run.saw_name,
            title=f"{sheet.run.grade} · {sheet.run.section.name}",
            scene=scene,
            question=say(QUESTIONS[scene]),
            revision=sheet.run.revision,
            unit=self.unit,
            bar=bar,
            load=load,
            beside=beside,
            next=step,
            next_count=self._next_count(step),
            left_dial=self._left_dial(bar, load),
            waiting=waiting,
            more_waiting=more_waiting(sheet.to_load, shown),
            lines=lines,
            settings=angle_dials(self.on_floor, step, self.reading),
            planned_band=sheet.group.settings[0].band.id if sheet.group.settings else "",
            held=tuple(map(self.decide.held, sheet.held)),
            doubtful=tuple(map(self.decide.doubtful, sheet.doubtful)),
            may_accept=self.role is not None and may(self.role, Verb.ACCEPT_PIECE),
            cautions=self._cautions(),
            due=self.due,
            count_note=self._count_note(step, load),
            waits_for_loads=any(one.at_once > 1 for one in waiting),
            load_reasons=(FEWER, TAKEN_OUT),
            measure_id=load.to_measure[0].cut_id
            if load is not None and load.to_measure
            else last.id
            if last
            else "",
            measure_words=load.to_measure[0].words
            if load is not None and load.to_measure
            else self._last_words(),
            measure_name=say("Measure: {kind}", kind=say(self.due)) if self.due else say("Measure"),
            doubtful_name=say_many("Doubtful: 1", "Doubtful: {count}", len(sheet.doubtful)),
            last_piece=self._last_words(),
            last_piece_id=last.id if last else "",
            last_piece_allowed=self.bench.allowed(self.bench.lines.get(last.line_id or "")) if last else "",
            measured=self._measured(sheet.inspections[-1]) if sheet.inspections else None,
            stop=self._stop(),
            band=sheet.band.id if sheet.band else "",
            band_words=self._band_words(),
            band_name=say("Band {id}", id=sheet.band.id) if sheet.band else say("Band: none"),
            crib=tuple(band.id for band in self.on_floor.crib),
            free_label=self.on_floor.free_label,
            worth_keeping=bar is not None and bar.left_um >= self.on_floor.least_remnant_um,
            places=self.on_floor.places[:_MOST_PLACES],
            notes=(
                *self._substitutes(),
                *(f"{line.mark}: {line.notes}" for line in sheet.lines if line.notes),
            ),
            notices=notices,
            new_ids=tuple(secrets.token_hex(8) for _ in range(_IDS)),
            scrap_reasons=tuple(
                reason.value for reason in ScrapReason if reason is not ScrapReason.NOT_WORTH_KEEPING
            ),
            stop_reasons=tuple(reason.value for reason in StopReason),
            removal_reasons=tuple(reason.value for reason in RemovalReason),
            pieces_left=sum(line.missing for line in sheet.lines),
            finished=self._finished(),
            data=json.dumps(self._data(bar, load, beside, waiting, lines), separators=(",", ":")),
        )

    def _substitutes(self) -> tuple[str, ...]:
        """The lines that are cut from something else than what was ordered."""
        run = self.sheet.run
        return tuple(
            say(
                "{mark}: ordered {ordered}, cut from {cut} as the order allows",
                mark=line.mark,
                ordered=line.ordered,
                cut=f"{run.grade} {run.section.name}",
            )
            for line in self.sheet.lines
            if line.ordered
        )

    def _beside(self) -> tuple[BarView, ...]:
        """Bars in the saw that lie in no load: taken out of one, or cut alone."""
        return tuple(self.bars.bar(one) for one in self.sheet.bars if not one.at_saw.bar.load_id)

    def _scene(self, bar: BarView | None, load: LoadView | None, waiting: tuple[WaitingBar, ...]) -> str:
        if self.sheet.run.state is RunState.FINISHED:
            return OVER
        if self.sheet.held:
            return HELD
        if self.sheet.band is None:
            return BAND
        if load is not None:
            return LAY if load.is_open else PASS if load.todo else CLEAR
        if bar is not None:
            return REST if bar.state == BarState.FINISHED.value else CUT if bar.todo else OUT
        if not any(line.missing for line in self.sheet.lines):
            return DONE
        return LOAD if waiting else SHORT

    def _last_words(self) -> str:
        last = self.last
        if last is None:
            return ""
        length = f"{self.bench.dial(last.length_um)} {self.unit}"
        return say("{mark}, {length}", mark=last.mark, length=length)

    @staticmethod
    def _count_note(step: Step | None, load: LoadView | None) -> str:
        if step is None or step.kind == FACING:
            return say("next: pieces")
        return say_many("counts 1", "counts {count}", len(load.bars)) if load else say("counts one")

    def _next_count(self, step: Step | None) -> str:
        line = self.bench.lines.get(step.line_id) if step else None
        return say("{good} of {wanted}", good=line.good + 1, wanted=line.wanted) if line else ""

    def _left_dial(self, bar: BarView | None, load: LoadView | None) -> str:
        """What is left of the bar, of the shortest in a load, as a figure to be read from afar."""
        bars = load.bars if load is not None else (bar,) if bar is not None else ()
        return self.bench.dial(min((one.left_um for one in bars), default=0)) if bars else ""

    def _cautions(self) -> tuple[str, ...]:
        """What holds for this grade and section; what holds for every cut stands at the foot of the page."""
        settings = (*self.sheet.group.settings, *self.sheet.group.bundle_settings)
        told = (text for setting in settings for text in setting.cautions if str(text) not in ALWAYS)
        return tuple(dict.fromkeys(self.reading.told(text) for text in told))

    def _line(self, line: RunLine) -> LineView:
        return LineView(
            line_id=line.line_id,
            mark=line.mark,
            length=self.bench.dial(line.length_um),
            length_um=line.length_um,
            wanted=line.wanted,
            good=line.good,
            surplus=line.surplus,
            scrapped=line.scrapped,
            plus_um=line.plus_um,
            minus_um=line.minus_um,
            allowed=self.bench.allowed(line),
            order=", ".join(part for part in (line.order, line.customer) if part),
        )

    def _measured(self, inspection: Inspection) -> Measured:
        length = f"{self.bench.dial(inspection.measured_um)} {self.unit}"
        over = inspection.measured_um - inspection.nominal_um
        sign = "+" if over >= 0 else "−"
        return Measured(
            f"{length}, {sign}{self.bench.dial(abs(over))}",
            say(inspection.verdict),
            inspection.verdict in (Verdict.SHORT, Verdict.LONG),
        )

    def _stop(self) -> StopView | None:
        stop = self.sheet.stop
        if stop is None:
            return None
        return StopView(stop.reason.value, clock(stop.began_at), stop.began_by)

    def _band_words(self) -> str:
        band = self.sheet.band
        if band is None:
            return say("no band on record")
        left = band.break_in_left_cm2
        cut = self.reading.area(band.cut_cm2)
        if left > 0:
            return say(
                "{kind}, has cut {cut}, break in for {left} more",
                kind=band.kind,
                cut=cut,
                left=self.reading.area(left),
            )
        return say("{kind}, has cut {cut}", kind=band.kind, cut=cut)

    def _finished(self) -> str:
        run = self.sheet.run
        return (
            say(
                "by {finished_by}, {finished_at}",
                finished_by=run.finished_by,
                finished_at=clock(run.finished_at),
            )
            if run.finished_at
            else ""
        )

    def _data(
        self,
        bar: BarView | None,
        load: LoadView | None,
        beside: Sequence[BarView],
        waiting: Sequence[WaitingBar],
        lines: Sequence[LineView],
    ) -> dict[str, Any]:
        sheet, run = self.sheet, self.on_floor
        return {
            "run": sheet.run.id,
            "saw": sheet.run.saw,
            "finished": sheet.run.state is RunState.FINISHED,
            "grade": sheet.run.grade,
            "section": sheet.run.section.name,
            "revision": sheet.run.revision,
            "unit": self.unit,
            "now": self.now.isoformat(),
            "person": self.session.person.name if self.session else "",
            "key": self.session.digest if self.session else "",
            "bar": None if bar is None else {**asdict(bar), "strip": ""},
            "load": None if load is None else load.data,
            "beside": [{**asdict(one), "strip": ""} for one in beside],
            "waiting": [asdict(one) for one in waiting],
            "lines": [asdict(one) for one in lines],
            "inspect": {
                "every": run.inspect_every,
                "measured": run.since_measured,
                "set_up": run.since_set_up,
            },
            "due": self.due.value if self.due else "",
            "piece": {
                "id": self.last.id,
                "line_id": self.last.line_id,
                "mark": self.last.mark,
                "length_um": self.last.length_um,
            }
            if self.last
            else None,
            "stop": sheet.stop.reason.value if sheet.stop else "",
            "band": sheet.band.id if sheet.band else "",
            "held": [asdict(self.decide.held(one)) for one in sheet.held],
            "doubtful": [one.id for one in sheet.doubtful],
            "cut_seconds": {angle_key(one.angle_deg): one.cut_seconds for one in sheet.group.settings},
            "load_seconds": {str(one.bundle): one.cut_seconds for one in sheet.group.bundle_settings},
            "least_remnant_um": run.least_remnant_um,
            "free_label": run.free_label,
            "free_labels": run.free_labels,
        }
