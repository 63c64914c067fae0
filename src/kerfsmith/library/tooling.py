"""Bands, saws, corrections, cautions and the bibliography from their tables."""

from kerfsmith.catalog.band import Band, Edge, Pitch
from kerfsmith.catalog.catalog import UnclearName
from kerfsmith.catalog.caution import Caution
from kerfsmith.catalog.corrections import BreakIn, Corrections, HardnessPoint, SizePoint, WallStep
from kerfsmith.catalog.figure import Source
from kerfsmith.catalog.material import Hazard
from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet
from kerfsmith.errors import InvalidValue
from kerfsmith.library.tables import CatalogFault, Table, TableFile

MM_PER_INCH = 25.4


def read_sources(file: TableFile) -> tuple[Source, ...]:
    """The bibliography."""
    found = []
    for table in file.tables("source"):
        year = table.whole("year") if table.has("year") else None
        found.append(
            Source(table.text("key"), table.text("title"), year, table.text("kind"), table.text("note", ""))
        )
        table.finish()
    return tuple(found)


def read_bands(file: TableFile) -> tuple[Band, ...]:
    """The bands of a file. Raises CatalogFault."""
    return tuple(_band(table) for table in file.tables("band"))


def _band(table: Table) -> Band:
    try:
        edge = Edge(table.text("edge"))
    except ValueError:
        raise table.fault("edge", f"must be one of {', '.join(each.value for each in Edge)}") from None
    try:
        band = Band(
            id=table.text("id"),
            edge=edge,
            width_mm=table.number("width_mm"),
            thickness_mm=table.number("thickness_mm"),
            pitch=_pitch(table) if table.has("pitch") else None,
            tooth_form=table.text("tooth_form"),
            tooth_set=table.text("tooth_set"),
            kerf=table.figure("kerf", "mm"),
            price_per_m=table.figure("price_per_m", "currency/m"),
            life_area_cm2=table.figure_or_none("life_area", "cm2"),
        )
    except InvalidValue as fault:
        raise table.fault("", str(fault)) from fault
    table.finish()
    return band


def _pitch(table: Table) -> Pitch:
    coarse, fine = table.numbers("pitch", 2)
    return Pitch(coarse, fine)


def read_saws(file: TableFile) -> tuple[SawSheet, ...]:
    """The saws of a file. Raises CatalogFault."""
    return tuple(_saw(table) for table in file.tables("saw"))


_SAW_NUMBERS = (
    "band_width_mm",
    "band_thickness_mm",
    "band_length_mm",
    "band_speed_min_m_per_min",
    "band_speed_max_m_per_min",
    "wheel_diameter_mm",
    "guide_clearance_mm",
    "guide_span_min_mm",
    "guide_span_max_mm",
    "band_tension_mpa",
    "motor_kw",
    "drive_efficiency",
    "feed_min_mm_per_min",
    "feed_max_mm_per_min",
    "feed_force_max_n",
    "head_travel_mm",
    "cant_deg",
    "shuttle_stroke_mm",
    "load_limit_kg",
    "least_grip_mm",
    "facing_mm",
    "index_accuracy_mm",
    "min_work_mm",
    "max_bar_length_mm",
)
_CYCLE_NUMBERS = (
    "load_bar_s",
    "clamp_s",
    "index_fixed_s",
    "index_mm_per_s",
    "approach_mm",
    "approach_mm_per_s",
    "head_return_s",
    "unload_piece_s",
    "band_change_s",
)


def _saw(table: Table) -> SawSheet:
    try:
        control = FeedControl(table.text("feed_control"))
    except ValueError:
        known = ", ".join(each.value for each in FeedControl)
        raise table.fault("feed_control", f"must be one of {known}") from None
    cycle = table.inner("cycle")
    try:
        saw = SawSheet(
            id=table.text("id"),
            name=table.text("name"),
            capacities=tuple(_capacity(each) for each in table.inners("capacity")),
            feed_control=control,
            cycle=CycleTimes(**{name: cycle.number(name) for name in _CYCLE_NUMBERS}),
            coolant=table.flag("coolant", True),
            rate_per_hour=table.number("rate_per_hour", 0),
            materials=table.texts("materials"),
            note=table.text("note", ""),
            pivot_mm=table.number("pivot_mm") if table.has("pivot_mm") else None,
            **{name: table.number(name) for name in _SAW_NUMBERS},
        )
    except InvalidValue as fault:
        raise table.fault("", str(fault)) from fault
    cycle.finish()
    table.finish()
    return saw


def _capacity(table: Table) -> Capacity:
    capacity = Capacity(
        angle_deg=table.number("angle_deg"),
        round_mm=table.number("round_mm"),
        square_mm=table.number("square_mm"),
        rect_width_mm=table.number("rect_width_mm"),
        rect_height_mm=table.number("rect_height_mm"),
        bundle_width_mm=table.number("bundle_width_mm", 0),
        bundle_height_mm=table.number("bundle_height_mm", 0),
    )
    table.finish()
    return capacity


def read_corrections(file: TableFile) -> Corrections:
    """The corrections of band speed, rate, life and break-in. Raises CatalogFault."""
    factors = file.table("factors")
    corrections = Corrections(
        size=tuple(_size_point(table) for table in file.tables("size")),
        hardness=tuple(
            HardnessPoint(table.number("hb"), table.figure("factor", "1"))
            for table in file.tables("hardness")
        ),
        wall_rate=tuple(
            WallStep(table.number("up_to_in") * MM_PER_INCH, table.figure("factor", "1"))
            for table in file.tables("wall_rate")
        ),
        carbide_edge=tuple(
            (table.text("family"), table.figure("factor", "1")) for table in file.tables("carbide_edge")
        ),
        dry=factors.figure("dry", "1"),
        carbon_edge=factors.figure("carbon_edge", "1"),
        shapes=factors.figure("shapes", "1"),
        carbide_life=factors.figure("carbide_life", "1"),
        life_with_chips_in_pipe=factors.figure("life_with_chips_in_pipe", "1"),
        worn_power=factors.figure("worn_power", "1"),
        break_in_easy=_break_in(file.table("break_in_easy")),
        break_in_hard=_break_in(file.table("break_in_hard")),
    )
    factors.finish()
    return corrections


def _size_point(table: Table) -> SizePoint:
    pitch = _pitch(table)
    length_mm = table.number("length_in") * MM_PER_INCH
    return SizePoint(length_mm, pitch.coarse_tpi, pitch.fine_tpi, table.figure("factor", "1"))


def _break_in(table: Table) -> BreakIn:
    return BreakIn(table.figure("feed", "1"), table.figure("area", "cm2"))


def read_cautions(file: TableFile) -> dict[Hazard, tuple[Caution, ...]]:
    """What a person is told about each hazard. Raises CatalogFault when a hazard has no words."""
    found: dict[Hazard, tuple[Caution, ...]] = {}
    for table in file.tables("caution"):
        name = table.text("hazard")
        try:
            hazard = Hazard(name)
        except ValueError:
            raise table.fault("hazard", f"{name!r} isn't a known hazard") from None
        caution = Caution(table.text("text"), table.text("source"), table.text("where"), table.confidence())
        table.finish()
        found[hazard] = (*found.get(hazard, ()), caution)
    silent = [hazard for hazard in Hazard if hazard not in found]
    if silent:
        raise CatalogFault(file.file, "caution", "hazard", f"nothing is said about {silent[0]}")
    return found


def read_unclear_names(file: TableFile) -> tuple[UnclearName, ...]:
    """Words that leave the grade open."""
    return tuple(UnclearName(table.texts("texts"), table.texts("offer")) for table in file.tables("unclear"))
