"""Weeks in the records: the same value back, one in force and one put forward at most, hours kept."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest
from sqlalchemy import Engine, insert
from sqlalchemy.exc import IntegrityError
from tests.scheduling.rooms import NO_CLOCK, shop_week
from tests.workflow.shop_floor import LEAD, stocked

from kerfsmith.records.store import Store
from kerfsmith.records.week_tables import weeks
from kerfsmith.scheduling.calendar import Hours
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.hours import PlannedStop, SawHours, ShopHours
from kerfsmith.scheduling.kept import Begun, KeptWeek, Wish, Wished
from kerfsmith.scheduling.problem import Load, Wanted
from kerfsmith.scheduling.shifts import Clock, Shift
from kerfsmith.scheduling.solve import Effort, line_up
from kerfsmith.units.told import Told
from kerfsmith.workflow.ports import Change
from kerfsmith.workflow.set_hours import set_hours
from kerfsmith.workflow.week_ports import WeekState

AT = datetime(2026, 12, 1, 6, 30, tzinfo=UTC)


def a_week(week_id: str, base: str = "") -> KeptWeek:
    """A week of thirty runs with everything in it."""
    problem = shop_week(5, count=30, weeks=1)
    first = problem.runs[0]
    loads = tuple(replace(load, wanted=(Wanted(900, 2, "l1", "A"),)) for load in first.options[0].loads)
    assert all(isinstance(load, Load) for load in loads)
    told = replace(first.unattended, reason=Told("a piece of ⟨30.0 kg⟩"))
    options = (replace(first.options[0], loads=loads), *first.options[1:])
    problem = replace(problem, runs=(replace(first, options=options, unattended=told), *problem.runs[1:]))
    week = line_up(problem, watch=NO_CLOCK, effort=Effort(500, 1_000, 0.0))
    moment = datetime.combine(date(2026, 12, 1), time(6, 30))
    return KeptWeek(
        id=week_id,
        plan_id="p1",
        base=base,
        why=Told("tried"),
        clock=Clock(date(2026, 11, 30)),
        now=0,
        problem=problem,
        week=week,
        wishes=(Wish(first.id, "saw 0", Wished.TIME, moment), Wish("run 3", "saw 1", Wished.NOT_HERE)),
        left_out=(("g", Told("no bars")),),
        begun=(Begun("run 2", "saw 1", "C45 round", moment, moment + timedelta(hours=1)),),
        before=week.aims,
        standing=("saw 2",),
    )


@pytest.fixture
def planned(store: Store) -> Store:
    """Records with a plan."""
    return stocked(store)


def test_a_week_comes_back_as_it_was(planned: Store) -> None:
    week = a_week("w1")
    planned.perform(lambda change: change.weeks.add(week, WeekState.KEPT, by="Lea", at=AT))
    with planned.look() as look:
        kept = look.weeks.kept()
        assert look.weeks.proposed() is None
    assert kept == week
    assert faults(kept.problem, kept.week) == ()
    assert kept.problem.runs[0].unattended.reason.marked == "a piece of ⟨30.0 kg⟩"


@pytest.mark.parametrize("state", [WeekState.KEPT, WeekState.PROPOSED])
def test_there_is_never_a_second_one(planned: Store, state: WeekState) -> None:
    def two(change: Change) -> None:
        change.weeks.add(a_week("w1"), state, by="Lea", at=AT)
        change.weeks.add(a_week("w2"), state, by="Lea", at=AT)

    with pytest.raises(IntegrityError):
        planned.perform(two)
    with planned.look() as look:
        assert look.weeks.kept() is None
        assert look.weeks.proposed() is None


def test_a_week_is_settled_by_somebody_and_changes_another(planned: Store, engine: Engine) -> None:
    good = {
        "id": "w1",
        "plan_id": "p1",
        "base_id": "",
        "state": "kept",
        "why": "x",
        "document": {},
        "made_at": AT,
        "made_by": "Lea",
        "settled_at": AT,
        "settled_by": "Lea",
    }
    for wrong in (
        {"state": "lost"},
        {"settled_at": None, "settled_by": None},
        {"state": "proposed"},
        {"settled_by": None},
        {"base_id": "w1"},
        {"plan_id": "none"},
    ):
        with engine.begin() as connection, pytest.raises(IntegrityError):
            connection.execute(insert(weeks).values(**(good | wrong)))


def test_hours_come_back_as_they_were(store: Store) -> None:
    with store.look() as look:
        assert look.weeks.hours() == ShopHours()
    night = Shift(0, time(22), time(6), Hours.UNATTENDED, 0)
    begin = datetime.combine(date(2026, 12, 2), time(8))
    hours = ShopHours(
        saws=(SawHours("north", (Shift(0, time(6), time(14), people=2), night)),),
        stops=(PlannedStop("north", begin, begin + timedelta(hours=2), "service"),),
        away=(date(2026, 12, 25),),
        crane=None,
        due_at=time(15, 30),
    )
    assert set_hours(store, hours, by=LEAD, at=AT) == hours
    with store.look() as look:
        assert look.weeks.hours() == hours
