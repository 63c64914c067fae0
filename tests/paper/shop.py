"""A small shop made by hand for the tests of paper: one saw, a few grades, groups of every awkward kind."""

from dataclasses import replace
from datetime import date

from kerfsmith.catalog.band import Band, Edge, Pitch
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.setting import CutSetting, Limit, Slice
from kerfsmith.planning.plan import (
    GroupTimes,
    Plan,
    PlanGroup,
    PlannedBar,
    PlannedPiece,
    PlanStatus,
    SawTried,
    Unplanned,
)
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import BarKind
from kerfsmith.units.told import Told

KERF_UM = 1_800
FACING_UM = 5_000


def figure(value: float, unit: str) -> Figure:
    """A figure of the tests' own."""
    return Figure(value, unit, "test", "tests/paper", Confidence.SHOP, value, value)


def saw(control: FeedControl = FeedControl.FOLLOWS_CUT) -> SawSheet:
    """A column saw with a 500 mm shuttle stroke."""
    return SawSheet(
        id="S1",
        name="North bay column saw",
        capacities=(Capacity(0.0, 330.0, 330.0, 460.0, 330.0),),
        band_width_mm=34.0,
        band_thickness_mm=1.1,
        band_length_mm=4_600.0,
        band_speed_min_m_per_min=15.0,
        band_speed_max_m_per_min=120.0,
        wheel_diameter_mm=520.0,
        guide_clearance_mm=30.0,
        guide_span_min_mm=100.0,
        guide_span_max_mm=500.0,
        band_tension_mpa=200.0,
        motor_kw=4.0,
        drive_efficiency=0.8,
        feed_min_mm_per_min=2.0,
        feed_max_mm_per_min=400.0,
        feed_force_max_n=3_000.0,
        head_travel_mm=340.0,
        feed_control=control,
        cant_deg=0.0,
        shuttle_stroke_mm=500.0,
        load_limit_kg=1_500.0,
        least_grip_mm=80.0,
        facing_mm=5.0,
        index_accuracy_mm=0.1,
        min_work_mm=10.0,
        max_bar_length_mm=7_000.0,
        cycle=CycleTimes(120.0, 3.0, 4.0, 100.0, 15.0, 50.0, 8.0, 6.0, 600.0),
    )


def grade(name: str = "4140", hazards: tuple[Hazard, ...] = (), coolant: str = "flood") -> Grade:
    """A steel."""
    return Grade(
        name=name,
        aliases=(),
        designations=(("AISI/SAE", name),),
        group="alloy steel",
        family="steel",
        condition="annealed, 197 HB",
        density_kg_per_m3=figure(7850.0, "kg/m3"),
        hb=figure(197.0, "HB"),
        hb_annealed=197.0,
        band_speed=figure(76.0, "m/min"),
        rate_bimetal=None,
        rate_carbide=None,
        chip_um=figure(6.0, "um"),
        kienzle=(),
        unit_power=(),
        hazards=hazards,
        coolant=coolant,
        soft_gummy=False,
        work_hardens=False,
        chip_bulking=figure(5.0, "1"),
    )


BAND = Band(
    "34-3/4-M42",
    Edge.BIMETAL,
    34.0,
    1.1,
    Pitch(3, 4),
    "hook",
    "raker",
    figure(1.8, "mm"),
    figure(9.0, "EUR/m"),
)


