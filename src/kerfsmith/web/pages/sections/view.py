"""What the sections' pages show."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.naming import folded
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.shelf import SectionRow
from kerfsmith.errors import UnknownName
from kerfsmith.geometry.lay import lies
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.shop.own_words import OwnSection, SectionUse
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.reading import Reading
from kerfsmith.web.search import Found, search
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, say_many

STEEL_KG_PER_M3 = 7850.0
"""Density for the mass shown beside a section of no grade yet (EN 10365 weights are reckoned with it)."""


@dataclass(frozen=True, slots=True)
class SectionCard:
    """One section in the list."""

    name: str
    href: str
    words: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class SectionsPage:
    """The sections that answer to what was asked, those the shop has drawn before them."""

    found: Found[SectionCard]
    own: tuple[SectionCard, ...]
    draws: bool
    problem: str = ""


@dataclass(frozen=True, slots=True)
class GradeMass:
    """The mass of a section in a grade: what was asked for, the names there are, and the answer in words."""

    wanted: str
    grades: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class OwnSheet:
    """What is told of a section that the shop has drawn, and whether it may be called otherwise or go."""

    name: str
    kept: str
    use: str
    may_change: bool
    in_use: bool


@dataclass(frozen=True, slots=True)
class LiePicture:
    """One way the section can lie in the vise."""

    name: str
    drawing: Markup


@dataclass(frozen=True, slots=True)
class SectionPage:
    """One section in full."""

    drawing: Markup
    facts: tuple[tuple[str, str], ...]
    standard: str
    standard_href: str
    lies: tuple[LiePicture, ...]
    cut_href: str
    mass: GradeMass
    own: OwnSheet | None = None
    problem: str = ""


def sections_page(
    catalog: Catalog,
    wanted: str,
    reading: Reading,
    *,
    own: Sequence[OwnSection] = (),
    draws: bool = False,
    problem: str = "",
) -> SectionsPage:
    """The sections that answer to the words wanted; without any, those the shop has drawn first."""
    drawn = () if wanted else tuple(_card(one.section, at, reading, "own") for at, one in enumerate(own))
    return SectionsPage(found_sections(catalog, wanted, reading), drawn, draws, problem)


def found_sections(catalog: Catalog, wanted: str, reading: Reading) -> Found[SectionCard]:
    """The sections that answer to the words wanted."""
    found = search(catalog.section_rows, wanted, _all_names, _counted, most=36)
    cards = tuple(_card(row.draw(), at, reading) for at, row in enumerate(found.entries))
    return Found(found.wanted, cards, found.words)


def section_page(
    section: Section,
    catalog: Catalog,
    reading: Reading,
    *,
    grade: str = "",
    own: OwnSheet | None = None,
    problem: str = "",
) -> SectionPage:
    """One section with its measures, its mass in a grade, and the ways it can lie."""
    outline = section.shape.outline()
    facts = [
        (say("Also written"), ", ".join(section.aliases)),
        (say("Shape"), say(section.shape.kind)),
        *measures(section, reading),
        *((name, text) for name, text in _dimensions(section, reading)),
    ]
    return SectionPage(
        drawing=section_drawing(
            outline, name=section.name, reading=reading, key="whole", width=460, height=400
        ),
        facts=tuple((name, text) for name, text in facts if text),
        standard=section.standard,
        standard_href="" if own else f"/sources#{link(section.standard)[1:]}",
        lies=tuple(
            LiePicture(
                say(lie.name),
                section_drawing(
                    lie.outline, name=f"{section.name}, {say(lie.name)}", reading=reading, key=f"lie{at}"
                ),
            )
            for at, lie in enumerate(lies(section.shape))
        ),
        cut_href=f"/cut?grade={link(grade or 'A36')[1:]}&section={link(section.name)[1:]}",
        mass=grade_mass(section, catalog, grade, reading),
        own=own,
        problem=problem,
    )


def measures(section: Section, reading: Reading) -> tuple[tuple[str, str], ...]:
    """Size, walls, area and mass in steel, of any section."""
    outline = section.shape.outline()
    wall = section.shape.wall_mm
    holes = sum(len(body.holes) for body in outline.bodies)
    return (
        (say("Width and height"), f"{reading.size(outline.width_mm)} × {reading.size(outline.height_mm)}"),
        (say("Thinnest wall"), reading.size(wall) if wall is not None else ""),
        (say("Holes through it"), str(holes) if holes else ""),
        (say("Area of a square cut"), reading.area(outline.area_mm2 / 100)),
        (say("In steel"), _mass(mass_kg_per_m(outline.area_mm2, STEEL_KG_PER_M3), reading)),
    )


def grade_mass(section: Section, catalog: Catalog, wanted: str, reading: Reading) -> GradeMass:
    """Mass of a length of the section in a grade, from the grade's own density."""
    words = ""
    if wanted:
        try:
            grade = catalog.find_grade(wanted)
        except UnknownName as unknown:
            words = _no_grade(repr(wanted), ", ".join(unknown.near))
        else:
            density = grade.density_kg_per_m3
            words = say(
                "{mass} in {grade}: {area} of it at {density} kg/m³ ({source}).",
                mass=_mass(mass_kg_per_m(section.shape.outline().area_mm2, density.value), reading),
                grade=grade.name,
                area=reading.area(section.shape.outline().area_mm2 / 100),
                density=f"{density.value:g}",
                source=density.source,
            )
    return GradeMass(wanted, tuple(one.name for one in catalog.grades), words)


