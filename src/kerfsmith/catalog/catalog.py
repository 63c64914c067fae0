"""The catalog as one value, and how people's names are found in it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.caution import Caution
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.figure import Source
from kerfsmith.catalog.grade_near import near_grade_names
from kerfsmith.catalog.grade_text import parts_of, readings
from kerfsmith.catalog.material import Grade, Hazard
from kerfsmith.catalog.naming import folded, near_names
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.shelf import SectionRow, SectionShelf, row_of, shelf_of
from kerfsmith.errors import InvalidValue, UnknownName

Entry = TypeVar("Entry")

OWN_NAME = "the shop's own name"
"""The ``system`` of a grade found under a word of the shop's."""


@dataclass(frozen=True, slots=True)
class GradeMatch:
    """A grade found under a name. ``system`` and ``designation`` say which of its names matched.

    ``nearest`` is true when that name belongs to another standard's grade which is only the nearest: tell the
    user. ``ignored`` is what stood in the text and played no part: a delivery condition, a product standard.
    """

    grade: Grade
    system: str
    designation: str
    nearest: bool
    ignored: str = ""


@dataclass(frozen=True, slots=True)
class UnclearName:
    """Words that leave the grade open, with the grades to offer instead."""

    texts: tuple[str, ...]
    offer: tuple[str, ...]


