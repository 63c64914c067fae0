"""Cut lists and rack lists read with the catalog's names for grades and sections."""

from collections.abc import Mapping
from dataclasses import dataclass

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.section import Section
from kerfsmith.exchange.grade_cells import GradeReading
from kerfsmith.exchange.order_file import OrderRead, read_order
from kerfsmith.exchange.rack_file import PricePer, RackRead, read_rack
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.units.length import Unit, um_to_mm
from kerfsmith.units.parse import DateOrder


@dataclass(frozen=True, slots=True)
class _Readers:
    """The catalog's readers of grades and sections."""

    catalog: Catalog

    def grade(self, text: str) -> GradeReading:
        """The catalog's name of the grade in ``text``, with a word where it is only the nearest."""
        match = self.catalog.match_grade(text)
        if match.nearest:
            caution = f"is {match.designation} ({match.system}); taken as its nearest, {match.grade.name}"
            return GradeReading(match.grade.name, caution)
        if match.ignored:
            note = f"was taken as {match.grade.name}; {match.ignored!r} changes no figure here"
            return GradeReading(match.grade.name, note=note)
        return GradeReading(match.grade.name)

    def section(self, text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        """The section in ``text``."""
        return read_section(text, self.catalog, bare=bare, decimal=decimal)

    def mass_kg(self, grade: str, section: Section, length_um: int) -> float:
        """Mass of one bar."""
        density = self.catalog.find_grade(grade).density_kg_per_m3.value
        per_m = mass_kg_per_m(section.shape.outline().area_mm2, density)
        return per_m * um_to_mm(length_um) / 1000


def read_order_bytes(
    name: str,
    data: bytes,
    catalog: Catalog,
    *,
    bare: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    date_order: DateOrder | None = None,
) -> OrderRead:
    """A cut list with the catalog's grades and sections."""
    readers = _Readers(catalog)
    return read_order(
        name,
        data,
        read_grade=readers.grade,
        read_section=readers.section,
        bare_unit=bare,
        columns=columns,
        decimal=decimal,
        date_order=date_order,
    )


def read_rack_bytes(
    name: str,
    data: bytes,
    catalog: Catalog,
    *,
    currency: str,
    bare: Unit | None = None,
    columns: Mapping[str, str | int | None] | None = None,
    decimal: str | None = None,
    price_per: PricePer | None = None,
) -> RackRead:
    """A rack list with the catalog's grades and sections."""
    readers = _Readers(catalog)
    return read_rack(
        name,
        data,
        read_grade=readers.grade,
        read_section=readers.section,
        mass_kg=readers.mass_kg,
        currency=currency,
        bare_unit=bare,
        columns=columns,
        decimal=decimal,
        price_per=price_per,
    )
