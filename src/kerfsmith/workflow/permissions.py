"""Who may do what: one table of verbs and roles, through which every verb passes."""

from enum import StrEnum

from kerfsmith.shop.person import Role


class Verb(StrEnum):
    """Everything that changes the records, as the ledger names it."""

    TAKE_ORDER = "take order"
    DROP_ORDER = "drop order"
    ALLOW_SUBSTITUTES = "allow substitutes"
    STOCK_RACK = "stock rack"
    PLAN_CUTS = "plan cuts"
    LINE_UP = "line up the week"
    REPLAN_WEEK = "replan the week"
    MOVE_RUN = "move run"
    PIN_RUN = "pin run"
    FREE_RUN = "set run free"
    REFUSE_PLACE = "refuse a run's saw"
    ACCEPT_WEEK = "accept week"
    REFUSE_WEEK = "refuse week"
    SET_HOURS = "set hours"
    OPEN_DEMO = "open demo"
    BEGIN_OWN_SHOP = "begin own shop"
    SET_RULES = "set rules"
    SET_RATES = "set rates"
    KEEP_QUOTE = "keep quote"
    ACCEPT_QUOTE = "accept quote"
    DECLINE_QUOTE = "decline quote"
    KEEP_COMPARISON = "keep comparison"
    DROP_COMPARISON = "drop comparison"
    KEEP_SAW = "keep saw"
    RETIRE_SAW = "retire saw"
    KEEP_SECTION = "keep section"
    RENAME_SECTION = "rename section"
    DROP_SECTION = "drop section"
    NAME_GRADE = "name grade"
    DROP_GRADE_NAME = "drop grade name"
    KEEP_TABLE_FILE = "keep table file"
    DROP_TABLE_FILE = "drop table file"
    ADD_HEAT = "add heat"
    ATTACH_CERTIFICATE = "attach certificate"
    ADD_BAND = "add band"
    CHANGE_BAND = "change band"
    RETIRE_BAND = "retire band"
    RELEASE_RUN = "release run"
    CHANGE_RUN = "change run"
    FINISH_RUN = "finish run"
    LOAD_BAR = "load bar"
    RETURN_BAR = "return bar"
    LOG_CUT = "log cut"
    UNDO_CUT = "undo cut"
    CUT_LOAD = "cut load"
    UNDO_PASS = "undo load cut"
    TAKE_OUT = "take out bar"
    FINISH_LOAD = "finish load"
    REJECT_PIECE = "reject piece"
    INSPECT_PIECE = "inspect piece"
    MEASURE_AGAIN = "measure again"
    ACCEPT_PIECE = "accept piece"
    ACCEPT_DOUBTFUL = "accept doubtful"
    FINISH_BAR = "finish bar"
    PUT_AWAY = "put away"
    SCRAP_REMNANT = "scrap remnant"
    MEASURE_BAR = "measure bar"
    DECIDE_FACTOR = "decide factor"
    FOLLOW_LOG = "follow log"
    BRING_HISTORY = "bring history"
    REPORT_FAULT = "report fault"
    SETTLE_FAULT = "settle fault"
    STOP_SAW = "stop saw"
    RESUME_SAW = "resume saw"
    ADD_PERSON = "add person"
    CHANGE_PERSON = "change person"
    SET_OWN_PASSWORD = "set own password"
    ISSUE_TOKEN = "issue token"
    REVOKE_SESSIONS = "revoke sessions"
    SIGN_IN = "sign in"
    OPEN_PANEL = "open panel"
    SIGN_OUT = "sign out"


_LEAD = frozenset({Role.LEAD})
_OFFICE = frozenset({Role.PLANNER, Role.LEAD})
_SAW = frozenset({Role.OPERATOR, Role.LEAD})
_ALL = frozenset(Role)
_STAFF = frozenset({Role.OPERATOR, Role.PLANNER, Role.LEAD})

