"""What the sections' pages show."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.shelf import SectionRow
from kerfsmith.geometry.lay import lies
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.reading import Reading
from kerfsmith.web.search import Found, search
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say

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


def sections_page(catalog: Catalog, wanted: str, reading: Reading) -> Found[SectionCard]:
    """The sections that answer to the words wanted."""
    found = search(catalog.section_rows, wanted, _all_names, "section", most=36)
    cards = tuple(_card(row.draw(), at, reading) for at, row in enumerate(found.entries))
    return Found(found.wanted, cards, found.words)


def section_page(section: Section, reading: Reading) -> SectionPage:
    """One section with its measures and the ways it can lie."""
    outline = section.shape.outline()
    area_cm2 = outline.area_mm2 / 100
    wall = section.shape.wall_mm
    mass_kg_per_m = outline.area_mm2 * 1e-6 * STEEL_KG_PER_M3
    facts = [
        (say("Also written"), ", ".join(section.aliases)),
        (say("Shape"), section.shape.kind),
        (say("Width and height"), f"{reading.size(outline.width_mm)} × {reading.size(outline.height_mm)}"),
        (say("Thinnest wall"), reading.size(wall) if wall is not None else ""),
        (say("Area of a square cut"), reading.area(area_cm2)),
        (say("In steel"), _mass(mass_kg_per_m, reading)),
        *((name, text) for name, text in _dimensions(section, reading)),
    ]
    return SectionPage(
        drawing=section_drawing(
            outline, name=section.name, reading=reading, key="whole", width=460, height=400
        ),
        facts=tuple((name, text) for name, text in facts if text),
        standard=section.standard,
        standard_href=f"/sources#{link(section.standard)[1:]}",
        lies=tuple(
            LiePicture(
                lie.name,
                section_drawing(
                    lie.outline, name=f"{section.name}, {lie.name}", reading=reading, key=f"lie{at}"
                ),
            )
            for at, lie in enumerate(lies(section.shape))
        ),
        cut_href=f"/cut?grade=A36&section={link(section.name)[1:]}",
    )


def _dimensions(section: Section, reading: Reading) -> list[tuple[str, str]]:
    names = [name for name in section.shape.__dataclass_fields__ if name.endswith("_mm")]
    values = [(name, getattr(section.shape, name)) for name in names]
    return [
        (name.removesuffix("_mm").replace("_", " ").capitalize(), reading.size(value))
        for name, value in values
        if isinstance(value, float) and value > 0
    ]


def _mass(kg_per_m: float, reading: Reading) -> str:
    if reading.is_metric:
        return say("{kg_per_m} per metre", kg_per_m=reading.mass(kg_per_m))
    return say("{kg_per_m} per foot", kg_per_m=reading.mass(kg_per_m * 0.3048))


def _card(section: Section, at: int, reading: Reading) -> SectionCard:
    outline = section.shape.outline()
    return SectionCard(
        name=section.name,
        href=link("sections", section.name),
        words=f"{reading.area(outline.area_mm2 / 100)}, {section.standard}",
        drawing=section_drawing(
            outline, name=section.name, reading=reading, key=f"s{at}", width=170, height=150
        ),
    )


def _all_names(row: SectionRow) -> str:
    return " ".join((row.name, *row.aliases, row.standard))
