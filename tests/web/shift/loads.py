"""A second run at the shift's saw, of six bars that are cut three at once."""

from dataclasses import dataclass, replace

from tests.web.shift.shop import ShiftShop

from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import ForLine, PlannedBar, PlannedPiece
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.person import HOUSE
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.shop.run import Run
from kerfsmith.units.told import Told
from kerfsmith.workflow.plan_cuts import plan_cuts
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.stock_rack import stock_rack
from kerfsmith.workflow.take_order import take_order

FACING_UM, LENGTH_UM = 10_000, 3_000_000
RUN = "r2"


@dataclass(frozen=True, slots=True)
class Named:
    """What the bars, marks, customer and saw of the run are called, and what its settings warn of."""

    label: str = "L-1"
    marks: tuple[str, str, str] = ("P5", "P6", "P7")
    place: str = "A1"
    customer: str = "Hall"
    saw: str = ""
    cautions: tuple[Told, ...] = ()


def with_loads(shop: ShiftShop, named: Named = Named()) -> ShiftShop:
    """Run r2: of every load the first two bars give P5 twice and P6, the third gives P5 twice and P7."""
    at, plan = shop.floor.now(), shop.store.latest_plan()
    assert plan is not None
    first = plan.groups[0]
    five, six, seven = named.marks
    bar = Bar(named.label, first.grade, first.section, LENGTH_UM, 6, "H100", named.place)
    lines = tuple(
        OrderLine(
            f"o9:{place}", mark, first.grade, first.section, um, count, 500, 500, customer=named.customer
        )
        for place, mark, um, count in (
            ("P5", five, 500_000, 12),
            ("P6", six, 400_000, 4),
            ("P7", seven, 400_000, 2),
        )
    )
    stock_rack(shop.store, [bar], by=HOUSE, at=at, source="test")
    take_order(shop.store, Order("o9", "Sets", lines), by=HOUSE, at=at, source="test")
    single = first.settings[0]
    kerf_um = single.kerf_um
    pieces = (
        *(PlannedPiece("o9:P5", five, 500_000, kerf_um) for _ in range(2)),
        PlannedPiece("o9:P6", six, 400_000, kerf_um, others=(ForLine("o9:P6", six), ForLine("o9:P7", seven))),
    )
    used_um = FACING_UM + kerf_um + sum(piece.taken_um for piece in pieces)
    planned = PlannedBar(
        bar_id=bar.id,
        kind=BarKind.BAR,
        length_um=LENGTH_UM,
        times=6,
        heat=bar.heat,
        place=bar.place,
        facing_um=FACING_UM,
        facing_kerf_um=kerf_um,
        pieces=pieces,
        remnant_um=LENGTH_UM - used_um,
        keep=True,
        at_once=3,
    )
    tables = shop.catalog
    bundle = set_cut(
        tables.find_grade(first.grade),
        first.section,
        tables.find_saw(first.saw),
        tables.bands,
        tables.corrections,
        bundle=3,
        band_id=single.band.id,
    )
    bundles = (bundle,) if isinstance(bundle, CutSetting) else ()
    settings, bundle_settings = (
        tuple(replace(one, cautions=(*named.cautions, *one.cautions)) for one in kind)
        for kind in (first.settings, bundles)
    )
    group = replace(
        first,
        id="loads",
        bars=(planned,),
        settings=settings,
        bundle_settings=bundle_settings,
        pieces_wanted=18,
    )
    plan_cuts(
        shop.store,
        (),
        lambda _: [(0, group)],
        order_ids=["o9"],
        plan_id="p2",
        name="Sets",
        seed=1,
        by=HOUSE,
        at=at,
    )
    told = ReleaseRun(RUN, "p2", "loads")
    saw = tables.find_saw(first.saw)
    saw = replace(saw, name=named.saw or saw.name)
    run = release_run(shop.store, told, saw=saw, by=HOUSE, at=at)
    assert isinstance(run, Run), run
    return shop
