"""Planning jobs: a task of joined groups has one row, which adds up what its groups take."""

import threading
from collections.abc import Callable

from tests.planning.test_substitutes import EFFORT, bar, catalog, line

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.shop.rack import Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.web.backstage import JobState
from kerfsmith.wiring.jobs import Jobs

__all__ = ["catalog"]


def test_joined_groups_share_a_row(catalog: Catalog) -> None:
    lines = [line("p", 1000, 4, "4142"), line("x", 700, 2, grade="4130")]
    tasks = tasks_of(lines, Rack((bar("A", 3000, 1), bar("B", 2500, 1, "4142"), bar("C", 4000, 1, "4130"))))
    done, made = threading.Event(), list[Plan]()

    def plan(on_group: Callable[[int, PlanGroup], None]) -> None:
        run = in_turn(catalog, ShopRules(), EFFORT)
        made.append(make_plan(tasks, run, plan_id="p", name="p", seed=1, on_group=on_group))
        done.set()

    jobs = Jobs(lambda: None, lambda: None)
    jobs.begin("j", (), tasks, plan)
    assert done.wait(60)
    shown = jobs.shown("j")
    assert shown is not None
    assert [(row.grade, row.pieces, row.bars, row.state) for row in shown.groups] == [
        ("4130", 2, 1, JobState.DONE),
        ("4140", 4, 2, JobState.DONE),
    ]
    assert sum(row.bars or 0 for row in shown.groups) == made[0].bars_used


def test_only_a_job_that_runs_is_stopped() -> None:
    stopped, go_on, over = list[str](), threading.Event(), threading.Event()

    def plan(_: Callable[[int, PlanGroup], None]) -> None:
        assert go_on.wait(60)

    jobs = Jobs(lambda: stopped.append("pool"), lambda: None)
    jobs.begin("j", (), (), plan)
    assert jobs.stop("j")
    assert stopped == ["pool"]
    go_on.set()
    while (shown := jobs.shown("j")) is not None and not shown.state.is_over:
        over.wait(0.01)
    assert jobs.stop("j"), "it is known still"
    assert not jobs.stop("k")
    assert stopped == ["pool"], "and stops nothing that others do"