def own_sheet(own: OwnSection, use: SectionUse, *, may_change: bool) -> OwnSheet:
    """What is told of a section that the shop has drawn."""
    places = (
        (use.lines, say_many("{count} line on the book", "{count} lines on the book", use.lines)),
        (use.bars, say_many("{count} entry of the rack", "{count} entries of the rack", use.bars)),
        (use.runs, say_many("{count} open run", "{count} open runs", use.runs)),
    )
    return OwnSheet(
        name=own.section.name,
        kept=say(
            "From {file}, kept by {person} on {day}.",
            file=own.file,
            person=own.kept_by,
            day=own.kept_at.date().isoformat(),
        ),
        use=", ".join(words for count, words in places if count),
        may_change=may_change,
        in_use=use.any,
    )


def own_of(own: Sequence[OwnSection], name: str) -> OwnSection | None:
    """The drawn section of that name."""
    return next((one for one in own if folded(one.section.name) == folded(name)), None)


def _dimensions(section: Section, reading: Reading) -> list[tuple[str, str]]:
    names = [name for name in section.shape.__dataclass_fields__ if name.endswith("_mm")]
    values = [(name, getattr(section.shape, name)) for name in names]
    return [
        (say(name.removesuffix("_mm").replace("_", " ").capitalize()), reading.size(value))
        for name, value in values
        if isinstance(value, float) and value > 0
    ]


def _mass(kg_per_m: float, reading: Reading) -> str:
    if reading.is_metric:
        return say("{kg_per_m} per metre", kg_per_m=reading.mass(kg_per_m))
    return say("{kg_per_m} per foot", kg_per_m=reading.mass(kg_per_m * 0.3048))


def _card(section: Section, at: int, reading: Reading, key: str = "s") -> SectionCard:
    outline = section.shape.outline()
    return SectionCard(
        name=section.name,
        href=link("sections", section.name),
        words=f"{reading.area(outline.area_mm2 / 100)}, {section.standard}",
        drawing=section_drawing(
            outline, name=section.name, reading=reading, key=f"{key}{at}", width=170, height=150
        ),
    )


def _all_names(row: SectionRow) -> str:
    return " ".join((row.name, *row.aliases, row.standard))


def _counted(sections: int) -> str:
    return say_many("{count} section", "{count} sections", sections)


def _no_grade(name: str, near: str) -> str:
    if near:
        return say("No grade is called {name}; near it: {near}.", name=name, near=near)
    return say("No grade is called {name}.", name=name)
