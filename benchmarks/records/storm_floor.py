"""A shop floor that never runs out of work: saws with endless runs, and the n-th event of each panel."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import cast

from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import GroupTimes, PlanGroup, PlannedBar, PlannedPiece, PlanStatus
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.cut_log import EntryKind, ScrapReason
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.workflow.change_band import ChangeBand, add_band, change_band
from kerfsmith.workflow.cut_load import BarCut, CutLoad
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.finish_bar import FinishBar
from kerfsmith.workflow.finish_load import FinishLoad
from kerfsmith.workflow.load_bar import LoadBar
from kerfsmith.workflow.log_cut import LogCut
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.put_away import PutAway
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.scrap_remnant import ScrapRemnant
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order
from kerfsmith.workflow.undo_cut import UndoCut
from kerfsmith.workflow.undo_pass import BarUndo, UndoPass

AT = datetime(2026, 12, 1, 6, 0, tzinfo=UTC)
OMAR = Person("Omar", Role.OPERATOR)
LEA = Person("Lea", Role.LEAD)
GRADE = "C45"
KERF_UM, FACING_UM, BAR_UM, PIECE_UM = 1_800, 5_000, 6_000_000, 1_000_000
PIECES_A_BAR = 5
ENDLESS = 1_000_000
AT_ONCE = 3
"""Bars of a load; each panel cuts a bar alone, then a load, and so on."""


def never(_task: GroupTask) -> PlanGroup:
    """Nothing is replanned here."""
    raise AssertionError("nothing was to be planned")


def section(saw: int) -> Section:
    """The section that a saw cuts: one of its own, so that saws don't wait for the same bars."""
    return Section(f"round {50 + saw} mm", Round(50.0 + saw))


def sheet(saw: int) -> SawSheet:
    """A saw's sheet in round figures."""
    return SawSheet(
        id=f"saw-{saw}",
        name=f"Saw {saw}",
        capacities=(Capacity(0, 300, 300, 400, 300),),
        band_width_mm=34,
        band_thickness_mm=1.1,
        band_length_mm=4_500,
        band_speed_min_m_per_min=20,
        band_speed_max_m_per_min=120,
        wheel_diameter_mm=500,
        guide_clearance_mm=40,
        guide_span_min_mm=100,
        guide_span_max_mm=500,
        band_tension_mpa=200,
        motor_kw=4,
        drive_efficiency=0.8,
        feed_min_mm_per_min=2,
        feed_max_mm_per_min=400,
        feed_force_max_n=2_500,
        head_travel_mm=350,
        feed_control=FeedControl.FOLLOWS_CUT,
        cant_deg=0,
        shuttle_stroke_mm=500,
        load_limit_kg=2_000,
        least_grip_mm=80,
        facing_mm=5,
        index_accuracy_mm=0.1,
        min_work_mm=10,
        max_bar_length_mm=8_000,
        cycle=CycleTimes(240, 3, 4, 100, 20, 50, 8, 2, 600),
    )


def build(store: Store, saws: int) -> None:
    """Fill empty records: for each saw a rack entry, an order line and a released run without end."""
    bars = [Bar(f"A-{saw}", GRADE, section(saw), BAR_UM, ENDLESS, f"H{saw}", "A1") for saw in range(saws)]
    lines = tuple(
        OrderLine(
            f"line-{saw}", f"P{saw}", GRADE, section(saw), PIECE_UM, ENDLESS, customer=f"Customer {saw}"
        )
        for saw in range(saws)
    )
    groups = [(saw, _group(saw, bars[saw], lines[saw])) for saw in range(saws)]
    _done(stock_rack(store, bars, by=LEA, at=AT, source="storm"))
    _done(take_order(store, Order("o", "Endless", lines), by=LEA, at=AT, source="storm"))
    answer = plan_cuts(
        store, (), lambda _: groups, order_ids=["o"], plan_id="p", name="Endless", seed=1, by=LEA, at=AT
    )
    _done(answer)
    for saw, group in groups:
        told = ReleaseRun(f"run-{saw}", "p", group.id)
        _done(release_run(store, told, saw=sheet(saw), by=LEA, at=AT))
        _done(add_band(store, ThisBand(f"S-{saw}", "bimetal 34 x 1.1"), by=LEA, at=AT))
        _done(change_band(store, ChangeBand(f"saw-{saw}", f"m-{saw}", f"S-{saw}"), by=LEA, at=AT))


def _done(answer: object) -> None:
    if isinstance(answer, Refusal):
        raise RuntimeError(str(answer))


