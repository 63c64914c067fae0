"""What the grades' pages show."""

from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.figure import Figure
from kerfsmith.catalog.material import Grade
from kerfsmith.web.reading import Reading
from kerfsmith.web.reasons import FigureCell, shown_figure
from kerfsmith.web.search import Found, search
from kerfsmith.web.sheet import link


@dataclass(frozen=True, slots=True)
class GradeRow:
    """One grade in the list."""

    name: str
    href: str
    designations: str
    group: str
    condition: str
    hardness: str
    band_speed: str
    cautions: str


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A named figure with its source."""

    name: str
    cell: FigureCell


@dataclass(frozen=True, slots=True)
class CautionRow:
    """One caution with its source."""

    text: str
    source: str
    source_href: str
    where: str


@dataclass(frozen=True, slots=True)
class GradePage:
    """One grade in full."""

    facts: tuple[tuple[str, str], ...]
    cautions: tuple[CautionRow, ...]
    figures: tuple[FigureRow, ...]
    cut_href: str


def grades_page(catalog: Catalog, wanted: str, reading: Reading) -> Found[GradeRow]:
    """The grades that answer to the words wanted."""
    found = search(catalog.grades, wanted, _all_names, "grade", most=250)
    return Found(found.wanted, tuple(_row(grade, reading) for grade in found.entries), found.words)


def grade_page(catalog: Catalog, grade: Grade, reading: Reading) -> GradePage:
    """One grade with every figure the program uses of it."""
    facts = [
        ("Also called", ", ".join(grade.aliases)),
        ("Designations", _designations(grade)),
        ("Group", grade.group),
        ("Condition", grade.condition),
        ("Coolant", grade.coolant),
        ("Chips", "soft, packs the gullets: take the coarser pitch" if grade.soft_gummy else ""),
        ("Hardens under the tooth", "yes: never let it rub" if grade.work_hardens else ""),
        ("Note", grade.note),
    ]
    cautions = tuple(
        CautionRow(one.text, one.source, f"/sources#{link(one.source)[1:]}", one.where)
        for one in catalog.cautions(grade)
    )
    return GradePage(
        facts=tuple((name, text) for name, text in facts if text),
        cautions=cautions,
        figures=tuple(FigureRow(name, shown_figure(figure, reading)) for name, figure in _figures(grade)),
        cut_href=f"/cut?grade={link(grade.name)[1:]}&section=round%20100%20mm",
    )


def _figures(grade: Grade) -> Iterator[tuple[str, Figure]]:
    named: list[tuple[str, Figure | None]] = [
        ("Band speed, bimetal, coolant, 102 mm (4 in) in the cut", grade.band_speed),
        ("Cutting rate, bimetal", grade.rate_bimetal),
        ("Cutting rate, carbide-tipped", grade.rate_carbide),
        ("Chip per tooth", grade.chip_um),
        ("Hardness", grade.hb),
        ("Density", grade.density_kg_per_m3),
        ("How much chips swell", grade.chip_bulking),
        ("Area a band cuts in its life", grade.band_life),
        ("Band speed not to be passed, for fire", grade.fire_speed),
    ]
    yield from ((name, figure) for name, figure in named if figure is not None)
    for force in grade.kienzle:
        yield f"Specific force at 1 mm of chip, exponent {force.mc:g} (group {force.group})", force.kc11
    for power in grade.unit_power:
        yield f"Unit power, {power.hb_low:g} to {power.hb_high:g} HB", power.figure


def _row(grade: Grade, reading: Reading) -> GradeRow:
    return GradeRow(
        name=grade.name,
        href=link("grades", grade.name),
        designations=_designations(grade),
        group=grade.group,
        condition=grade.condition,
        hardness=f"{grade.hb.low:g} to {grade.hb.high:g} HB"
        if grade.hb.low < grade.hb.high
        else f"{grade.hb.value:g} HB",
        band_speed=reading.speed(grade.band_speed.value),
        cautions=", ".join(str(hazard).replace("-", " ") for hazard in grade.hazards),
    )


def _designations(grade: Grade) -> str:
    """Systems with their designations; one that is only the nearest says so."""
    return ", ".join(
        f"{system} {text[1:]} (nearest)" if text.startswith("~") else f"{system} {text}"
        for system, text in grade.designations
    )


def _all_names(grade: Grade) -> str:
    return " ".join(
        (grade.name, *grade.aliases, *(text for _, text in grade.designations), grade.group, grade.family)
    )
