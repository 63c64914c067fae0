"""The week by its forms and its API: proposed, compared, accepted, refused; what has begun stays."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, time, timedelta

import pytest
from tests.web.test_every_page import read
from tests.web.week.shop import MORNING, WeekShop, busiest, several, words

from kerfsmith.catalog.reading import read_section
from kerfsmith.records.codec import from_document
from kerfsmith.records.week_tables import weeks
from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.hours import SawHours, ShopHours
from kerfsmith.scheduling.kept import KeptWeek
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.scheduling.result import Week
from kerfsmith.scheduling.shifts import Shift
from kerfsmith.scheduling.solve import as_ordered
from kerfsmith.scheduling.wanted import lines_of
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.run import Run
from kerfsmith.shop.saw_stop import StopReason
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.replan_week import Replan, replan_week
from kerfsmith.workflow.stop_saw import ResumeSaw, StopSaw, resume_saw, stop_saw
from kerfsmith.workflow.take_order import take_order


def at() -> datetime:
    return datetime.now(UTC)


def test_the_demo_opens_with_a_week_in_force(shop: WeekShop) -> None:
    week = shop.kept()
    assert {one.run for one in week.week.placements} | {group for group, _ in week.left_out} == {
        group.id
        for group in shop.store.latest_plan().groups  # type: ignore[union-attr]  # there is one
    }
    with shop.client() as browser:
        page = browser.get("/week")
        assert page.status_code == 200
        tags = read(page.text)
        assert tags.faults == []
        assert "No week does better on due dates" in words(page.text)
        runs = [attrs["data-run"] for tag, attrs in tags.tags if tag == "a" and "data-run" in attrs]
        assert sorted(str(run) for run in runs) == sorted(one.run for one in week.week.placements)


def test_every_run_has_its_own_panel_with_sound_markup(shop: WeekShop) -> None:
    with shop.client() as browser:
        for one in shop.kept().week.placements:
            page = browser.get("/week", params={"run": one.run})
            assert page.status_code == 200
            tags = read(page.text)
            assert tags.faults == []
            ids = [str(attrs["id"]) for _, attrs in tags.tags if "id" in attrs]
            assert len(ids) == len(set(ids))
            assert "Saws that take it" in page.text


def test_a_moved_run_is_put_forward_and_nothing_is_kept_until_it_is_accepted(shop: WeekShop) -> None:
    before = shop.kept()
    saw, row = busiest(before)
    with shop.client() as browser:
        answer = browser.post("/week/move", data={"run": row[-1], "saw": saw, "place": 0})
        assert answer.status_code == 303
        assert shop.kept() == before
        week = shop.proposed()
        assert week.week.sequences[saw] == (row[-1], *row[:-1])
        assert week.week.value(Aim.MOVES) == 1
        page = words(browser.get("/week").text)
        assert "A changed week is put forward" in page
        assert "Order in force, from now on" in page
        assert browser.post("/week/refuse", data={"week": week.id}).status_code == 303
        assert shop.week.week().proposed is None
        assert shop.kept() == before


def test_moves_add_up_in_one_proposal(shop: WeekShop) -> None:
    saw, row = busiest(shop.kept())
    with shop.client() as browser:
        for run in (row[-1], row[-2]):
            browser.post("/week/move", data={"run": run, "saw": saw, "place": 0})
        week = shop.proposed()
        assert week.week.sequences[saw][:2] == (row[-2], row[-1])
        assert week.base == shop.kept().id
        assert browser.post("/week/accept", data={"week": week.id}).status_code == 303
    assert shop.kept() == week


def test_a_run_goes_to_another_saw_and_the_plan_with_it(shop: WeekShop) -> None:
    week = shop.kept()
    run = several(week)
    here = week.week.of(run).saw
    there = next(option.saw for option in week.problem.run(run).options if option.saw != here)
    with shop.client() as browser:
        browser.post("/week/move", data={"run": run, "saw": there, "place": 0})
        assert shop.proposed().week.of(run).saw == there
        assert shop.store.latest_plan().group(run).saw == here  # type: ignore[union-attr]  # it is planned
        browser.post("/week/accept", data={"week": shop.proposed().id})
    group = shop.store.latest_plan().group(run)  # type: ignore[union-attr]  # it is planned
    assert group is not None
    assert group.saw == there
    with shop.store.look() as look:
        others = {(one.id, one.saw) for one in look.weeks.options("demo")}
    assert (run, here) in others
    assert (run, there) not in others


def test_a_pin_holds_when_the_week_is_made_anew(shop: WeekShop) -> None:
    week = shop.kept()
    saw, row = busiest(week)
    run = row[len(row) // 2]
    start = week.start_of(week.week.of(run))
    with shop.client() as browser:
        assert browser.post("/week/pin", data={"run": run, "time": "yes"}).status_code == 303
        pinned = shop.kept()
        assert pinned.id != week.id
        assert pinned.week == week.week
        shop.now = MORNING + timedelta(minutes=10)
        answer = browser.post("/week/replan", data={"moves": ""})
        shop.finish_job(answer.headers["location"])
        anew = shop.proposed()
        assert anew.start_of(anew.week.of(run)) == start
        assert anew.week.of(run).saw == saw
        browser.post("/week/free", data={"run": run})
        assert shop.proposed().wishes == ()


def test_a_refused_saw_is_left_and_what_it_costs_is_said(shop: WeekShop) -> None:
    week = shop.kept()
    run = several(week)
    here = week.week.of(run).saw
    with shop.client() as browser:
        answer = browser.post("/week/refuse-place", data={"run": run, "saw": here})
        assert answer.headers["location"].startswith("/week/job/")
        shop.finish_job(answer.headers["location"])
        assert shop.proposed().week.of(run).saw != here
        assert browser.get(answer.headers["location"]).headers["location"] == "/week"
        page = words(browser.get("/week").text)
        assert "put forward" in page
        assert "Difference" in page
        # What was refused is still refused in the next week.
        again = browser.post("/week/replan", data={"moves": "0"})
        shop.finish_job(again.headers["location"])
        assert shop.proposed().week.of(run).saw != here


def test_a_stop_is_seen_and_the_week_made_anew_goes_round_it(shop: WeekShop) -> None:
    saw, _ = busiest(shop.kept())
    stop_saw(shop.store, StopSaw("s1", saw, StopReason.FAULT, note="bearing"), by=HOUSE, at=at())
    back = shop.now + timedelta(hours=5)
    with shop.client() as browser:
        assert "this week doesn't know of it" in words(browser.get("/week").text).replace("&#39;", "'")
        answer = browser.post("/week/replan", data={"moves": "3", f"back-{saw}": back.isoformat()})
        shop.finish_job(answer.headers["location"])
        week = shop.proposed()
        assert all(week.start_of(one) >= back for one in week.week.on(saw))
        assert (week.week.value(Aim.MOVES) or 0) <= 3
        browser.post("/week/accept", data={"week": week.id})
        assert "this week doesn't know of it" not in words(browser.get("/week").text).replace("&#39;", "'")
        resume_saw(shop.store, ResumeSaw(saw), by=HOUSE, at=at())
        assert "runs again" in words(browser.get("/week").text)


def test_what_has_begun_stays_and_only_the_rest_is_planned(shop: WeekShop) -> None:
    week = shop.kept()
    _, row = busiest(week)
    run = next(name for name in row if week.week.of(name).loads[1:])
    released = shop.floor.release(run, by=HOUSE)
    assert isinstance(released, Run), released
    with shop.store.look() as look:
        bar = look.floor.planned(released.id)[0]
    told = LoadBar("b1", released.id, bar.planned.bar_id)
    loaded = load_bar(shop.store, told, by=HOUSE, at=MORNING.astimezone(UTC))
    assert not isinstance(loaded, Refusal), loaded
    shop.now = MORNING + timedelta(minutes=30)
    with shop.client() as browser:
        answer = browser.post("/week/replan", data={"moves": ""})
        shop.finish_job(answer.headers["location"])
        anew = shop.proposed()
        place = anew.week.of(run)
        assert anew.week.on(released.saw)[0] == place
        assert place.loads[0].crane_until == place.loads[0].start, "its bar lies in the saw"
        assert [one.run for one in anew.begun] == [run]
        refused = browser.post("/week/move", data={"run": run, "saw": released.saw, "place": 3})
        assert refused.status_code == 409
        assert "has begun" in words(refused.text)
        shown = browser.get("/week", params={"run": run}).text
        assert "It has begun; what has begun stays." in words(shown)


def test_a_new_order_comes_in_and_the_others_keep_their_place(shop: WeekShop) -> None:
    before = shop.kept()
    line = OrderLine(
        id="late:1",
        mark="URGENT",
        grade=shop.catalog.find_grade("1045").name,
        section=read_section("round 60 mm", shop.catalog, bare=None),
        length_um=200_000,
        quantity=6,
        due=MORNING.date() + timedelta(days=1),
    )
    take_order(shop.store, Order("late", "Late", (line,)), by=HOUSE, at=at(), source="test")
    shop.plan("anew")
    with shop.client() as browser:
        assert "planned anew since this week was made" in words(browser.get("/week").text)
        answer = browser.post("/week/replan", data={"moves": "0"})
        shop.finish_job(answer.headers["location"])
        week = shop.proposed()
        new = [one for one in week.week.placements if one.run not in {run.id for run in before.problem.runs}]
        assert [week.problem.run(one.run).label for one in new] == ["1045 round 60 mm"]
        assert week.week.value(Aim.MOVES) == 0
        for saw, row in before.week.sequences.items():
            now = [run for run in week.week.sequences.get(saw, ()) if run in row]
            assert now == [run for run in row if run in now]
        browser.post("/week/accept", data={"week": week.id})
    assert shop.kept().plan_id == "anew"


def test_a_week_of_long_ago_says_so_and_what_is_left_is_made_anew(shop: WeekShop) -> None:
    shop.now = MORNING + timedelta(days=5)
    with shop.client() as browser:
        assert "reckoned hours ago" in words(browser.get("/week").text)
        answer = browser.post("/week/replan", data={"moves": ""})
        shop.finish_job(answer.headers["location"])
    week = shop.proposed()
    assert all(week.start_of(one) >= shop.now for one in week.week.placements)


def test_more_work_than_two_weeks_hold_runs_over_into_the_next(shop: WeekShop) -> None:
    short = [Shift(weekday, time(6), time(6, 45)) for weekday in range(5)]
    hours = ShopHours(saws=tuple(SawHours(saw.id, tuple(short)) for saw in shop.catalog.saws))
    shop.week.set_hours(hours, by=HOUSE)
    with shop.client() as browser:
        answer = browser.post("/week/line-up")
        shop.finish_job(answer.headers["location"])
        assert shop.proposed().problem.horizon > 14 * 1440
        page = browser.get("/week")
        assert read(page.text).faults == []


def test_each_piece_counts_by_its_own_line(shop: WeekShop) -> None:
    week = shop.kept()
    dues = {
        line.id: line.due for order in shop.store.orders() for line in order.lines if line.due is not None
    }
    told: dict[str, int] = {}
    for one in week.week.placements:
        for line in lines_of(week.problem, one):
            assert week.clock.moment(line.due).date() == dues[line.line]
            told[line.line] = told.get(line.line, 0) + line.pieces
    plan = shop.store.latest_plan()
    assert plan is not None
    planned: dict[str, int] = {}
    for bar in (bar for group in plan.groups for bar in group.bars):
        for piece in bar.pieces:
            planned[piece.line_id] = planned.get(piece.line_id, 0) + bar.times
    assert told == {line: count for line, count in planned.items() if line in dues}


@pytest.mark.parametrize(
    ("path", "data", "verb"),
    [
        ("/week/line-up", {}, Verb.LINE_UP),
        ("/week/replan", {"moves": "0"}, Verb.REPLAN_WEEK),
        ("/week/move", {"run": "x", "saw": "north", "place": 0}, Verb.MOVE_RUN),
        ("/week/pin", {"run": "x"}, Verb.PIN_RUN),
        ("/week/refuse-place", {"run": "x", "saw": "north"}, Verb.REFUSE_PLACE),
        ("/week/accept", {"week": "x"}, Verb.ACCEPT_WEEK),
        ("/week/hours", {}, Verb.SET_HOURS),
    ],
)
def test_an_operator_may_look_and_not_change(
    shop: WeekShop, path: str, data: dict[str, object], verb: Verb
) -> None:
    with shop.client("Omar") as browser:
        assert browser.get("/week").status_code == 200
        assert browser.post(path, data=data).status_code == 403
    newest = shop.store.ledger(1)[0]
    assert (newest.verb, newest.by) == (verb, "Omar")
    assert newest.refused


def test_two_people_cannot_settle_the_same_week_twice(shop: WeekShop) -> None:
    saw, row = busiest(shop.kept())
    with shop.client("Pia") as browser:
        browser.post("/week/move", data={"run": row[-1], "saw": saw, "place": 0})
        week = shop.proposed()
        browser.post("/week/accept", data={"week": week.id})
        again = browser.post("/week/accept", data={"week": week.id})
        assert again.status_code == 409
        assert "no longer the one put forward" in words(again.text)


def test_a_proposal_made_meanwhile_is_not_thrown_away(shop: WeekShop) -> None:
    kept = shop.kept()
    saw, row = busiest(kept)

    def slowly(problem: Problem, order: Mapping[str, Sequence[str]] | None) -> Week:
        shop.week.move(row[-1], saw, 0, by=HOUSE)
        assert order is not None
        return as_ordered(problem, order)

    told = Replan("slow")
    room = shop.week._room()
    answer = replan_week(shop.store, told, room=room, lay=slowly, by=HOUSE, at=at())
    assert isinstance(answer, Refusal)
    assert answer.code == "week-changed"
    assert shop.proposed().why.endswith("moved by hand")


def test_hours_are_read_kept_and_used(shop: WeekShop) -> None:
    saw = shop.kept().problem.saws[0]
    with shop.client() as browser:
        page = read(browser.get("/week/hours").text)
        fields = {
            str(attrs["name"]): attrs.get("value") or ""
            for tag, attrs in page.tags
            if tag == "input" and "name" in attrs and attrs.get("type") != "hidden"
        }
        wrong = browser.post("/week/hours", data={**fields, f"saw-{saw.id}-2": "six till two"})
        assert wrong.status_code == 409
        assert "can’t be read" in words(wrong.text).replace("&#39;", "’")
        good = {
            **fields,
            f"saw-{saw.id}-2": "09:00-12:00",
            "stop-saw": saw.id,
            "stop-begin": "2026-11-26T06:00",
            "stop-end": "2026-11-26T10:00",
            "stop-why": "service",
        }
        assert browser.post("/week/hours", data=good).status_code == 303
        answer = browser.post("/week/line-up")
        shop.finish_job(answer.headers["location"])
    week = shop.proposed()
    opens = MORNING.replace(hour=9, minute=0)
    assert all(week.start_of(one) >= opens for one in week.week.on(saw.id))
    assert any(stop.why == "service" for stop in week.problem.saw(saw.id).calendar.stops)


def test_limits_of_unattended_work_are_written_in_the_readers_measure(shop: WeekShop) -> None:
    """55 lb and 42 in: 24.947 580 35 kg and 1066.8 mm (NIST SP 811, B.8, exact factors)."""
    with shop.client() as browser:
        browser.cookies.set("measure", "inch")
        shown = browser.get("/week/hours").text
        assert "Heaviest piece, lb" in shown
        page = read(shown)
        fields = {
            str(attrs["name"]): attrs.get("value") or ""
            for tag, attrs in page.tags
            if tag == "input" and "name" in attrs and attrs.get("type") != "hidden"
        }
        assert fields["longest_piece_mm"] == "39.3701"
        assert browser.post("/week/hours", data=fields).status_code == 303
        with shop.store.look() as look:
            assert look.weeks.hours().longest_piece_mm == 1000.0
        changed = fields | {"most_piece_kg": "55", "longest_piece_mm": "42"}
        assert browser.post("/week/hours", data=changed).status_code == 303
    with shop.store.look() as look:
        hours = look.weeks.hours()
    assert hours.most_piece_kg == pytest.approx(24.94758035)
    assert hours.longest_piece_mm == pytest.approx(1066.8)
    assert hours.longest_bar_mm == 6500.0


def test_programs_move_pin_and_read(shop: WeekShop) -> None:
    saw, row = busiest(shop.kept())
    with shop.client() as program:
        document = program.get("/api/week").json()
        assert document["proposed"] is None
        assert {one["run"] for one in document["kept"]["runs"]} == {
            one.run for one in shop.kept().week.placements
        }
        moved = program.post("/api/week/move", json={"run": row[-1], "saw": saw, "place": 0})
        assert moved.json()["proposed"]["why"].endswith("moved by hand")
        refused = program.post("/api/week/move", json={"run": "nothing", "saw": saw, "place": 0})
        assert refused.status_code == 409
        assert refused.json()["code"] == "unknown-run"
        assert program.post("/api/week/pin", json={"run": row[0]}).json() == {"run": row[0]}
        assert program.post("/api/week/pin", json={"walk": row[0]}).status_code == 422
        job = program.post("/api/week/refuse-place", json={"run": several(shop.kept()), "saw": saw}).json()
        if "job" in job:
            shop.finish_job(f"/{job['job']}")
            assert program.get(f"/api/week/jobs/{job['job']}").json()["state"] == "done"


def test_one_ledger_entry_each_and_every_week_on_record_is_sound(shop: WeekShop) -> None:
    saw, row = busiest(shop.kept())
    entries = len(shop.store.ledger(1000))
    with shop.client() as browser:
        browser.post("/week/move", data={"run": row[-1], "saw": saw, "place": 0})
        browser.post("/week/pin", data={"run": row[0]})
        browser.post("/week/accept", data={"week": shop.proposed().id})
    told = [entry.verb for entry in shop.store.ledger(3)]
    assert told == [Verb.ACCEPT_WEEK, Verb.PIN_RUN, Verb.MOVE_RUN]
    assert len(shop.store.ledger(1000)) == entries + 3
    with shop.store._engine.connect() as connection:
        documents = [row.document for row in connection.execute(weeks.select())]
    assert len(documents) >= 3
    for document in documents:
        week = from_document(document, KeptWeek)
        assert faults(week.problem, week.week) == ()