def setting(angle_deg: float = 0.0, lie: str = "as drawn", cautions: tuple[str, ...] = ()) -> CutSetting:
    """A plain setting for a cut at ``angle_deg``."""
    slices = tuple(
        Slice(10.0 * k, 60.0, 60.0, 8.0, feed, 6.0, 0.2, 1.0, 400.0, Limit.AREA_RATE)
        for k, feed in enumerate((95.0, 41.5, 36.5, 41.5, 95.0))
    )
    return CutSetting(
        saw="S1",
        band=BAND,
        lie=lie,
        angle_deg=angle_deg,
        bundle=1,
        band_speed_m_per_min=76.2,
        kerf_um=KERF_UM,
        cut_seconds=94.3,
        cut_seconds_low=70.0,
        cut_seconds_high=150.0,
        area_cm2=81.1,
        mean_feed_mm_per_min=64.7,
        constant_feed_mm_per_min=36.5,
        peak_power_kw=1.2,
        mean_power_kw=1.0,
        peak_force_n=640.0,
        least_teeth_in_cut=3.2,
        most_teeth_in_cut=14.0,
        ruling_limit=Limit.AREA_RATE,
        slices=slices,
        reasons=(),
        cautions=tuple(map(Told, cautions)),
    )


def planned_bar(
    bar_id: str,
    length_um: int,
    pieces: list[PlannedPiece],
    *,
    times: int = 1,
    kind: BarKind = BarKind.BAR,
    heat: str = "H4471",
    place: str = "A3-2",
    least_um: int = 300_000,
) -> PlannedBar:
    """A bar with the tests' facing, whose remnant is what is left."""
    left = length_um - FACING_UM - KERF_UM - sum(piece.length_um + piece.kerf_um for piece in pieces)
    return PlannedBar(
        bar_id, kind, length_um, times, heat, place, FACING_UM, KERF_UM, tuple(pieces), left, left >= least_um
    )


def pieces(
    line_id: str, mark: str, length_um: int, count: int, angle_a_deg: float = 0.0, angle_b_deg: float = 0.0
) -> list[PlannedPiece]:
    """Equal pieces; a mitred one is charged with two kerfs, as the planning room does."""
    kerf_um = KERF_UM if angle_a_deg == 0 == angle_b_deg else 2 * 2_546
    return [PlannedPiece(line_id, mark, length_um, kerf_um, angle_a_deg, angle_b_deg)] * count


def group(
    group_id: str,
    grade_name: str,
    section: Section,
    bars: tuple[PlannedBar, ...],
    settings: tuple[CutSetting, ...],
    *,
    status: PlanStatus = PlanStatus.BEST,
    lower_bound: float = 412.5,
    unplanned: tuple[Unplanned, ...] = (),
    mass_kg_per_m: float = 63.64,
    due: date | None = date(2026, 3, 14),
    notes: tuple[str, ...] = (),
) -> PlanGroup:
    """A group cut on the tests' saw."""
    count = sum(bar.times * len(bar.pieces) for bar in bars)
    return PlanGroup(
        id=group_id,
        grade=grade_name,
        section=section,
        saw="S1",
        saw_name="North bay column saw",
        status=status,
        settings=settings,
        bars=bars,
        cost=412.5,
        lower_bound=lower_bound,
        cost_unit="EUR",
        bound_source="columns",
        pieces_wanted=count + sum(left.count for left in unplanned),
        unplanned=unplanned,
        times=GroupTimes(
            94.3 * count, 70.0 * count, 150.0 * count, 8.0 * count, 120.0 * len(bars), 6.0 * count
        ),
        mass_kg_per_m=mass_kg_per_m,
        first_due=due,
        tried=(SawTried("S1", "North bay column saw", True, 3.0, 412.5, ()),),
        notes=tuple(map(Told, notes)),
    )


def plan(*groups: PlanGroup, plan_id: str = "SPRING", name: str = "Spring order book") -> Plan:
    """A plan of these groups."""
    return Plan(plan_id, name, groups, (), 1)


def order_line(
    line_id: str, mark: str, section: Section, length_um: int, quantity: int, **more: object
) -> OrderLine:
    """A line of 4140, plus 0.5 mm minus nothing unless said otherwise."""
    line = OrderLine(
        id=line_id,
        mark=mark,
        grade="4140",
        section=section,
        length_um=length_um,
        quantity=quantity,
        plus_um=500,
        minus_um=0,
        order="A-1187",
    )
    return replace(line, **more)  # type: ignore[arg-type]  # the fields of OrderLine, passed on by name
