"""Each role tried against each verb: what a role may not do is refused, changes nothing and is in the ledger.

An operator works at the saw, a planner in the office, a lead does both and keeps people, a guest only reads.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time

import pytest
from sqlalchemy import Engine, func, select
from tests.costing.test_quote import DAY, quote
from tests.costing.test_which_saw import QUICK, SLOW, compared, steel
from tests.workflow.shop_floor import AT, BARS, ORDER, SAW, PlainHasher, first_fit, released
from tests.workflow.test_own_words import RING, TABLES

from kerfsmith.costing.rates import Rates
from kerfsmith.costing.which_saw.told import tell
from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.kept import NamedCause
from kerfsmith.faults.table import Symptom
from kerfsmith.records import floor_tables, people_tables, tables
from kerfsmith.records.store import Store
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.scheduling.problem import Problem
from kerfsmith.scheduling.result import Status, Week
from kerfsmith.shop.band_in_use import RemovalReason, ThisBand
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.factors import Decision, Measure, Scope
from kerfsmith.shop.heat import Heat
from kerfsmith.shop.inspection import InspectionKind
from kerfsmith.shop.order import Order
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.units.told import Told
from kerfsmith.workflow.accept_quote import AcceptQuote, DeclineQuote, accept_quote, decline_quote
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes, allow_substitutes
from kerfsmith.workflow.begin_shop import begin_own_shop, open_demo, set_rules
from kerfsmith.workflow.change_band import ChangeBand, RetireBand, add_band, change_band, retire_band
from kerfsmith.workflow.change_run import ChangeRun, change_run
from kerfsmith.workflow.cut_load import BarCut, CutLoad, cut_load
from kerfsmith.workflow.decide_piece import (
    AcceptDoubtful,
    AcceptPiece,
    MeasureAgain,
    accept_doubtful,
    accept_piece,
    measure_again,
)
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.finish_load import FinishLoad, finish_load
from kerfsmith.workflow.finish_run import FinishRun, finish_run
from kerfsmith.workflow.inspect_piece import InspectPiece, inspect_piece
from kerfsmith.workflow.keep_comparison import drop_comparison, keep_comparison
from kerfsmith.workflow.keep_heat import AttachCertificate, add_heat, attach_certificate
from kerfsmith.workflow.keep_people import (
    IssueToken,
    NewSecrets,
    add_person,
    change_person,
    issue_token,
    revoke_sessions,
    set_own_password,
)
from kerfsmith.workflow.keep_quote import keep_quote
from kerfsmith.workflow.keep_saw import KeepSaw, keep_saw, retire_saw
from kerfsmith.workflow.keep_section import RenameSection, drop_section, keep_section, rename_section
from kerfsmith.workflow.keep_table_file import Gone, KeepTableFile, drop_table_file, keep_table_file
from kerfsmith.workflow.learn import DecideFactor, bring_history, decide_factor, follow_log
from kerfsmith.workflow.line_up_week import LineUp, line_up_week
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.measure_bar import MeasureBar, measure_bar
from kerfsmith.workflow.move_run import MoveRun, move_run
from kerfsmith.workflow.name_grade import NameGrade, drop_grade_name, name_grade
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.pin_run import FreeRun, PinRun, free_run, pin_run
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.refuse_place import RefusePlace, refuse_place
from kerfsmith.workflow.reject_piece import RejectPiece, reject_piece
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.replan_week import Replan, replan_week
from kerfsmith.workflow.report_fault import ReportFault, SettleFault, report_fault, settle_fault
from kerfsmith.workflow.return_bar import ReturnBar, return_bar
from kerfsmith.workflow.scrap_remnant import ScrapRemnant, scrap_remnant
from kerfsmith.workflow.set_hours import set_hours
from kerfsmith.workflow.set_rates import set_rates
from kerfsmith.workflow.settle_week import Settle, accept_week, refuse_week
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw, resume_saw, stop_saw
from kerfsmith.workflow.take_order import drop_order, take_order
from kerfsmith.workflow.take_out import TakeOut, take_out
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut
from kerfsmith.workflow.undo_pass import BarUndo, UndoPass, undo_pass
from kerfsmith.workflow.week_now import Room

HASHER = PlainHasher()
PDF = b"%PDF-1.7\n%%EOF\n"
ROOM = Room((SAW,), {}, {}, datetime.combine(date(2026, 12, 1), time(6, 30)))


def no_week(problem: Problem, order: object) -> Week:
    """An engine that finds nothing."""
    return Week(Status.UNFINISHED, (), {}, (), "none", 0.0, 0, (Told("nothing was tried"),))


def kept(store: Store) -> bool:
    """Whether the sample quote is on record."""
    with store.look() as look:
        return look.quotes.quote("Q-7") is not None


Call = Callable[[Store, Person], object]
CALLS: dict[Verb, Call] = {
    Verb.TAKE_ORDER: lambda s, by: take_order(s, Order("o2", "More", ()), by=by, at=AT, source="x"),
    Verb.DROP_ORDER: lambda s, by: drop_order(s, "o1", by=by, at=AT),
    Verb.ALLOW_SUBSTITUTES: lambda s, by: allow_substitutes(
        s, AllowSubstitutes("o1", "o1:1", ("4142",)), TABLES, by=by, at=AT
    ),
    Verb.STOCK_RACK: lambda s, by: stock_rack(s, BARS[:1], by=by, at=AT, source="x"),
    Verb.PLAN_CUTS: lambda s, by: plan_cuts(
        s, (), lambda _: (), order_ids=(), plan_id="p9", name="x", seed=1, by=by, at=AT
    ),
    Verb.LINE_UP: lambda s, by: line_up_week(
        s, LineUp("w1"), room=ROOM, lay=no_week, options=(), by=by, at=AT
    ),
    Verb.REPLAN_WEEK: lambda s, by: replan_week(s, Replan("w2"), room=ROOM, lay=no_week, by=by, at=AT),
    Verb.MOVE_RUN: lambda s, by: move_run(s, MoveRun("w3", "g", "north", 0), room=ROOM, by=by, at=AT),
    Verb.PIN_RUN: lambda s, by: pin_run(s, PinRun("w4", "g"), by=by, at=AT),
    Verb.FREE_RUN: lambda s, by: free_run(s, FreeRun("w5", "g"), by=by, at=AT),
    Verb.REFUSE_PLACE: lambda s, by: refuse_place(
        s, RefusePlace("w6", "g", "north"), room=ROOM, lay=no_week, by=by, at=AT
    ),
    Verb.ACCEPT_WEEK: lambda s, by: accept_week(s, Settle("w1"), by=by, at=AT),
    Verb.REFUSE_WEEK: lambda s, by: refuse_week(s, Settle("w1"), by=by, at=AT),
    Verb.SET_HOURS: lambda s, by: set_hours(s, ShopHours(), by=by, at=AT),
    Verb.OPEN_DEMO: lambda s, by: open_demo(s, ORDER, BARS, ShopRules(), by=by, at=AT),
    Verb.BEGIN_OWN_SHOP: lambda s, by: begin_own_shop(s, ShopRules(), by=by, at=AT),
    Verb.SET_RULES: lambda s, by: set_rules(s, ShopRules(name="Ours"), by=by, at=AT),
    Verb.SET_RATES: lambda s, by: set_rates(s, Rates(), by=by, at=AT),
    Verb.KEEP_QUOTE: lambda s, by: keep_quote(s, quote(), by=by, at=AT, renews="Q-7" if kept(s) else ""),
    Verb.DECLINE_QUOTE: lambda s, by: decline_quote(s, DeclineQuote("Q-7", 1), by=by, at=AT),
    Verb.ACCEPT_QUOTE: lambda s, by: accept_quote(s, AcceptQuote("Q-7", 1, "o8", DAY), by=by, at=AT),
    Verb.KEEP_COMPARISON: lambda s, by: keep_comparison(
        s,
        tell(compared([steel("Arm", 80, 800_000, 4)], SLOW, QUICK)),
        comparison_id="w",
        customer="",
        by=by,
        at=AT,
    ),
    Verb.DROP_COMPARISON: lambda s, by: drop_comparison(s, "w", by=by, at=AT),
    Verb.KEEP_SAW: lambda s, by: keep_saw(s, KeepSaw(replace(SAW, id="n", name="N")), (SAW,), by=by, at=AT),
    Verb.RETIRE_SAW: lambda s, by: retire_saw(s, "n", (SAW,), by=by, at=AT),
    Verb.KEEP_SECTION: lambda s, by: keep_section(s, RING, "a.dxf", TABLES, by=by, at=AT),
    Verb.RENAME_SECTION: lambda s, by: rename_section(
        s, RenameSection("Sleeve 9", "Sleeve 10"), TABLES, by=by, at=AT
    ),
    Verb.DROP_SECTION: lambda s, by: drop_section(s, "Sleeve 10", by=by, at=AT),
    Verb.NAME_GRADE: lambda s, by: name_grade(s, NameGrade("Mild 5", "S235JR"), TABLES, by=by, at=AT),
    Verb.DROP_GRADE_NAME: lambda s, by: drop_grade_name(s, "Mild 5", by=by, at=AT),
    Verb.KEEP_TABLE_FILE: lambda s, by: keep_table_file(
        s, KeepTableFile("ours.toml", "", ("WX42",)), Gone(), by=by, at=AT
    ),
    Verb.DROP_TABLE_FILE: lambda s, by: drop_table_file(s, "ours.toml", Gone(), by=by, at=AT),
    Verb.ADD_HEAT: lambda s, by: add_heat(s, Heat("H900"), by=by, at=AT),
    Verb.ATTACH_CERTIFICATE: lambda s, by: attach_certificate(
        s, AttachCertificate("c1", "H100", "a.pdf"), PDF, by=by, at=AT
    ),
    Verb.ADD_BAND: lambda s, by: add_band(s, ThisBand("S-9", "x"), by=by, at=AT),
    Verb.CHANGE_BAND: lambda s, by: change_band(s, ChangeBand("north", "m1", "S-1"), by=by, at=AT),
    Verb.RETIRE_BAND: lambda s, by: retire_band(s, RetireBand("S-1", RemovalReason.WORN), by=by, at=AT),
    Verb.RELEASE_RUN: lambda s, by: release_run(s, ReleaseRun("r2", "p1", "g"), saw=SAW, by=by, at=AT),
    Verb.CHANGE_RUN: lambda s, by: change_run(s, ChangeRun("r1"), first_fit, by=by, at=AT),
    Verb.FINISH_RUN: lambda s, by: finish_run(s, FinishRun("r1", "enough"), by=by, at=AT),
    Verb.LOAD_BAR: lambda s, by: load_bar(s, LoadBar("b1", "r1", "A-1"), by=by, at=AT),
    Verb.RETURN_BAR: lambda s, by: return_bar(s, ReturnBar("b1"), by=by, at=AT),
    Verb.LOG_CUT: lambda s, by: log_cut(s, LogCut("c1", "b1", 1, EntryKind.FACING), by=by, at=AT),
    Verb.UNDO_CUT: lambda s, by: undo_cut(s, UndoCut("u1", "b1", 2, "c1"), by=by, at=AT),
    Verb.CUT_LOAD: lambda s, by: cut_load(s, CutLoad("p1", "l1", (BarCut("b1", "c9", 1),)), by=by, at=AT),
    Verb.UNDO_PASS: lambda s, by: undo_pass(s, UndoPass("p1", (BarUndo("b1", "u9", 2),)), by=by, at=AT),
    Verb.TAKE_OUT: lambda s, by: take_out(s, TakeOut("b1"), by=by, at=AT),
    Verb.FINISH_LOAD: lambda s, by: finish_load(s, FinishLoad("l1"), by=by, at=AT),
    Verb.REJECT_PIECE: lambda s, by: reject_piece(
        s, RejectPiece("x1", "c1", ScrapReason.OTHER), by=by, at=AT
    ),
    Verb.INSPECT_PIECE: lambda s, by: inspect_piece(
        s, InspectPiece("i1", "c1", InspectionKind.EXTRA, 1), by=by, at=AT
    ),
    Verb.MEASURE_AGAIN: lambda s, by: measure_again(s, MeasureAgain("d1", "c1", 1), by=by, at=AT),
    Verb.ACCEPT_PIECE: lambda s, by: accept_piece(s, AcceptPiece("d1", "c1", "will do"), by=by, at=AT),
    Verb.ACCEPT_DOUBTFUL: lambda s, by: accept_doubtful(
        s, AcceptDoubtful("d1", "r1", "will do"), by=by, at=AT
    ),
    Verb.FINISH_BAR: lambda s, by: finish_bar(s, FinishBar("b1"), by=by, at=AT),
    Verb.PUT_AWAY: lambda s, by: put_away(s, PutAway("b1", "R-1", "R1"), by=by, at=AT),
    Verb.SCRAP_REMNANT: lambda s, by: scrap_remnant(s, ScrapRemnant("b1"), by=by, at=AT),
    Verb.MEASURE_BAR: lambda s, by: measure_bar(s, MeasureBar("b1", 1), by=by, at=AT),
    Verb.DECIDE_FACTOR: lambda s, by: decide_factor(
        s, DecideFactor(Measure.CUT_TIME, Scope(), Decision.FORGET), by=by, at=AT
    ),
    Verb.FOLLOW_LOG: lambda s, by: follow_log(s, by=by, at=AT),
    Verb.BRING_HISTORY: lambda s, by: bring_history(s, (), (), source="test", by=by, at=AT),
    Verb.REPORT_FAULT: lambda s, by: report_fault(
        s,
        ReportFault(
            "F-1", "north", Symptom.SLOW, "4140", "round 50", Seen(), (NamedCause("worn band", 1.0, (), ()),)
        ),
        by=by,
        at=AT,
    ),
    Verb.SETTLE_FAULT: lambda s, by: settle_fault(s, SettleFault("F-1", "worn band"), by=by, at=AT),
    Verb.STOP_SAW: lambda s, by: stop_saw(s, StopSaw("s1", "north", StopReason.FAULT), by=by, at=AT),
    Verb.RESUME_SAW: lambda s, by: resume_saw(s, ResumeSaw("north"), by=by, at=AT),
    Verb.ADD_PERSON: lambda s, by: add_person(
        s, HASHER, Person("Ann", Role.GUEST), NewSecrets(), by=by, at=AT
    ),
    Verb.CHANGE_PERSON: lambda s, by: change_person(s, HASHER, "Ann", role=Role.LEAD, by=by, at=AT),
    Verb.SET_OWN_PASSWORD: lambda s, by: set_own_password(
        s, HASHER, old="x" * 10, new="y" * 10, by=by, at=AT
    ),
    Verb.ISSUE_TOKEN: lambda s, by: issue_token(
        s, IssueToken("Ann", Role.GUEST, "machine", 30), secret="z" * 40, by=by, at=AT
    ),
    Verb.REVOKE_SESSIONS: lambda s, by: revoke_sessions(s, "Ann", by=by, at=AT),
}
OFFICE = {
    Verb.DECIDE_FACTOR,
    Verb.FOLLOW_LOG,
    Verb.BRING_HISTORY,
    Verb.TAKE_ORDER,
    Verb.DROP_ORDER,
    Verb.ALLOW_SUBSTITUTES,
    Verb.PLAN_CUTS,
    Verb.RELEASE_RUN,
    Verb.KEEP_QUOTE,
    Verb.ACCEPT_QUOTE,
    Verb.DECLINE_QUOTE,
    Verb.KEEP_COMPARISON,
    Verb.DROP_COMPARISON,
    Verb.LINE_UP,
    Verb.REPLAN_WEEK,
    Verb.MOVE_RUN,
    Verb.PIN_RUN,
    Verb.FREE_RUN,
    Verb.REFUSE_PLACE,
    Verb.ACCEPT_WEEK,
    Verb.REFUSE_WEEK,
    Verb.SET_HOURS,
    Verb.KEEP_SECTION,
    Verb.RENAME_SECTION,
    Verb.DROP_SECTION,
    Verb.NAME_GRADE,
    Verb.DROP_GRADE_NAME,
}
AT_THE_SAW = {
    Verb.LOAD_BAR,
    Verb.RETURN_BAR,
    Verb.MEASURE_BAR,
    Verb.LOG_CUT,
    Verb.UNDO_CUT,
    Verb.CUT_LOAD,
    Verb.UNDO_PASS,
    Verb.TAKE_OUT,
    Verb.FINISH_LOAD,
    Verb.FINISH_BAR,
    Verb.PUT_AWAY,
    Verb.SCRAP_REMNANT,
    Verb.FINISH_RUN,
    Verb.SETTLE_FAULT,
    Verb.STOP_SAW,
    Verb.RESUME_SAW,
    Verb.CHANGE_BAND,
    Verb.RETIRE_BAND,
}
BOTH = {
    Verb.STOCK_RACK,
    Verb.ADD_HEAT,
    Verb.ATTACH_CERTIFICATE,
    Verb.ADD_BAND,
    Verb.CHANGE_RUN,
    Verb.REJECT_PIECE,
    Verb.REPORT_FAULT,
    Verb.INSPECT_PIECE,
    Verb.MEASURE_AGAIN,
    Verb.SET_OWN_PASSWORD,
}
ALLOWED = {
    Role.GUEST: set[Verb](),
    Role.PLANNER: OFFICE | BOTH,
    Role.OPERATOR: AT_THE_SAW | BOTH,
    Role.LEAD: set(CALLS),
}
SIGNING = {Verb.SIGN_IN, Verb.OPEN_PANEL, Verb.SIGN_OUT}


def test_every_verb_is_tried() -> None:
    assert set(CALLS) | SIGNING == set(Verb)


@pytest.mark.parametrize("role", Role)
def test_each_role_against_each_verb(store: Store, engine: Engine, role: Role) -> None:
    released(store)
    somebody = Person(f"a {role}", role)
    for verb, call in CALLS.items():
        before = rows(engine)
        answer = call(store, somebody)
        refused = isinstance(answer, Refusal) and answer.code == "role"
        assert refused == (verb not in ALLOWED[role]), f"{role}: {verb}: {answer}"
        newest = store.ledger(1)[0]
        assert (newest.verb, newest.by) == (verb, somebody.name)
        if refused:
            assert f"{role} and may not {verb}" in newest.refused
            assert rows(engine) == before, f"{role}: {verb} changed something"


def rows(engine: Engine) -> dict[str, int]:
    """How many rows each table but the ledger has."""
    assert floor_tables.cuts.metadata is people_tables.people.metadata
    others = [table for table in tables.metadata.sorted_tables if table.name != "ledger"]
    with engine.connect() as connection:
        return {
            table.name: connection.scalar(select(func.count()).select_from(table)) or 0 for table in others
        }