MAY: dict[Verb, frozenset[Role]] = {
    Verb.TAKE_ORDER: _OFFICE,
    Verb.DROP_ORDER: _OFFICE,
    Verb.ALLOW_SUBSTITUTES: _OFFICE,
    Verb.STOCK_RACK: _STAFF,
    Verb.PLAN_CUTS: _OFFICE,
    Verb.LINE_UP: _OFFICE,
    Verb.REPLAN_WEEK: _OFFICE,
    Verb.MOVE_RUN: _OFFICE,
    Verb.PIN_RUN: _OFFICE,
    Verb.FREE_RUN: _OFFICE,
    Verb.REFUSE_PLACE: _OFFICE,
    Verb.ACCEPT_WEEK: _OFFICE,
    Verb.REFUSE_WEEK: _OFFICE,
    Verb.SET_HOURS: _OFFICE,
    Verb.OPEN_DEMO: _LEAD,
    Verb.BEGIN_OWN_SHOP: _LEAD,
    Verb.SET_RULES: _LEAD,
    Verb.SET_RATES: _LEAD,
    Verb.KEEP_QUOTE: _OFFICE,
    Verb.ACCEPT_QUOTE: _OFFICE,
    Verb.DECLINE_QUOTE: _OFFICE,
    Verb.KEEP_COMPARISON: _OFFICE,
    Verb.DROP_COMPARISON: _OFFICE,
    Verb.KEEP_SAW: _LEAD,
    Verb.RETIRE_SAW: _LEAD,
    Verb.KEEP_SECTION: _OFFICE,
    Verb.RENAME_SECTION: _OFFICE,
    Verb.DROP_SECTION: _OFFICE,
    Verb.NAME_GRADE: _OFFICE,
    Verb.DROP_GRADE_NAME: _OFFICE,
    Verb.KEEP_TABLE_FILE: _LEAD,
    Verb.DROP_TABLE_FILE: _LEAD,
    Verb.ADD_HEAT: _STAFF,
    Verb.ATTACH_CERTIFICATE: _STAFF,
    Verb.ADD_BAND: _STAFF,
    Verb.CHANGE_BAND: _SAW,
    Verb.RETIRE_BAND: _SAW,
    Verb.RELEASE_RUN: _OFFICE,
    Verb.CHANGE_RUN: _STAFF,
    Verb.FINISH_RUN: _SAW,
    Verb.LOAD_BAR: _SAW,
    Verb.RETURN_BAR: _SAW,
    Verb.LOG_CUT: _SAW,
    Verb.UNDO_CUT: _SAW,
    Verb.CUT_LOAD: _SAW,
    Verb.UNDO_PASS: _SAW,
    Verb.TAKE_OUT: _SAW,
    Verb.FINISH_LOAD: _SAW,
    Verb.REJECT_PIECE: _STAFF,
    Verb.INSPECT_PIECE: _STAFF,
    Verb.MEASURE_AGAIN: _STAFF,
    Verb.ACCEPT_PIECE: _LEAD,
    Verb.ACCEPT_DOUBTFUL: _LEAD,
    Verb.FINISH_BAR: _SAW,
    Verb.PUT_AWAY: _SAW,
    Verb.SCRAP_REMNANT: _SAW,
    Verb.MEASURE_BAR: _SAW,
    Verb.DECIDE_FACTOR: _OFFICE,
    Verb.FOLLOW_LOG: _OFFICE,
    Verb.BRING_HISTORY: _OFFICE,
    Verb.REPORT_FAULT: _STAFF,
    Verb.SETTLE_FAULT: _SAW,
    Verb.STOP_SAW: _SAW,
    Verb.RESUME_SAW: _SAW,
    Verb.ADD_PERSON: _LEAD,
    Verb.CHANGE_PERSON: _LEAD,
    Verb.SET_OWN_PASSWORD: _STAFF,
    Verb.ISSUE_TOKEN: _LEAD,
    Verb.REVOKE_SESSIONS: _LEAD,
    Verb.SIGN_IN: _ALL,
    Verb.OPEN_PANEL: _ALL,
    Verb.SIGN_OUT: _ALL,
}
"""The roles that may do each verb. A guest only reads: he may sign in and out, no more."""


def may(role: Role, verb: Verb) -> bool:
    """Whether a person of that role may do this."""
    return role in MAY[verb]
