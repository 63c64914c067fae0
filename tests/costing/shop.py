"""A small shop made by hand, so that every cost can be reckoned on paper: one saw, one band, plans laid by
hand."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache

from tests.planning.saws import make_saw
from tests.tables import package_tables

from kerfsmith.catalog.band import Band, Edge, Pitch
from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.saw import Capacity, CycleTimes, SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.costing.rates import Rates, RemnantRule, Span
from kerfsmith.cutting.setting import CutSetting, Limit, Slice
from kerfsmith.geometry.shapes import Round
from kerfsmith.planning.plan import GroupTimes, Plan, PlanGroup, PlannedBar, PlannedPiece, PlanStatus
from kerfsmith.planning.times import group_times
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, BarKind

GRADE = "4140"
SECTION = Section("round 100 mm", Round(100.0))
KERF_UM = 2_000
FACING_UM = 8_000


def figure(value: float, unit: str, low: float | None = None, high: float | None = None) -> Figure:
    """A figure of the tests' own."""
    return Figure(value, unit, "house", "tests", Confidence.SHOP, low or value, high or value)


BAND = Band(
    "T34",
    Edge.BIMETAL,
    34.0,
    1.1,
    Pitch(3, 4),
    "hook",
    "raker",
    figure(2.0, "mm"),
    figure(20.0, "currency/m", 16.0, 26.0),
)


def saw(**changes: object) -> SawSheet:
    """A saw of round figures: 12 s of each cut are neither sawing nor feeding."""
    own: dict[str, object] = {
        "capacities": (Capacity(0, 300, 300, 400, 300, 250, 150), Capacity(45, 250, 240, 260, 280)),
        "guide_clearance_mm": 30,
        "facing_mm": 8,
        "cycle": CycleTimes(240, 4, 3, 100, 20, 10, 6, 5, 600),
        "rate_per_hour": 60,
    }
    return make_saw(**(own | changes))


@cache
def tables() -> Catalog:
    """The package's own catalog, read once."""
    return package_tables()


def catalog(*saws: SawSheet) -> Catalog:
    """The package's catalog with saws of the tests' own."""
    return replace(tables(), saws=saws or (saw(),))


def rates(**changes: object) -> Rates:
    """Rates in round figures, all of them the shop's own."""
    figures: dict[str, object] = {
        "saw_hour": {},
        "people_hour": Decimal(36),
        "attendance": Decimal("0.5"),
        "hands_on": Decimal(1),
        "set_up_s": Decimal(600),
        "handling_per_bar": Decimal(5),
        "handling_per_line": Decimal(4),
        "certificate": Decimal(15),
        "label": Decimal("0.10"),
        "band_price_per_m": {},
        "scrap": Span(Decimal(0), Decimal("0.02"), Decimal("0.04")),
        "metal_per_kg": {},
        "remnant": RemnantRule(300_000, 3_300_000, Decimal("0.30"), Decimal("0.90")),
        "margin": Decimal("0.20"),
    }
    return Rates().setting(**(figures | changes))


def setting(
    angle_deg: float = 0.0,
    seconds: tuple[float, float, float] = (150.0, 180.0, 240.0),
    area_cm2: float = 80.0,
    life_cm2: tuple[float, float, float] | None = (15_000.0, 20_000.0, 30_000.0),
) -> CutSetting:
    """A setting with the times and life given."""
    low, likely, high = seconds
    slices = tuple(
        Slice(25.0 * k, 80.0, 80.0, 8.0, 30.0, 6.0, 0.2, 1.0, 400.0, Limit.AREA_RATE) for k in range(5)
    )
    return CutSetting(
        saw="plain",
        band=BAND,
        lie="as drawn",
        angle_deg=angle_deg,
        bundle=1,
        band_speed_m_per_min=76.0,
        kerf_um=KERF_UM,
        cut_seconds=likely,
        cut_seconds_low=low,
        cut_seconds_high=high,
        area_cm2=area_cm2,
        mean_feed_mm_per_min=33.0,
        constant_feed_mm_per_min=30.0,
        peak_power_kw=1.6,
        mean_power_kw=1.0,
        peak_force_n=400.0,
        least_teeth_in_cut=6.0,
        most_teeth_in_cut=14.0,
        ruling_limit=Limit.AREA_RATE,
        slices=slices,
        reasons=(),
        cautions=(),
        life_area_cm2=life_cm2,
    )


def line(name: str, length_um: int, quantity: int, **changes: object) -> OrderLine:
    """A line of the section all tests share."""
    plain = OrderLine(name, name, GRADE, SECTION, length_um, quantity)
    return replace(plain, **changes)  # type: ignore[arg-type]  # a test names real fields


def laid(
    bar_id: str,
    length_um: int,
    pieces: Sequence[tuple[OrderLine, int]],
    *,
    times: int = 1,
    kind: BarKind = BarKind.BAR,
    heat: str = "H1",
    least_kept_um: int = 300_000,
) -> PlannedBar:
    """A bar faced and cut into so many pieces of each line, one kerf after each."""
    cut = tuple(
        PlannedPiece(one.id, one.mark, one.length_um, KERF_UM) for one, count in pieces for _ in range(count)
    )
    left = length_um - FACING_UM - KERF_UM - sum(piece.taken_um for piece in cut)
    return PlannedBar(
        bar_id, kind, length_um, times, heat, "", FACING_UM, KERF_UM, cut, left, left >= least_kept_um
    )


def group(*bars: PlannedBar, at: SawSheet | None = None, cut: CutSetting | None = None) -> PlanGroup:
    """The run of these bars at one saw with one square setting."""
    square = cut or setting()
    times: GroupTimes = group_times(bars, {0.0: square}, at or saw())
    return PlanGroup(
        id=f"{GRADE}|{SECTION.key}",
        grade=GRADE,
        section=SECTION,
        saw=(at or saw()).id,
        saw_name=(at or saw()).name,
        status=PlanStatus.BEST,
        settings=(square,),
        bars=tuple(bars),
        cost=1.0,
        lower_bound=1.0,
        cost_unit="EUR",
        bound_source="by hand",
        pieces_wanted=sum(bar.times * len(bar.pieces) for bar in bars),
        unplanned=(),
        times=times,
        mass_kg_per_m=61.65,
        first_due=None,
        tried=(),
    )


def plan(*groups: PlanGroup) -> Plan:
    """A plan of these groups."""
    return Plan("p", "by hand", groups, (), 1)


def rack_bar(
    bar_id: str, length_um: int, price: str | None, kind: BarKind = BarKind.BAR, count: int = 9
) -> Bar:
    """A rack entry of the section all tests share."""
    return Bar(bar_id, GRADE, SECTION, length_um, count, "H1", "A1", Decimal(price) if price else None, kind)
