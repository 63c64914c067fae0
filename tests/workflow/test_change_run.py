"""A run changed while it is cut: begun bars keep what is cut, and the rest is planned at once."""

from collections import Counter

from tests.workflow.shop_floor import AT, OPERATOR, PLANNER, first_fit, never, released

from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.workflow.change_run import ChangeRun, RunChanged, change_run
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.replanning import LineChange
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet


def begun(store: Store, pieces: int = 1) -> None:
    """A run with its first bar loaded, faced, and some P1 cut."""
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)
    log_cut(store, LogCut("f1", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT)
    for number in range(2, 2 + pieces):
        log_cut(store, LogCut(f"c{number}", "b1", number, line_id="o1:1"), by=OPERATOR, at=AT)


def changed(store: Store, *changes: LineChange) -> RunChanged:
    answer = change_run(store, ChangeRun("r1", changes), first_fit, by=PLANNER, at=AT)
    assert isinstance(answer, RunChanged), answer
    return answer


def sheet(store: Store) -> RunSheet:
    with store.look() as look:
        found = run_sheet(look, "r1")
    assert found is not None
    return found


def coming(store: Store) -> Counter[str]:
    """Pieces still coming: on bars in the saw, and on those to be loaded."""
    now = sheet(store)
    counted = Counter(piece.mark for bar in now.bars for piece in bar.still_to_cut)
    for one in now.to_load:
        for piece in one.planned.pieces:
            counted[piece.mark] += one.waiting
    return counted


def test_more_are_wanted_the_rest_is_planned_and_all_is_accounted_for(store: Store) -> None:
    begun(store)
    answer = changed(store, LineChange("o1:1", quantity=12))
    assert answer.revision == 1
    assert answer.bars_in_saw_changed == ()
    assert answer.unplanned == ()
    assert coming(store) == {"P1": 11, "P2": 3}
    assert answer.bars_before != answer.bars_after
    assert [line.wanted for line in answer.lines_after] == [12, 3]


def test_fewer_are_wanted_bars_in_the_saw_give_up_pieces_too(store: Store) -> None:
    begun(store, pieces=2)
    answer = changed(store, LineChange("o1:1", quantity=3), LineChange("o1:2", quantity=0))
    assert answer.bars_in_saw_changed == ("A-1",)
    assert answer.bars_after == ()
    assert coming(store) == {"P1": 1}
    assert {bar.id: bar.count for bar in store.rack().bars}["A-1"] == 2


def test_fewer_than_are_cut_already_is_refused(store: Store) -> None:
    begun(store, pieces=3)
    told = ChangeRun("r1", (LineChange("o1:1", quantity=2),))
    answer = change_run(store, told, never, by=PLANNER, at=AT)
    assert isinstance(answer, Refusal)
    assert answer.code == "already-cut"


def test_a_shorter_length_is_cut_from_the_bar_in_the_saw_too(store: Store) -> None:
    begun(store)
    changed(store, LineChange("o1:1", length_um=450_000))
    now = sheet(store)
    assert [piece.length_um for piece in now.bars[0].still_to_cut] == [450_000] * 3 + [400_000]
    assert coming(store) == {"P1": 8, "P2": 3}
    logged = log_cut(store, LogCut("n", "b1", 3, line_id="o1:1"), by=OPERATOR, at=AT)
    assert not isinstance(logged, Refusal)
    assert logged.entry.length_um == 450_000


def test_a_longer_length_moves_what_no_longer_fits(store: Store) -> None:
    """3000 - 10 - 2 - (500 + 2) leaves 2486 less 80 of grip: three of 700 + 2 fit, and then no P2."""
    begun(store)
    answer = changed(store, LineChange("o1:1", length_um=700_000))
    assert answer.bars_in_saw_changed == ("A-1",)
    now = sheet(store)
    assert [piece.length_um for piece in now.bars[0].still_to_cut] == [700_000] * 3
    missing = Counter({one.mark: one.count for one in answer.unplanned})
    assert coming(store) + missing == {"P1": 8, "P2": 3}


def test_bars_promised_to_another_run_are_not_planned_again(store: Store) -> None:
    begun(store)
    seen: list[GroupTask] = []

    def watch(task: GroupTask) -> PlanGroup:
        seen.append(task)
        return first_fit(task)

    change_run(store, ChangeRun("r1", (LineChange("o1:1", quantity=20),)), watch, by=PLANNER, at=AT)
    assert {bar.id: bar.count for bar in seen[0].bars} == {"A-1": 2, "A-2": 1, "A-3": 1}
    load = load_bar(store, LoadBar("b2", "r1", "A-2"), by=OPERATOR, at=AT)
    assert not isinstance(load, Refusal)


def test_a_cut_logged_while_it_is_planned_makes_it_plan_again(store: Store) -> None:
    begun(store)
    calls = []

    def slow(task: GroupTask) -> PlanGroup:
        calls.append(task)
        if len(calls) == 1:
            load_bar(store, LoadBar("b2", "r1", "A-1"), by=OPERATOR, at=AT)
        return first_fit(task)

    told = ChangeRun("r1", (LineChange("o1:1", quantity=12),))
    answer = change_run(store, told, slow, by=PLANNER, at=AT)
    assert isinstance(answer, RunChanged)
    assert len(calls) == 2
    assert coming(store) == {"P1": 11, "P2": 3}


def test_a_run_that_never_stands_still_is_told_so(store: Store) -> None:
    begun(store)
    number = [3]

    def restless(task: GroupTask) -> PlanGroup:
        number[0] += 1
        more = LineChange("o1:2", quantity=number[0])
        change_run(store, ChangeRun("r1", (more,)), first_fit, by=PLANNER, at=AT)
        return first_fit(task)

    answer = change_run(
        store, ChangeRun("r1", (LineChange("o1:1", quantity=12),)), restless, by=PLANNER, at=AT
    )
    assert isinstance(answer, Refusal)
    assert answer.code == "overtaken"