@dataclass(frozen=True, repr=False)
class Catalog:
    """Everything the program knows of grades, sections, bands and saws.

    ``sources`` is the bibliography that every figure's ``source`` names, ``hazard_texts`` what is told.
    ``sections`` may be a :class:`~kerfsmith.catalog.shelf.SectionShelf`: it draws each section when taken.
    ``own_names`` are a shop's own words for grades, folded, by the grades' names here.

    Raises InvalidValue when two entries answer to one name.
    """

    grades: tuple[Grade, ...]
    sections: Sequence[Section]
    bands: tuple[Band, ...]
    saws: tuple[SawSheet, ...]
    sources: tuple[Source, ...]
    hazard_texts: Mapping[Hazard, tuple[Caution, ...]]
    corrections: Corrections
    unclear_names: tuple[UnclearName, ...] = field(default=())
    own_names: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _refuse_doubles("grade", (grade.name for grade in self.grades))
        _refuse_doubles("band", (band.id for band in self.bands))
        _refuse_doubles("saw", (saw.id for saw in self.saws))
        _refuse_doubles("source", (source.key for source in self.sources))
        _exact_names(self.grades)

    def find_grade(self, text: str) -> Grade:
        """The grade called ``text`` by any of its names. Raises UnknownName with near names."""
        return self.match_grade(text).grade

    def match_grade(self, text: str) -> GradeMatch:
        """The grade called ``text`` and how it was found: by an exact name before a nearest one.

        The shop's own word for it comes before all others. Tried in turn: the text as it stands, then without
        the name of a numbering system, a product standard, a word for the material (which must agree with the
        grade) or a delivery condition. Several names at once ("304L (1.4307)") must all lead to one grade.
        Raises UnknownName with the near names.
        """
        own = self._grade_names.get(folded(self.own_names.get(folded(text), "")))
        if own is not None:
            return GradeMatch(own.grade, OWN_NAME, text.strip(), nearest=False)
        self._refuse_unclear(text)
        found = self._match_one(text)
        if found is None:
            found = self._match_parts(parts_of(text))
        if found is None:
            raise UnknownName("grade", text, self.near_grades(text))
        return found

    def _match_one(self, text: str) -> GradeMatch | None:
        for reading in readings(text):
            found = self._grade_names.get(folded(reading.name))
            if found is not None and reading.family in (None, found.grade.family):
                return replace(found, ignored=", ".join(reading.ignored))
        return None

    def _match_parts(self, parts: tuple[str, ...]) -> GradeMatch | None:
        """The one grade that all parts name, by its exact name where one is; None where they name several."""
        matches = [self._match_one(part) for part in parts]
        found = [match for match in matches if match is not None]
        if not found or len(found) < len(parts) or len({match.grade.name for match in found}) > 1:
            return None
        return min(found, key=lambda match: match.nearest)

    def near_grades(self, text: str) -> tuple[str, ...]:
        """Names of the grades that ``text`` may mean, nearest first; none where none is near."""
        words = [reading.name for reading in readings(text)]
        words += [word for word in text.split() if len(word) > 3 and not (word.isdigit() or word.isalpha())]
        found = near_grade_names(words, self._shown_names, 6)
        grades = dict.fromkeys(self._grade_names[folded(name)].grade.name for name in found)
        return tuple(grades)[:3]

    def find_band(self, text: str) -> Band:
        """The band with this id. Raises UnknownName."""
        return _named("band", text, self._bands, (band.id for band in self.bands))

    def find_saw(self, text: str) -> SawSheet:
        """The saw with this id or name. Raises UnknownName."""
        return _named("saw", text, self._saws, (saw.name for saw in self.saws))

    def find_section(self, name: str) -> Section:
        """The section of a standard with this designation, or an alias of it. Raises UnknownName.

        Free wording ("round 4 in") is read by :func:`kerfsmith.catalog.reading.read_section`.
        """
        found = self.section_called(name)
        if found is None:
            raise UnknownName("section", name, near_names(name, (row.name for row in self._shelf.rows)))
        return found

    def section_called(self, name: str) -> Section | None:
        """The standard section of this name or alias, None where there is none."""
        index = self._section_places.get(folded(name))
        return None if index is None else self._shelf[index]

    @property
    def section_rows(self) -> tuple[SectionRow, ...]:
        """Names, aliases and standards of all sections, without drawing any."""
        return self._shelf.rows

    def with_own(self, sections: Iterable[Section], grade_names: Mapping[str, str]) -> "Catalog":
        """These tables with a shop's own sections before all others, and its own words for grades."""
        rows = (*map(row_of, sections), *self._shelf.rows)
        names = {folded(word): grade for word, grade in grade_names.items()}
        return replace(self, sections=SectionShelf(rows), own_names=names)

    def source(self, key: str) -> Source:
        """The entry of the bibliography with this key. Raises UnknownName."""
        return _named("source", key, self._sources, (source.key for source in self.sources))

    def cautions(self, grade: Grade) -> tuple[Caution, ...]:
        """What a person is told about a grade, hazard after hazard."""
        return tuple(caution for hazard in grade.hazards for caution in self.hazard_texts[hazard])

    def _refuse_unclear(self, text: str) -> None:
        offer = self._unclear.get(folded(text))
        if offer is not None:
            raise UnknownName("grade", text, offer)

    @cached_property
    def _unclear(self) -> dict[str, tuple[str, ...]]:
        return {folded(text): unclear.offer for unclear in self.unclear_names for text in unclear.texts}

    @cached_property
    def _grade_names(self) -> dict[str, GradeMatch]:
        names: dict[str, GradeMatch] = {}
        for grade in self.grades:
            for system, designation in grade.designations:
                if designation.startswith("~"):
                    nearest = GradeMatch(grade, system, designation[1:], nearest=True)
                    names.setdefault(folded(designation[1:]), nearest)
        return names | _exact_names(self.grades)

    @cached_property
    def _bands(self) -> dict[str, Band]:
        return {folded(band.id): band for band in self.bands}

    @cached_property
    def _saws(self) -> dict[str, SawSheet]:
        return {folded(name): saw for saw in self.saws for name in (saw.name, saw.id)}

    @cached_property
    def _sources(self) -> dict[str, Source]:
        return {folded(source.key): source for source in self.sources}

    @cached_property
    def _shown_names(self) -> dict[str, str]:
        return {
            folded(name): name
            for grade in self.grades
            for name in (grade.name, *grade.aliases, *(each.lstrip("~") for _, each in grade.designations))
        }

    @cached_property
    def _shelf(self) -> SectionShelf:
        return self.sections if isinstance(self.sections, SectionShelf) else shelf_of(self.sections)

    @cached_property
    def _section_places(self) -> dict[str, int]:
        places: dict[str, int] = {}
        for index, row in enumerate(self._shelf.rows):
            for name in (row.name, *row.aliases):
                places.setdefault(folded(name), index)
        return places


def _exact_names(grades: Iterable[Grade]) -> dict[str, GradeMatch]:
    """Every name under which a grade is known exactly. Raises InvalidValue when two grades share one."""
    names: dict[str, GradeMatch] = {}
    for grade in grades:
        exact = [("name", grade.name), *(("alias", alias) for alias in grade.aliases)]
        exact += [(system, each) for system, each in grade.designations if not each.startswith("~")]
        for system, designation in exact:
            key = folded(designation)
            if key in names and names[key].grade is not grade:
                raise InvalidValue(
                    f"grades {names[key].grade.name} and {grade.name} are both called {designation}"
                )
            names.setdefault(key, GradeMatch(grade, system, designation, nearest=False))
    return names


def _refuse_doubles(kind: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        key = folded(name)
        if key in seen:
            raise InvalidValue(f"the catalog holds the {kind} {name} twice")
        seen.add(key)


def _named(kind: str, text: str, values: Mapping[str, Entry], shown: Iterable[str]) -> Entry:
    found = values.get(folded(text))
    if found is None:
        raise UnknownName(kind, text, near_names(text, shown))
    return found
