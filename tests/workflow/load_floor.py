"""A floor where bars are cut three at once, in round figures: six bars in two loads, then one bar alone."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from tests.workflow.shop_floor import (
    AT,
    FACING_UM,
    GRADE,
    KERF_UM,
    LEAD,
    OPERATOR,
    PLANNER,
    ROUND,
    SAW,
    group_of,
    keep_plan,
    mount,
    piece,
    planned,
)

from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import ForLine, PlannedBar
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.run import Run
from kerfsmith.workflow.cut_load import BarCut, CutLoad, LoadCut, cut_load
from kerfsmith.workflow.floor_ports import BarAtSaw
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

A, B, C = "o1:1", "o1:2", "o1:3"
RACK = (
    Bar("L-1", GRADE, ROUND, 3_000_000, 6, "H100", "A1"),
    Bar("L-2", GRADE, ROUND, 3_000_000, 2, "H200", "A1"),
    Bar("L-3", GRADE, ROUND, 2_000_000, 1, "H100", "A2"),
    Bar("B-1", "42CrMo4", ROUND, 3_000_000, 1, "H300", "B1"),
    Bar("L-4", GRADE, ROUND, 1_416_000, 2, "H100", "A3", end_is_good=True),
)
LINES = (
    OrderLine(A, "P1", GRADE, ROUND, 500_000, 13, 500, 500, order="Gears", customer="Weir"),
    OrderLine(B, "P2", GRADE, ROUND, 400_000, 4, 500, 500, order="Gears", customer="Weir"),
    OrderLine(C, "P3", GRADE, ROUND, 400_000, 2, 500, 500, order="Shafts", customer="Hall"),
)


def loads() -> PlannedBar:
    """Six bars L-1, three at once: P1 twice of each, then of the first two P2 and of the third P3."""
    alone = planned(RACK[0], (LINES[0], LINES[0], LINES[1]), times=6)
    mixed = replace(piece(LINES[1]), others=(ForLine(B, "P2"), ForLine(C, "P3")))
    return replace(alone, at_once=3, pieces=(*alone.pieces[:2], mixed))


def to_the_end(at_once: int) -> PlannedBar:
    """Two bars L-4, used up: facing 10 and 2 mm, P1 twice and kerf, P2 whose far end is the bar's own."""
    pieces = (piece(LINES[0]), piece(LINES[0]), replace(piece(LINES[1]), kerf_um=0, far_cut=False))
    return PlannedBar(
        bar_id="L-4",
        kind=BarKind.BAR,
        length_um=1_416_000,
        times=2,
        heat="H100",
        place="A3",
        facing_um=FACING_UM,
        facing_kerf_um=KERF_UM,
        pieces=pieces,
        remnant_um=0,
        keep=False,
        at_once=at_once,
    )


def released_loads(
    store: Store,
    bars: Sequence[PlannedBar] | None = None,
    *,
    band: bool = True,
    settings: Sequence[CutSetting] = (),
    bundle_settings: Sequence[CutSetting] = (),
) -> Run:
    """The loads, and one bar L-3 that is cut alone, released as run r1."""
    assert not isinstance(stock_rack(store, RACK, by=LEAD, at=AT, source="test"), Refusal)
    order = Order("o1", "Gears", LINES)
    assert not isinstance(take_order(store, order, by=LEAD, at=AT, source="test"), Refusal)
    group = group_of(bars or (loads(), planned(RACK[2], (LINES[0],))), wanted=19)
    keep_plan(store, replace(group, settings=tuple(settings), bundle_settings=tuple(bundle_settings)))
    run = release_run(store, ReleaseRun("r1", "p1", group_of(()).id), saw=SAW, by=PLANNER, at=AT)
    assert isinstance(run, Run), run
    if band:
        mount(store, "S-0", "m0")
    return run


def lay(store: Store, load_id: str, *bar_ids: str, label: str = "L-1") -> tuple[BarAtSaw, ...]:
    """Bars laid into a load."""
    answers = [
        load_bar(store, LoadBar(bar_id, "r1", label, load_id=load_id), by=OPERATOR, at=AT)
        for bar_id in bar_ids
    ]
    laid = tuple(one for one in answers if isinstance(one, BarAtSaw))
    assert len(laid) == len(answers), answers
    return laid


def told_of(
    store: Store, load_id: str, pass_id: str, kind: EntryKind = EntryKind.PIECE, **changes: object
) -> CutLoad:
    """The next pass through a load as its sheet has it."""
    load = next(one for one in sheet(store).loads if one.load.id == load_id)
    if kind is EntryKind.PIECE:
        of_bar = {one.bar_id: one.piece.line_id for one in load.to_cut.passes[0].pieces}
    else:
        of_bar = {}
    cuts = tuple(
        BarCut(bar_id, f"{pass_id}-{bar_id}", number, of_bar.get(bar_id))
        for bar_id, number in ((one.at_saw.bar.id, one.next_number) for one in load.bars)
    )
    fields: dict[str, object] = {"pass_id": pass_id, "load_id": load_id, "cuts": cuts, "kind": kind}
    return CutLoad(**(fields | changes))  # type: ignore[arg-type]


def cut_through(store: Store, told: CutLoad, at: datetime = AT) -> LoadCut:
    """The pass, counted."""
    answer = cut_load(store, told, by=OPERATOR, at=at)
    assert isinstance(answer, LoadCut), answer
    return answer


def sheet(store: Store) -> RunSheet:
    """The run as a panel is shown it."""
    with store.look() as look:
        found = run_sheet(look, "r1")
    assert found is not None
    return found
