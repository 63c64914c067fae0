"""A plan made while others run takes no piece and no bar twice."""

from dataclasses import replace

from tests.workflow.shop_floor import (
    AT,
    BARS,
    LEAD,
    ORDER,
    P1,
    P2,
    PLANNER,
    SAW,
    group_of,
    keep_plan,
    planned,
    released,
    stocked,
)

from kerfsmith.records.store import Store
from kerfsmith.shop.run import Run
from kerfsmith.workflow.finish_bar import BarFinished, FinishBar, finish_bar
from kerfsmith.workflow.finish_run import FinishRun, RunFinished, finish_run
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.to_plan import ToPlan, to_plan


def left(store: Store) -> ToPlan:
    with store.look() as look:
        return to_plan(look.floor, store.orders())


def free(found: ToPlan) -> dict[str, int | None]:
    return {bar.id: bar.count for bar in found.rack.bars}


def test_before_any_run_all_is_to_be_planned(store: Store) -> None:
    found = left(stocked(store))
    assert (found.orders, found.in_runs) == ((ORDER,), 0)
    assert free(found) == {bar.id: bar.count for bar in BARS}


def test_what_a_run_has_is_left_out_and_its_bars_are_not_free(store: Store) -> None:
    """Nine P1 and three P2 lie on two bars A-1 and one A-3: no piece is left, and one A-1 of three."""
    released(store)
    found = left(store)
    assert (found.orders, found.in_runs) == ((), 12)
    assert free(found) == {"A-1": 1, "A-2": 1, "B-1": 2, "C-1": 2}


def test_what_a_run_ended_short_of_is_planned_again(store: Store) -> None:
    """One bar A-1 gave two of its P1; the run ends; seven P1 and all P2 are wanted again."""
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=LEAD, at=AT)
    for number in (1, 2):
        told = LogCut(f"c{number}", "b1", number, line_id=P1.id)
        assert isinstance(log_cut(store, told, by=LEAD, at=AT), CutLogged)
    assert free(left(store)) == {"A-1": 1, "A-2": 1, "B-1": 2, "C-1": 2}
    ended = finish_bar(store, FinishBar("b1"), by=LEAD, at=AT)
    assert isinstance(ended, BarFinished)
    assert not isinstance(put_away(store, PutAway("b1", "R-9", "A1"), by=LEAD, at=AT), Refusal)
    assert isinstance(finish_run(store, FinishRun("r1", "due later"), by=LEAD, at=AT), RunFinished)
    found = left(store)
    assert [(line.id, line.quantity) for line in found.lines] == [(P1.id, 7), (P2.id, 3)]
    assert found.in_runs == 2
    assert free(found) == {"A-1": 2, "A-2": 1, "A-3": 1, "B-1": 2, "C-1": 2, "R-9": 1}


def test_an_older_plan_of_the_same_pieces_is_not_released(store: Store) -> None:
    released(store)
    twice = group_of((planned(BARS[1], (P1, P2)),), wanted=2)
    keep_plan(store, twice, "p2")
    refused = release_run(store, ReleaseRun("r2", "p2", twice.id), saw=SAW, by=PLANNER, at=AT)
    assert isinstance(refused, Refusal)
    assert refused.code == "in-runs"
    assert "P1: 1 in this group, 0 of 9 still to be given out" in str(refused)


def test_a_plan_of_the_rest_is_released_beside_the_first(store: Store) -> None:
    stocked(store)
    half = group_of((planned(BARS[0], (P1, P1, P1, P1)),), wanted=4)
    keep_plan(store, half, "p2")
    assert isinstance(release_run(store, ReleaseRun("r2", "p2", half.id), saw=SAW, by=PLANNER, at=AT), Run)
    found = left(store)
    assert found.orders == (replace(ORDER, lines=(replace(P1, quantity=5), P2)),)
    rest = group_of((planned(BARS[0], (P1, P1, P1, P1, P2)), planned(BARS[1], (P1, P2, P2))), wanted=8)
    keep_plan(store, rest, "p3")
    assert isinstance(release_run(store, ReleaseRun("r3", "p3", rest.id), saw=SAW, by=PLANNER, at=AT), Run)
    assert left(store).orders == ()


def test_a_bar_that_is_used_up_keeps_its_price(store: Store) -> None:
    released(store)
    assert not isinstance(load_bar(store, LoadBar("b1", "r1", "A-3"), by=LEAD, at=AT), Refusal)
    assert "A-3" not in {bar.id for bar in store.rack().bars}
    with store.look() as look:
        assert {bar.id: bar.price for bar in look.floor.known_bars()}["A-3"] == BARS[2].price
