"""What stands behind the pages of the week: records, catalog, engines and the shop's clock."""

import secrets
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Protocol

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.nesting.stop import Watch
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.planning.tasks import GroupTask, task_of
from kerfsmith.scheduling.calendar import Calendar, Window
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.scheduling.problem import NO_BAND, Load, Option, Problem, Run, Saw
from kerfsmith.scheduling.result import Week
from kerfsmith.scheduling.solve import CHANGED_WEEK, WHOLE_WEEK, Effort, line_up
from kerfsmith.shop.person import HOUSE, Person
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import sentence
from kerfsmith.web.week_stage import WeekJob, WeekOnFloor
from kerfsmith.wiring.own_files import OwnFiles
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.wiring.week_jobs import Make, Making, WeekJobs
from kerfsmith.workflow.line_up_week import LineUp, line_up_week
from kerfsmith.workflow.move_run import MoveRun, move_run
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.pin_run import FreeRun, PinRun, Wishes, free_run, pin_run
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.refuse_place import RefusePlace, refuse_place
from kerfsmith.workflow.replan_week import Replan, replan_week
from kerfsmith.workflow.set_hours import set_hours
from kerfsmith.workflow.settle_week import Settle, Settled, accept_week, refuse_week
from kerfsmith.workflow.week_changed import what_changed
from kerfsmith.workflow.week_making import Order, WeekMade
from kerfsmith.workflow.week_now import Room
from kerfsmith.workflow.week_ports import LayWeek

SECONDS_A_WEEK = 30.0
SECONDS_A_CHANGE = 10.0
"""Longest searches by the clock, for a whole week and for a changed one.

Each ends by its counted effort in a fifth of that, so that a busy machine finds the same week.
"""
SECONDS_AN_OPTION = 2.0
"""Longest search for a group's bars on another saw."""
SEED = 1


class PlansOnSaw(Protocol):
    """The part of the planning pool that the week asks."""

    def plan_on_saw(
        self,
        task: GroupTask,
        rules: ShopRules,
        saw_id: str,
        *,
        seconds: float,
        seed: int,
        saws: tuple[SawSheet, ...] | None = None,
        files: OwnFiles = (),
    ) -> PlanGroup:
        """One group planned for one saw alone, and waited for."""


def shop_clock() -> datetime:
    """The machine's clock as it hangs on the shop's wall."""
    return datetime.now().astimezone().replace(tzinfo=None)


