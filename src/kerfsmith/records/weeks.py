"""Weeks, hours and other saws for a plan's groups, in the tables."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records import tables
from kerfsmith.records.codec import from_document, to_document
from kerfsmith.records.locks import hold
from kerfsmith.records.rows import planned_bar_row, read_planned_bar
from kerfsmith.records.week_tables import plan_options, weeks
from kerfsmith.scheduling.hours import ShopHours
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.workflow.week_ports import WeekState

HOURS = "hours"
"""Name of the shop's hours among its state."""


class WeekRead:
    """`workflow.week_ports.WeekReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def kept(self) -> KeptWeek | None:
        """The week in force."""
        return self._in_state(WeekState.KEPT)

    def proposed(self) -> KeptWeek | None:
        """The week that is put forward."""
        return self._in_state(WeekState.PROPOSED)

    def _in_state(self, state: WeekState) -> KeptWeek | None:
        document = self._run.scalar(select(weeks.c.document).where(weeks.c.state == state.value))
        return None if document is None else from_document(document, KeptWeek)

    def hours(self) -> ShopHours:
        """The hours of saws and people, the usual ones where none were kept."""
        state = tables.shop_state
        document = self._run.scalar(select(state.c.value).where(state.c.name == HOURS))
        return ShopHours() if document is None else from_document(document, ShopHours)

    def options(self, plan_id: str) -> tuple[PlanGroup, ...]:
        """Groups of a plan as they would be cut on other saws that fit."""
        wanted = select(plan_options.c.document).where(plan_options.c.plan_id == plan_id)
        ordered = wanted.order_by(plan_options.c.group_id, plan_options.c.saw)
        return tuple(from_document(document, PlanGroup) for document in self._run.scalars(ordered))


class WeekWrite(WeekRead):
    """`workflow.week_ports.WeekBook` over the connection of one open change."""

    def add(self, week: KeptWeek, state: WeekState, *, by: str, at: datetime) -> None:
        """Put a week on record."""
        hold(self._run, "week", "")
        settled: Mapping[str, Any] = (
            {} if state is WeekState.PROPOSED else {"settled_at": at, "settled_by": by}
        )
        self._run.execute(
            insert(weeks).values(
                id=week.id,
                plan_id=week.plan_id,
                base_id=week.base,
                state=state.value,
                why=week.why,
                document=to_document(week, KeptWeek),
                made_at=at,
                made_by=by,
                **settled,
            )
        )

    def settle(self, week_id: str, state: WeekState, *, by: str, at: datetime) -> None:
        """Say what became of a week."""
        hold(self._run, "week", "")
        settled = {"state": state.value, "settled_at": at, "settled_by": by}
        self._run.execute(update(weeks).where(weeks.c.id == week_id).values(**settled))

    def set_hours(self, hours: ShopHours) -> None:
        """Keep the hours of saws and people."""
        state, value = tables.shop_state, to_document(hours, ShopHours)
        if not self._run.execute(update(state).where(state.c.name == HOURS).values(value=value)).rowcount:
            self._run.execute(insert(state).values(name=HOURS, value=value))

    def keep_options(self, plan_id: str, groups: Sequence[PlanGroup]) -> None:
        """Keep how groups of a plan would be cut on other saws."""
        self._run.execute(delete(plan_options).where(plan_options.c.plan_id == plan_id))
        for group in groups:
            self._put_option(plan_id, group)

    def swap(self, plan_id: str, group: PlanGroup) -> None:
        """Let an option take the place of its group in the plan; what stood there becomes an option."""
        groups, bars = tables.plan_groups, tables.plan_bars
        here = (groups.c.plan_id == plan_id) & (groups.c.id == group.id)
        its_bars = (bars.c.plan_id == plan_id) & (bars.c.group_id == group.id)
        former = from_document(self._run.scalars(select(groups.c.document).where(here)).one(), PlanGroup)
        rows = self._run.execute(select(bars).where(its_bars).order_by(bars.c.position))
        former = replace(former, bars=tuple(read_planned_bar(row) for row in rows))
        for saw in (former.saw, group.saw):
            self._run.execute(
                delete(plan_options).where(
                    plan_options.c.plan_id == plan_id,
                    plan_options.c.group_id == group.id,
                    plan_options.c.saw == saw,
                )
            )
        self._put_option(plan_id, former)
        self._run.execute(delete(bars).where(its_bars))
        self._run.execute(
            update(groups)
            .where(here)
            .values(
                saw=group.saw,
                status=group.status.value,
                cost=group.cost,
                lower_bound=group.lower_bound,
                document=to_document(replace(group, bars=()), PlanGroup),
            )
        )
        rows_now = [planned_bar_row(plan_id, group.id, place, bar) for place, bar in enumerate(group.bars)]
        self._run.execute(insert(bars), rows_now)

    def _put_option(self, plan_id: str, group: PlanGroup) -> None:
        document = to_document(group, PlanGroup)
        self._run.execute(
            insert(plan_options).values(plan_id=plan_id, group_id=group.id, saw=group.saw, document=document)
        )