def _group(saw: int, bar: Bar, line: OrderLine) -> PlanGroup:
    piece = PlannedPiece(line.id, line.mark, PIECE_UM, KERF_UM)
    used_um = FACING_UM + KERF_UM + PIECES_A_BAR * (PIECE_UM + KERF_UM)
    planned = PlannedBar(
        bar_id=bar.id,
        kind=BarKind.BAR,
        length_um=BAR_UM,
        times=ENDLESS // PIECES_A_BAR // 2,
        heat=bar.heat,
        place=bar.place,
        facing_um=FACING_UM,
        facing_kerf_um=KERF_UM,
        pieces=(piece,) * PIECES_A_BAR,
        remnant_um=BAR_UM - used_um,
        keep=True,
    )
    at_once = replace(planned, times=AT_ONCE * (planned.times // AT_ONCE), at_once=AT_ONCE)
    return PlanGroup(
        id=f"group-{saw}",
        grade=GRADE,
        section=bar.section,
        saw=f"saw-{saw}",
        saw_name=f"Saw {saw}",
        status=PlanStatus.BEST,
        settings=(),
        bars=(planned, at_once),
        cost=1.0,
        lower_bound=1.0,
        cost_unit="m of bar",
        bound_source="given",
        pieces_wanted=ENDLESS,
        unplanned=(),
        times=GroupTimes(1.0, 1.0, 1.0, 1.0, 1.0, 1.0),
        mass_kg_per_m=1.0,
        first_due=None,
        tried=(),
    )


def events_of_bar(panel: str, saw: int, bar: int) -> list[PanelVerb]:
    """What is done with the panel's ``bar``-th bar: eight entries of its log, then put away or scrapped."""
    bar_id, line_id = f"{panel}-b{bar}", f"line-{saw}"
    cuts: list[object] = [LogCut(f"{bar_id}-1", bar_id, 1, EntryKind.FACING)]
    cuts += [LogCut(f"{bar_id}-{number}", bar_id, number, line_id=line_id) for number in range(2, 6)]
    cuts += [
        LogCut(f"{bar_id}-6", bar_id, 6, line_id=line_id, scrapped=ScrapReason.OTHER),
        UndoCut(f"{bar_id}-7", bar_id, 7, f"{bar_id}-6"),
        LogCut(f"{bar_id}-8", bar_id, 8, line_id=line_id),
    ]
    away = PutAway(bar_id, f"R-{bar_id}", "R1") if bar % 2 else ScrapRemnant(bar_id)
    return cast(list[PanelVerb], [LoadBar(bar_id, f"run-{saw}", f"A-{saw}"), *cuts, FinishBar(bar_id), away])


def events_of_load(panel: str, saw: int, load: int) -> list[PanelVerb]:
    """What is done with the panel's ``load``-th load: laid in, faced, cut through, one pass of it undone for
    a piece that was no good, each remnant put away.
    """
    load_id, line_id = f"{panel}-l{load}", f"line-{saw}"
    bars = [f"{load_id}-{place}" for place in range(AT_ONCE)]

    def through(number: int, kind: EntryKind = EntryKind.PIECE, bad: ScrapReason | None = None) -> CutLoad:
        line = line_id if kind is EntryKind.PIECE else None
        cuts = tuple(
            BarCut(bar_id, f"{bar_id}-{number}", number, line, bad if bar_id == bars[1] else None)
            for bar_id in bars
        )
        return CutLoad(f"{load_id}-p{number}", load_id, cuts, kind)

    told: list[object] = [LoadBar(bar_id, f"run-{saw}", f"A-{saw}", load_id=load_id) for bar_id in bars]
    told += [through(1, EntryKind.FACING), *(through(number) for number in range(2, 6))]
    told += [through(6, bad=ScrapReason.OTHER)]
    told += [UndoPass(f"{load_id}-p6", tuple(BarUndo(bar_id, f"{bar_id}-7", 7) for bar_id in bars))]
    told += [through(8), FinishLoad(load_id), *(PutAway(bar_id, f"R-{bar_id}", "R1") for bar_id in bars)]
    return cast(list[PanelVerb], told)


EVENTS_A_BAR = len(events_of_bar("x", 0, 0))
EVENTS_A_TURN = EVENTS_A_BAR + len(events_of_load("x", 0, 0))


def event(panel: str, saw: int, number: int) -> PanelEvent:
    """The ``number``-th event of a panel, the same whenever it is asked for."""
    turn, step = divmod(number - 1, EVENTS_A_TURN)
    at = AT + timedelta(seconds=number)
    mark = EventMark(f"{panel}:{number}", panel, number, at)
    told = [*events_of_bar(panel, saw, turn), *events_of_load(panel, saw, turn)][step]
    return PanelEvent(told, OMAR, at, mark)