class ShopWeekStage:
    """`web.week_stage.WeekStage` over one shop's records."""

    def __init__(
        self,
        records: Records,
        catalog: Catalog,
        pool: PlansOnSaw,
        clock: Callable[[], datetime] = shop_clock,
    ) -> None:
        self._records, self._pool, self._clock = records, pool, clock
        self._tables = ShopTables(records, catalog)
        self._jobs = WeekJobs()

    def warm_up(self) -> None:
        """Load the compiled kernels beside what else goes on, so that nobody waits for them."""
        threading.Thread(target=load_kernels, name="week-kernels", daemon=True).start()

    def open_demo(self) -> None:
        """A finished week for the demo, so that a newcomer sees the end before the beginning."""
        made = self.line_up_now(Making("demo"), by=HOUSE)
        if isinstance(made, WeekMade):
            self.accept(made.week_id, by=HOUSE)

    def week(self) -> WeekOnFloor:
        """The weeks, hours and standing saws at one moment."""
        plan, saws = self._records.latest_plan(), self._tables.now().saws
        with self._records.look() as look:
            stops = [look.floor.open_stop(saw.id) for saw in saws]
            kept, proposed = look.weeks.kept(), look.weeks.proposed()
            return WeekOnFloor(
                plan=plan,
                kept=kept,
                proposed=proposed,
                hours=look.weeks.hours(),
                saws=saws,
                standing=tuple(stop for stop in stops if stop is not None),
                now=self._clock(),
                job=self._jobs.running(),
                stale=what_changed(look, plan, kept, self._clock()) if kept is not None else (),
            )

    def line_up(self, *, by: Person) -> str | Refusal:
        """Begin to line the plan up."""
        return self._begin(Verb.LINE_UP, by, lambda job: self.line_up_now(job, by=by))

    def line_up_now(self, job: Making, *, by: Person) -> WeekMade | Refusal:
        """Line the plan up and wait for it: other saws for each group first, then the week."""
        plan = self._records.latest_plan()
        wanted = plan is not None and may(by.role, Verb.LINE_UP)
        options = tuple(self._options(plan, job)) if wanted and plan is not None else ()
        return line_up_week(
            self._records,
            LineUp(secrets.token_hex(8)),
            room=self._room(),
            lay=_laying(job, SECONDS_A_WEEK, WHOLE_WEEK),
            options=options,
            by=by,
            at=_now(),
        )

    def replan(self, *, most_moves: int | None, back: Mapping[str, datetime], by: Person) -> str | Refusal:
        """Begin to make the week anew as things stand."""

        def make(job: Making) -> WeekMade | Refusal:
            told = Replan(secrets.token_hex(8), most_moves)
            options = self._options_of_new_plan(job)
            lay = _laying(job, SECONDS_A_CHANGE, CHANGED_WEEK)
            room = self._room(back)
            return replan_week(self._records, told, room=room, lay=lay, options=options, by=by, at=_now())

        return self._begin(Verb.REPLAN_WEEK, by, make)

    def refuse_place(self, run: str, saw: str, *, by: Person) -> str | Refusal:
        """Begin to find a run another saw."""

        def make(job: Making) -> WeekMade | Refusal:
            told = RefusePlace(secrets.token_hex(8), run, saw)
            lay = _laying(job, SECONDS_A_CHANGE, CHANGED_WEEK)
            return refuse_place(self._records, told, room=self._room(), lay=lay, by=by, at=_now())

        return self._begin(Verb.REFUSE_PLACE, by, make)

    def _begin(self, verb: Verb, by: Person, make: Make) -> str | Refusal:
        if not may(by.role, verb):
            # The verb itself refuses, at once, and writes it in the ledger.
            answer = make(Making("refused"))
            assert isinstance(answer, Refusal), "who may not gets no week"
            return answer
        return self._jobs.begin(secrets.token_urlsafe(9), make)

    def move(self, run: str, saw: str, place: int, *, by: Person) -> WeekMade | Refusal:
        """Put a run in another place."""
        told = MoveRun(secrets.token_hex(8), run, saw, place)
        return move_run(self._records, told, room=self._room(), by=by, at=_now())

    def pin(self, run: str, *, at_its_time: bool, by: Person) -> Wishes | Refusal:
        """Pin a run where it stands."""
        return pin_run(self._records, PinRun(secrets.token_hex(8), run, at_its_time), by=by, at=_now())

    def free(self, run: str, *, by: Person) -> Wishes | Refusal:
        """Set a run free."""
        return free_run(self._records, FreeRun(secrets.token_hex(8), run), by=by, at=_now())

    def accept(self, week_id: str, *, by: Person) -> Settled | Refusal:
        """Put the proposed week in force."""
        return accept_week(self._records, Settle(week_id), by=by, at=_now())

    def refuse(self, week_id: str, *, by: Person) -> Settled | Refusal:
        """Turn the proposed week down."""
        return refuse_week(self._records, Settle(week_id), by=by, at=_now())

    def set_hours(self, hours: ShopHours, *, by: Person) -> ShopHours | Refusal:
        """Keep the hours of saws and people."""
        return set_hours(self._records, hours, by=by, at=_now())

    def job(self, job_id: str) -> WeekJob | None:
        """A week in the making."""
        return self._jobs.shown(job_id)

    def stop(self, job_id: str) -> bool:
        """Ask it to end with the best it has."""
        return self._jobs.stop(job_id)

    def _room(self, back: Mapping[str, datetime] = MappingProxyType({})) -> Room:
        tables = self._tables.now()
        return Room(
            tables.saws,
            {band.id: band for band in tables.bands},
            {grade.name: grade.hazards for grade in tables.grades},
            self._clock(),
            back,
        )

    def _options_of_new_plan(self, job: Making) -> tuple[PlanGroup, ...] | None:
        """Other saws for the groups of a plan that was never lined up; None where they are on record."""
        plan = self._records.latest_plan()
        with self._records.look() as look:
            kept = look.weeks.kept()
            known = plan is None or (kept is not None and kept.plan_id == plan.id)
            known = known or bool(plan is not None and look.weeks.options(plan.id))
        return None if known or plan is None else tuple(self._options(plan, job))

    def _options(self, plan: Plan, job: Making) -> Iterator[PlanGroup]:
        """Every group as the other saws that fit would cut it, as far as there are bars for it."""
        lines = tuple(line for order in self._records.orders() for line in order.lines)
        with self._records.look() as look:
            rack = Rack(look.floor.free_bars())
        tasks = {group.id: task_of(group, lines, rack) for group in plan.groups}
        wanted = [
            (group, task, tried.saw)
            for group in plan.groups
            for tried in group.tried
            if group.bars and (task := tasks[group.id]) and tried.fits and tried.saw != group.saw
        ]
        rules, saws, files = self._records.rules(), self._tables.now().saws, self._tables.files()
        there = {saw.id for saw in saws}
        wanted = [asked for asked in wanted if asked[2] in there]

        def one(asked: tuple[PlanGroup, GroupTask, str]) -> PlanGroup | None:
            if job.wish_to_stop.is_set():
                return None
            group, task, saw = asked
            found = self._pool.plan_on_saw(
                task, rules, saw, seconds=SECONDS_AN_OPTION, seed=SEED, saws=saws, files=files
            )
            # The book may have changed since the plan was made; then that saw is not offered. Nor is one that
            # can't be loaded with the bars there are and would have others bought.
            same = found.pieces_wanted == group.pieces_wanted and found.pieces_planned == group.pieces_planned
            same = same and found.bars_to_buy <= group.bars_to_buy
            return found if found.bars and same else None

        with ThreadPoolExecutor(max_workers=2) as waiting:
            for done, found in enumerate(waiting.map(one, wanted), start=1):
                job.tell(sentence("other saws weighed: {done} of {all}", done=done, all=len(wanted)))
                if found is not None:
                    yield found


def _laying(job: Making, seconds: float, effort: Effort) -> LayWeek:
    def lay(problem: Problem, start: Order | None) -> Week:
        # Loading what is compiled takes seconds the first time, which are not the search's.
        load_kernels()
        watch = job.watch(seconds)
        return line_up(problem, watch=watch, seed=SEED, effort=effort, start=start)

    return lay


def load_kernels() -> None:
    """A week of one run, so that everything compiled is at hand."""
    option = Option("saw", NO_BAND, (Load(1, 1, 1),))
    tiny = Problem((Run("run", (option,), due=10),), (Saw("saw", Calendar((Window(0, 20),))),), 20)
    line_up(tiny, watch=Watch(time.monotonic, time.monotonic(), 60.0), effort=Effort(10, 1_000, 0.0))


def _now() -> datetime:
    return datetime.now(UTC)
