"""A real plan, mitred pieces and all, cut to its end: each bar is left with just the remnant planned."""

from pathlib import Path

import pytest
from tests.tables import package_tables
from tests.workflow.shop_floor import AT, LEAD, OPERATOR, mount

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.plan import Plan, PlannedBar
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run
from kerfsmith.wiring.plan_files import plan_files
from kerfsmith.wiring.reading import read_rack_bytes
from kerfsmith.workflow.finish_bar import BarFinished, FinishBar, finish_bar
from kerfsmith.workflow.finish_run import FinishRun, RunFinished, finish_run
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

ORDERS = """Mark,Grade,Section,Length mm,Qty,End A,End B
F1,S355J2,HEA 200,2450,3,45,-45
F2,S355J2,HEA 200,1180.5,4,45,45
F3,S355J2,HEA 200,640,5,0,30
F4,S355J2,HEA 200,900,2,,
R1,4140,round 100 mm,312.2,9,,
"""
RACK = """Label,Grade,Section,Length mm,Count,Heat,Place,Kind
H-1,S355J2,HEA 200,12100,2,H1,A1,bar
H-2,S355J2,HEA 200,6050,1,H2,A1,remnant
R-1,4140,round 100 mm,3000,2,H3,B1,bar
"""


class Planned:
    """The plan with what it was made from."""

    def __init__(self, folder: Path) -> None:
        (folder / "orders.csv").write_text(ORDERS)
        (folder / "rack.csv").write_text(RACK)
        made = plan_files(folder / "orders.csv", folder / "rack.csv", seconds=3.0)
        assert not made.input_at_fault, made.findings
        self.plan: Plan = made.plan
        self.lines: tuple[OrderLine, ...] = made.order.lines
        self.catalog: Catalog = made.catalog
        self.bars: tuple[Bar, ...] = read_rack_bytes(
            "rack.csv", RACK.encode(), package_tables(), currency="EUR"
        ).bars


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Planned:
    return Planned(tmp_path_factory.mktemp("plan"))


def test_a_plan_is_cut_as_it_was_planned(store: Store, planned: Planned) -> None:
    plan = planned.plan
    assert plan.pieces_planned == plan.pieces_wanted == 23
    assert any(piece.lap_um for group in plan.groups for bar in group.bars for piece in bar.pieces)
    stock_rack(store, planned.bars, by=LEAD, at=AT, source="test")
    take_order(store, Order("o", "Frames", planned.lines), by=LEAD, at=AT, source="test")
    kept = plan_cuts(
        store,
        (),
        lambda _: list(enumerate(plan.groups)),
        order_ids=["o"],
        plan_id=plan.id,
        name="x",
        seed=1,
        by=LEAD,
        at=AT,
    )
    assert isinstance(kept, Plan)
    for number, group in enumerate(plan.groups):
        run_id = f"run-{number}"
        saw = planned.catalog.find_saw(group.saw)
        run = release_run(store, ReleaseRun(run_id, plan.id, group.id), saw=saw, by=LEAD, at=AT)
        assert isinstance(run, Run), run
        with store.look() as look:
            bare = look.crib.mounted(saw.id) is None
        if bare:
            mount(store, f"S-{number}", f"m{number}", saw.id)
        for place, bar in enumerate(group.bars):
            for copy in range(bar.times):
                cut_bar(store, run_id, f"{run_id}-{place}-{copy}", bar)
        ended = finish_run(store, FinishRun(run_id), by=OPERATOR, at=AT)
        assert isinstance(ended, RunFinished), ended
        assert all(line.good == line.wanted and line.surplus == 0 for line in ended.lines)


def cut_bar(store: Store, run_id: str, bar_id: str, bar: PlannedBar) -> None:
    loaded = load_bar(store, LoadBar(bar_id, run_id, bar.bar_id), by=OPERATOR, at=AT)
    assert isinstance(loaded, BarAtSaw), loaded
    number = 0
    if bar.facing_um or bar.facing_kerf_um:
        number += 1
        told = LogCut(f"{bar_id}-{number}", bar_id, number, EntryKind.FACING)
        assert not isinstance(log_cut(store, told, by=OPERATOR, at=AT), Refusal)
    logged = [
        log_cut(store, LogCut(f"{bar_id}-{place}", bar_id, place, line_id=piece.line_id), by=OPERATOR, at=AT)
        for place, piece in enumerate(bar.pieces, start=number + 1)
    ]
    last = logged[-1]
    assert isinstance(last, CutLogged), logged
    assert last.still_to_cut == ()
    assert last.bar.bar.left_um == bar.remnant_um
    finished = finish_bar(store, FinishBar(bar_id), by=OPERATOR, at=AT)
    assert isinstance(finished, BarFinished)
    if bar.remnant_um:
        away = put_away(store, PutAway(bar_id, finished.free_label, "R1"), by=OPERATOR, at=AT)
        assert isinstance(away, Bar), away
        assert away.length_um == bar.remnant_um
