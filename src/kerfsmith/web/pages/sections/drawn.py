"""What the page of a drawing shows before its section is kept."""

from dataclasses import dataclass

from markupsafe import Markup

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.units.length import Measure, Unit, mm_to_um
from kerfsmith.units.show import show_length
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.drawing.sketch import sketch
from kerfsmith.web.findings import FindingRow, finding_rows, findings_words
from kerfsmith.web.pages.sections.view import GradeMass, grade_mass, measures
from kerfsmith.web.reading import Reading
from kerfsmith.web.section_stage import DrawingRead
from kerfsmith.web.words import say


@dataclass(frozen=True, slots=True)
class DrawnPage:
    """A drawing as it was read. ``drawing`` is None where it makes no section, and ``mass`` too.

    ``units`` are the units it can be read in: value, words, and whether it is read so now.
    """

    id: str
    file: str
    name: str
    question: str
    drawing: Markup | None
    facts: tuple[tuple[str, str], ...]
    mass: GradeMass | None
    units: tuple[tuple[str, str, bool], ...]
    asks_unit: bool
    findings: tuple[FindingRow, ...]
    findings_words: str
    may_keep: bool
    problem: str
    sketch: Markup | None
    """The lines as they were drawn, where they make no section."""


def drawn_page(
    read: DrawingRead,
    catalog: Catalog,
    reading: Reading,
    *,
    grade: str = "",
    name: str = "",
    may_keep: bool,
    problem: str = "",
) -> DrawnPage:
    """A held drawing with what was found in it."""
    section = read.section
    asks = any(finding.code == "dxf-unit-missing" for finding in read.findings)
    return DrawnPage(
        id=read.id,
        file=read.file,
        name=name or read.name,
        question=_question(section, asks=asks),
        drawing=_drawing(section, reading) if section else None,
        facts=_facts(read, section, reading) if section else (),
        mass=grade_mass(section, catalog, grade, reading) if section else None,
        units=_units(read, asks=asks),
        asks_unit=asks,
        findings=finding_rows(read.findings),
        findings_words=findings_words(read.findings),
        may_keep=may_keep,
        problem=problem,
        sketch=sketch(read.pieces, read.amiss, name=read.file, key="sketch")
        if section is None and read.pieces
        else None,
    )


def _question(section: Section | None, *, asks: bool) -> str:
    if section is not None:
        return say("Is this the section that is meant?")
    return say("In which unit is it drawn?") if asks else say("Why does it make no section?")


def _drawing(section: Section, reading: Reading) -> Markup:
    return section_drawing(
        section.shape.outline(), name=section.name, reading=reading, key="whole", width=460, height=400
    )


def _facts(read: DrawingRead, section: Section, reading: Reading) -> tuple[tuple[str, str], ...]:
    """The measures, the overall size in the other measure too: a wrong unit shows there first."""
    outline = section.shape.outline()
    other = Measure.INCH if reading.is_metric else Measure.METRIC
    sizes = (show_length(mm_to_um(size), other) for size in (outline.width_mm, outline.height_mm))
    told = [*measures(section, reading)]
    told.insert(1, (say("The same in the other measure"), " × ".join(sizes)))
    if read.unit_mm is not None:
        whose = say("as you said") if read.unit else say("as the drawing says")
        told.append((say("One unit of the drawing"), f"{read.unit_mm:g} mm, {whose}"))
    return tuple((name, text) for name, text in told if text)


def _units(read: DrawingRead, *, asks: bool) -> tuple[tuple[str, str, bool], ...]:
    words = {
        Unit.MM: say("millimetres"),
        Unit.CM: say("centimetres"),
        Unit.M: say("metres"),
        Unit.INCH: say("inches"),
        Unit.FOOT: say("feet"),
    }
    unsaid = say("choose its unit") if asks else say("what the drawing itself says")
    own = ("", unsaid, read.unit is None)
    return (own, *((unit.value, text, read.unit is unit) for unit, text in words.items()))
