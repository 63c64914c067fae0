"""Cut lists and rack lists read with the catalog's names for grades and sections."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from kerfsmith.catalog.catalog import OWN_NAME, Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.section import Section
from kerfsmith.exchange.dxf.read import MOST_BYTES, DrawnRead, read_dxf_section
from kerfsmith.exchange.grade_cells import GradeReading
from kerfsmith.exchange.nc.gather import gather, is_delivery
from kerfsmith.exchange.nc.order import read_nc_order
from kerfsmith.exchange.nc.part import AT_COMMAND, NcRemedies
from kerfsmith.exchange.order_file import OrderRead, read_order
from kerfsmith.exchange.rack_file import PricePer, RackRead, read_rack
from kerfsmith.exchange.yearly_file import YearlyRead, read_yearly
from kerfsmith.geometry.measures import mass_kg_per_m
from kerfsmith.units.length import Unit, um_to_mm
from kerfsmith.units.parse import DateOrder
from kerfsmith.units.told import Told, sentence


@dataclass(frozen=True, slots=True)
class OwnNames:
    """What the sender says about names of his: ``grades`` by their catalog names, ``sections`` drawn.

    Keys are folded by :func:`own_name`. ``remedies`` are what he can do about others where he reads of them.
    """

    grades: Mapping[str, str] = field(default_factory=dict)
    sections: Mapping[str, Section] = field(default_factory=dict)
    remedies: NcRemedies = AT_COMMAND


def own_name(text: str) -> str:
    """A name as it is looked up: case and blanks don't tell two names apart, nor × from * and x."""
    return "".join(text.casefold().split()).replace("*", "x").replace("×", "x")


@dataclass(frozen=True, slots=True)
class _Readers:
    """The catalog's readers of grades and sections, the sender's own names before them."""

    catalog: Catalog
    own: OwnNames = field(default_factory=OwnNames)

    def grade(self, text: str) -> GradeReading:
        """The catalog's name of the grade in ``text``, with a word where it is only the nearest."""
        told = self.own.grades.get(own_name(text))
        match = self.catalog.match_grade(text if told is None else told)
        if told is not None:
            return GradeReading(
                match.grade.name, note=sentence("was taken as {grade}, as was said", grade=match.grade.name)
            )
        if match.system == OWN_NAME:
            return GradeReading(
                match.grade.name,
                note=sentence(
                    "was taken as {grade}: it is {what} for it", grade=match.grade.name, what=Told(OWN_NAME)
                ),
            )
        if match.nearest:
            caution = sentence(
                "is {designation} ({system}); taken as its nearest, {grade}",
                designation=match.designation,
                system=match.system,
                grade=match.grade.name,
            )
            return GradeReading(match.grade.name, caution)
        if match.ignored:
            note = sentence(
                "was taken as {grade}; {ignored} changes no figure here",
                grade=match.grade.name,
                ignored=f"{match.ignored!r}",
            )
            return GradeReading(match.grade.name, note=note)
        return GradeReading(match.grade.name)

    def section(self, text: str, *, bare: Unit | None, decimal: str | None) -> Section:
        """The section in ``text``."""
        drawn = self.own.sections.get(own_name(text))
        return drawn or read_section(text, self.catalog, bare=bare, decimal=decimal)

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
    own: OwnNames | None = None,
) -> OrderRead:
    """A cut list, or NC files (one, or an archive of them), with the catalog's grades and sections."""
    if is_delivery(name, data):
        return read_nc_files([(name, data)], catalog, own=own)
    readers = _Readers(catalog, own or OwnNames())
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


def read_nc_files(
    files: Sequence[tuple[str, bytes]], catalog: Catalog, *, own: OwnNames | None = None
) -> OrderRead:
    """NC files and archives of them, each by name and bytes, as one order."""
    readers = _Readers(catalog, own or OwnNames())
    found, told = gather(files)
    return read_nc_order(
        found,
        read_grade=readers.grade,
        read_section=readers.section,
        findings=told,
        remedies=readers.own.remedies,
    )


def read_drawn_section(
    path: Path, *, name: str = "", unit: Unit | None = None, bare: Unit | None = None
) -> DrawnRead:
    """The section drawn in a DXF file, called by the file's own name where no other is given.

    ``unit`` and ``bare`` as in `read_dxf_section`.

    Raises OSError for a file that can't be read.
    """
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    return read_dxf_section(path.name, data, name=name or path.stem, unit=unit, bare=bare)


def read_yearly_bytes(
    name: str, data: bytes, catalog: Catalog, *, bare: Unit | None = None, own: OwnNames | None = None
) -> YearlyRead:
    """A sheet of yearly quantities with the catalog's grades and sections."""
    readers = _Readers(catalog, own or OwnNames())
    return read_yearly(name, data, read_grade=readers.grade, read_section=readers.section, bare_unit=bare)


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
    own: OwnNames | None = None,
) -> RackRead:
    """A rack list with the catalog's grades and sections."""
    readers = _Readers(catalog, own or OwnNames())
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
