"""A small catalog for reading lists: three grades, round, square and flat bars, tubes."""

import re

from kerfsmith.catalog.section import Section
from kerfsmith.errors import UnknownName, UnreadableText
from kerfsmith.exchange.grade_cells import GradeReading
from kerfsmith.geometry.shapes import Flat, Round
from kerfsmith.units.parse import Unit, parse_length

GRADES = {"4140": "4140", "42crmo4": "4140", "a36": "A36", "s355": "S355JR", "s355jr": "S355JR"}


def read_grade(text: str) -> GradeReading:
    """The fake catalog's grade. Raises UnknownName."""
    found = GRADES.get(text.lower())
    if found is None:
        raise UnknownName("grade", text, ("4140", "A36"))
    return GradeReading(found, "is only near S355JR" if text.lower() == "s355" else "")


def read_section(text: str, *, bare: Unit | None, decimal: str | None) -> Section:
    """``round 50 mm``, ``flat 100 x 10 mm``. Raises UnreadableText."""
    match = re.fullmatch(r"(round|rd|ø|flat|fl)\s*(.+)", text.strip().lower())
    if match is None:
        raise UnreadableText(text, "is no section that is known", "write round 50 mm or flat 100 x 10 mm")
    sizes = re.split(r"\s*[x×]\s*", match[2])
    unit = re.search(r"(mm|in|\")$", sizes[-1])
    sizes = [size if unit is None or size.endswith(unit[0]) else f"{size} {unit[0]}" for size in sizes]
    lengths_mm = [float(parse_length(size, bare=bare, decimal=decimal).exact) for size in sizes]
    if match[1] in ("flat", "fl"):
        if len(lengths_mm) != 2:
            raise UnreadableText(text, "needs a width and a thickness", "write flat 100 x 10 mm")
        return Section(text, Flat(*lengths_mm))
    if len(lengths_mm) != 1:
        raise UnreadableText(text, "needs one diameter", "write round 50 mm")
    return Section(text, Round(*lengths_mm))


def mass_kg(grade: str, section: Section, length_um: int) -> float:
    """Ten kilograms a metre, whatever it is."""
    return length_um / 1_000_000 * 10.0
