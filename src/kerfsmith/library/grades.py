"""Grades from their tables: a grade takes from its group what it doesn't say itself."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.material import Grade, Hazard, Kienzle, UnitPower
from kerfsmith.library.tables import Table, TableFile

SPEED, RATE, DENSITY, POWER = "m/min", "cm2/min", "kg/m3", "kW/(cm3/s)"
# Fields that a group may state for its grades.
SHARED = (
    "density",
    "rate_bimetal",
    "rate_carbide",
    "chip",
    "chip_bulking",
    "band_life",
    "kienzle",
    "unit_power",
    "coolant",
    "soft_gummy",
    "work_hardens",
    "hazards",
)


@dataclass(frozen=True, slots=True)
class PowerTables:
    """Cutting force by material group and unit power by series, as the grades refer to them."""

    kienzle: Mapping[int, tuple[Kienzle, ...]]
    unit_power: Mapping[str, tuple[UnitPower, ...]]


def read_power(file: TableFile) -> PowerTables:
    """The tables of cutting force and unit power. Raises CatalogFault."""
    kienzle: dict[int, tuple[Kienzle, ...]] = {}
    for table in file.tables("kienzle"):
        group = table.whole("group")
        table.text("name"), table.text("condition", ""), table.number("hb", 0)
        entry = Kienzle(table.figure("kc11", "N/mm2"), table.number("mc"), group)
        table.finish()
        kienzle[group] = (*kienzle.get(group, ()), entry)
    series = {table.text("name"): _unit_power(table) for table in file.tables("unit_power")}
    return PowerTables(kienzle, series)


def _unit_power(table: Table) -> tuple[UnitPower, ...]:
    cited = table.citation()
    note, covers = table.text("note", ""), table.text("covers", "")
    spans = []
    for row in table.rows("hp_per_in3_per_min"):
        low, high, value = row
        fields = {
            "value": value,
            "unit": "hp/(in3/min)",
            "source": cited.source,
            "where": cited.where,
            "confidence": cited.confidence.value,
            "note": "; ".join(part for part in (note, f"for {covers}" if covers else "") if part),
        }
        figure = Table(table.file, table.name, fields, {}).as_figure(POWER)
        spans.append(UnitPower(float(str(low)), float(str(high)), figure))
    table.finish()
    return tuple(spans)


def read_groups(file: TableFile) -> dict[str, Table]:
    """The cutting groups by name, still as tables: each grade reads its own share of them."""
    groups = {}
    for table in file.tables("group"):
        unknown = sorted(set(table.fields) - {"name", "family", *SHARED})
        if unknown:
            raise table.fault(unknown[0], "isn't a field of a group")
        groups[table.text("name")] = table
    return groups


def read_grades(
    files: Iterable[TableFile], groups: Mapping[str, Table], power: PowerTables
) -> tuple[Grade, ...]:
    """All grades of the files. Raises CatalogFault for a table that can't be used."""
    return tuple(_grade(table, groups, power) for file in files for table in file.tables("grade"))


def _grade(table: Table, groups: Mapping[str, Table], power: PowerTables) -> Grade:
    group_name = table.text("group")
    if group_name not in groups:
        raise table.fault("group", f"no group is called {group_name!r}")
    group = groups[group_name]
    of = {key: table if table.has(key) else group for key in SHARED}
    own_hazards = tuple(_hazards(table)) if table.has("hazards") else ()
    grade = Grade(
        name=table.text("name"),
        aliases=table.texts("aliases"),
        designations=_designations(table),
        group=group_name,
        family=group.text("family"),
        condition=table.text("condition"),
        density_kg_per_m3=of["density"].figure("density", DENSITY),
        hb=table.figure("hb", "HB"),
        hb_annealed=table.number("hb_annealed"),
        band_speed=table.figure("band_speed", SPEED),
        rate_bimetal=of["rate_bimetal"].figure_or_none("rate_bimetal", RATE),
        rate_carbide=of["rate_carbide"].figure_or_none("rate_carbide", RATE),
        chip_um=of["chip"].figure("chip", "um"),
        kienzle=_kienzle(of["kienzle"], table, power),
        unit_power=_power_of(of["unit_power"], table, power),
        hazards=tuple(dict.fromkeys((*own_hazards, *_hazards(group)))),
        coolant=of["coolant"].text("coolant"),
        soft_gummy=of["soft_gummy"].flag("soft_gummy"),
        work_hardens=of["work_hardens"].flag("work_hardens"),
        chip_bulking=of["chip_bulking"].figure("chip_bulking", "1"),
        structural_row=table.flag("structural_row"),
        note=table.text("note", ""),
        band_life=of["band_life"].figure_or_none("band_life", "cm2"),
        fire_speed=table.figure_or_none("fire_speed", SPEED),
    )
    for likeness in ("kienzle_likeness", "unit_power_likeness"):
        table.text(likeness, "")
    table.finish()
    return grade


def _designations(table: Table) -> tuple[tuple[str, str], ...]:
    rows = table.rows("designations") if table.has("designations") else []
    table.asked.add("designations")
    if not all(len(row) == 2 and all(isinstance(each, str) for each in row) for row in rows):
        raise table.fault("designations", "must be pairs of system and designation")
    return tuple((str(system), str(designation)) for system, designation in rows)


def _hazards(table: Table) -> list[Hazard]:
    found = []
    for name in table.texts("hazards"):
        try:
            found.append(Hazard(name))
        except ValueError:
            raise table.fault("hazards", f"{name!r} isn't a known hazard") from None
    return found


def _kienzle(owner: Table, grade: Table, power: PowerTables) -> tuple[Kienzle, ...]:
    if not owner.has("kienzle"):
        return ()
    group = owner.whole("kienzle")
    if group not in power.kienzle:
        raise owner.fault("kienzle", f"no material group {group} stands in the table of cutting force")
    likeness = grade.text("kienzle_likeness", "")
    return tuple(replace(entry, kc11=_likened(entry.kc11, likeness)) for entry in power.kienzle[group])


def _power_of(owner: Table, grade: Table, power: PowerTables) -> tuple[UnitPower, ...]:
    if not owner.has("unit_power"):
        return ()
    series = owner.text("unit_power")
    if series not in power.unit_power:
        raise owner.fault("unit_power", f"no series is called {series!r}")
    likeness = grade.text("unit_power_likeness", "")
    return tuple(replace(span, figure=_likened(span.figure, likeness)) for span in power.unit_power[series])


def _likened(figure: Figure, likeness: str) -> Figure:
    """A figure used for a grade that its source doesn't name: of low confidence, and saying so."""
    if not likeness:
        return figure
    note = "; ".join(part for part in (likeness, figure.note) if part)
    return replace(figure, confidence=Confidence.MEMORY_LOW, note=note)
