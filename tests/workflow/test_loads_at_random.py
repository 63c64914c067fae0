"""Loads under anything that may be done with them, in any order: nothing half done, nothing counted twice."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from benchmarks.records.referee import faults
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from tests.records.databases import databases
from tests.workflow.load_floor import released_loads, sheet, told_of
from tests.workflow.shop_floor import OPERATOR, later, never

from kerfsmith.records.opening import make_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar
from kerfsmith.workflow.finish_load import FinishLoad
from kerfsmith.workflow.load_bar import LoadBar
from kerfsmith.workflow.log_cut import LogCut
from kerfsmith.workflow.put_away import PutAway
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb, record_event
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.reject_piece import RejectPiece
from kerfsmith.workflow.return_bar import ReturnBar
from kerfsmith.workflow.run_sheet import BarSheet, LoadSheet
from kerfsmith.workflow.take_out import TakeOut
from kerfsmith.workflow.undo_cut import UndoCut
from kerfsmith.workflow.undo_pass import BarUndo, UndoPass

_ANY = st.integers(min_value=0, max_value=7)


@contextmanager
def _records() -> Iterator[tuple[Store, Any]]:
    for url in databases().fresh("sqlite"):
        engine = make_engine(url)
        yield Store(engine), engine
        engine.dispose()


class Loads(RuleBasedStateMachine):
    """A panel that lays bars in, cuts, undoes, rejects, takes out and finishes; each event is sent twice."""

    @initialize()
    def open_shop(self) -> None:
        self.records = _records()
        self.store, self.engine = self.records.__enter__()
        released_loads(self.store)
        self.events = 0
        for _ in range(3):
            self.tell(LoadBar(self.new("b"), "r1", "L-1", load_id="l0"))

    def teardown(self) -> None:
        self.engine.dispose()
        self.records.__exit__(None, None, None)

    def tell(self, told: PanelVerb) -> object:
        self.events += 1
        at = later(self.events)
        mark = EventMark(f"e{self.events}", "panel", self.events, at)
        event = PanelEvent(told, OPERATOR, at, mark)
        answer = record_event(self.store, event, never)
        assert record_event(self.store, event, never) == answer, "sent again it gets the same answer"
        return answer

    def new(self, kind: str) -> str:
        return f"{kind}{self.events + 1}"

    def load(self, which: int) -> LoadSheet | None:
        loads = sheet(self.store).loads
        return loads[which % len(loads)] if loads else None

    def bar(self, which: int) -> BarSheet | None:
        bars = sheet(self.store).bars
        return bars[which % len(bars)] if bars else None

    @rule(which=_ANY, label=st.sampled_from(("L-1", "L-1", "L-1", "L-3", "L-2")))
    def lay(self, which: int, label: str) -> None:
        load = self.load(which)
        load_id = load.load.id if load is not None and which % 3 else self.new("l")
        self.tell(LoadBar(self.new("b"), "r1", label, load_id="" if which == 7 else load_id))

    @precondition(lambda self: self.load(0) is not None)
    @rule(which=_ANY, bad=st.booleans(), skip=st.booleans())
    def cut(self, which: int, bad: bool, skip: bool) -> None:
        load = self.load(which)
        if load is None or not (load.facing_due or load.to_cut.passes):
            return
        kind = EntryKind.FACING if load.facing_due else EntryKind.PIECE
        told = told_of(
            self.store, load.load.id, self.new("p"), kind, fewer_why="missing" if which % 2 else ""
        )
        first = told.cuts[0]
        if bad and kind is EntryKind.PIECE:
            first = replace(first, scrapped=ScrapReason.OTHER)
        if skip and which == 7:
            first = replace(first, number=first.number + 1)
        answer = self.tell(replace(told, cuts=(first, *told.cuts[1:])))
        if first.number != told.cuts[0].number:
            assert isinstance(answer, Refusal)

    @precondition(lambda self: self.load(0) is not None)
    @rule(which=_ANY)
    def undo(self, which: int) -> None:
        load = self.load(which)
        if load is None or load.last is None:
            return
        numbers = {one.at_saw.bar.id: one.next_number for one in sheet(self.store).bars}
        undos = tuple(
            BarUndo(one.bar_id, f"{self.new('u')}-{one.bar_id}", numbers.get(one.bar_id, 1))
            for one in load.last.entries
        )
        self.tell(UndoPass(load.last.pass_id, undos))

    @precondition(lambda self: self.bar(0) is not None)
    @rule(which=_ANY)
    def undo_one(self, which: int) -> None:
        bar = self.bar(which)
        if bar is not None and bar.last is not None:
            self.tell(UndoCut(self.new("u"), bar.at_saw.bar.id, bar.next_number, bar.last.id))

    @precondition(lambda self: self.bar(0) is not None)
    @rule(which=_ANY)
    def cut_one(self, which: int) -> None:
        bar = self.bar(which)
        if bar is not None and bar.still_to_cut:
            line_id = bar.still_to_cut[0].line_id
            self.tell(LogCut(self.new("c"), bar.at_saw.bar.id, bar.next_number, line_id=line_id))

    @precondition(lambda self: self.bar(0) is not None)
    @rule(which=_ANY)
    def reject(self, which: int) -> None:
        bar = self.bar(which)
        pieces = [one for one in bar.entries if one.kind is EntryKind.PIECE] if bar is not None else []
        if pieces:
            self.tell(RejectPiece(self.new("x"), pieces[which % len(pieces)].id, ScrapReason.OTHER))

    @rule(which=_ANY, back=st.booleans())
    def take_out(self, which: int, back: bool) -> None:
        bar = self.bar(which)
        if bar is not None:
            self.tell(ReturnBar(bar.at_saw.bar.id) if back else TakeOut(bar.at_saw.bar.id))

    @precondition(lambda self: self.events > 8)
    @rule(which=_ANY, one=st.booleans())
    def finish(self, which: int, one: bool) -> None:
        load, bar = self.load(which), self.bar(which)
        if load is not None and not one:
            self.tell(FinishLoad(load.load.id))
        elif bar is not None and bar.at_saw.bar.state is BarState.LOADED:
            self.tell(FinishBar(bar.at_saw.bar.id))
        elif bar is not None:
            self.tell(PutAway(bar.at_saw.bar.id, self.new("R"), "R1"))

    @invariant()
    def nothing_is_wrong(self) -> None:
        with self.engine.connect() as connection:
            assert faults(connection) == []

    @invariant()
    def loads_are_what_they_may_be(self) -> None:
        for load in sheet(self.store).loads:
            assert 1 <= len(load.bars) <= load.load.at_once
            assert len({one.at_saw.bar.heat for one in load.bars}) == 1
            lefts = {one.at_saw.bar.left_um for one in load.bars}
            assert len(lefts) == 1, "bars of one length give one length at every pass"


Loads.TestCase.settings = settings(
    max_examples=8, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck)
)
TestLoads = Loads.TestCase
