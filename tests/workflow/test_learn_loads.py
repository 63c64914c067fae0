"""What is learned from bars cut together: one pass is one observation, of all its area in its one time."""

import math
from dataclasses import replace

import pytest
from tests.tables import package_tables
from tests.workflow.load_floor import A, cut_through, lay, released_loads, told_of
from tests.workflow.shop_floor import AT, GRADE, OPERATOR, ROUND, SAW, SQUARE_CM2, later

from kerfsmith.catalog.saw import Capacity
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.learning.observe import LeftOut, cut_times, index_times
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.undo_pass import BarUndo, UndoPass, undo_pass

ABC = ("b1", "b2", "b3")


def setting(bundle: int = 1) -> CutSetting:
    tables = package_tables()
    clamped = replace(SAW, capacities=(Capacity(0, 300, 300, 400, 300, 400, 300),))
    found = set_cut(tables.find_grade(GRADE), ROUND, clamped, tables.bands, tables.corrections, bundle=bundle)
    assert isinstance(found, CutSetting), found
    return found


def test_a_pass_is_one_observation_with_the_loads_area(store: Store) -> None:
    alone, three = setting(), setting(3)
    assert three.area_cm2 == pytest.approx(3 * SQUARE_CM2)
    released_loads(store, settings=(alone,), bundle_settings=(three,))
    lay(store, "l1", *ABC)
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING), at=later(1))
    seconds = 1.25 * three.cut_seconds
    for number in (1, 2):
        began = later(10 * number)
        told = told_of(store, "l1", f"p{number}", began_at=began, ended_at=began + (later(seconds / 60) - AT))
        cut_through(store, told, at=later(10 * number + 9))
    with store.look() as look:
        log = look.learning.log()
    assert [cut.area_cm2 for cut in log.cuts] == [pytest.approx(3 * SQUARE_CM2), 0.0, 0.0] * 3
    assert [cut.bars for cut in log.cuts] == [3] * 9
    assert {cut.bar for cut in log.cuts if cut.is_piece} == {"L-1"}
    seen = cut_times(log, {})
    assert [one.log_ratio for one in seen.observations] == [pytest.approx(math.log(1.25))] * 2
    assert seen.left_out == {LeftOut.NO_TIMES: 1}, "the facing, once"
    assert len(index_times(log, {}).observations) <= 1
    (stay,) = log.stays
    assert stay.cut_cm2 == pytest.approx(9 * SQUARE_CM2), "a band cuts through every bar"
    ages = [cut.band_age_cm2 for cut in log.cuts]
    assert ages == [pytest.approx(3 * SQUARE_CM2 * (place // 3)) for place in range(9)]


def test_a_bar_alone_is_set_against_its_own_setting(store: Store) -> None:
    alone = setting()
    released_loads(store, settings=(alone,), bundle_settings=(setting(3),))
    load_bar(store, LoadBar("b1", "r1", "L-1"), by=OPERATOR, at=AT)
    log_cut(store, LogCut("f", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT)
    ended = AT + (later(alone.cut_seconds / 60) - AT)
    told = LogCut("c", "b1", 2, line_id=A, began_at=AT, ended_at=ended)
    assert isinstance(log_cut(store, told, by=OPERATOR, at=ended), CutLogged)
    with store.look() as look:
        (one,) = cut_times(look.learning.log(), {}).observations
    assert one.log_ratio == pytest.approx(0.0, abs=1e-6)


def test_an_undone_pass_teaches_nothing(store: Store) -> None:
    released_loads(store, settings=(setting(),), bundle_settings=(setting(3),))
    lay(store, "l1", *ABC)
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING, began_at=AT, ended_at=later(3)))
    undo = UndoPass("f", tuple(BarUndo(bar_id, f"u-{bar_id}", 2) for bar_id in ABC))
    undo_pass(store, undo, by=OPERATOR, at=AT)
    with store.look() as look:
        log = look.learning.log()
    seen = cut_times(log, {})
    assert (seen.observations, seen.left_out) == ((), {LeftOut.UNDONE: 1})
    assert log.stays[0].cut_cm2 == 0


def test_the_feed_tells_a_pass_once(store: Store) -> None:
    released_loads(store)
    lay(store, "l1", *ABC)
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING))
    verbs = [entry.verb for entry in store.ledger(20)]
    assert verbs.count("cut load") == 1
    assert verbs.count("load bar") == 3
