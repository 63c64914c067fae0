"""Reading a table of a TOML file field by field, with faults that name file, table and field."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.errors import InvalidValue, KerfsmithError

# One of the first unit makes this many of the second; hp is 550 ft lbf/s = 745.6999 W by definition.
CONVERSIONS: Mapping[tuple[str, str], float] = {
    ("ft/min", "m/min"): 0.3048,
    ("in2/min", "cm2/min"): 6.4516,
    ("in2", "cm2"): 6.4516,
    ("in", "mm"): 25.4,
    ("hp/(in3/min)", "kW/(cm3/s)"): 0.7456998715822702 * 60 / 16.387064,
    ("lb/in3", "kg/m3"): 27679.904710203125,
    ("g/cm3", "kg/m3"): 1000.0,
    ("psi", "MPa"): 0.006894757293168362,
}


class CatalogFault(KerfsmithError):
    """A catalog file can't be used: says which file, which table and which field."""

    def __init__(self, file: str, table: str, field: str, problem: str) -> None:
        place = " ".join(part for part in (file, f"[{table}]" if table else "", field) if part)
        super().__init__(f"{place}: {problem}")
        self.file = file
        self.table = table
        self.field = field
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Citation:
    """Source, place and confidence that many figures of one file share."""

    source: str
    where: str
    confidence: Confidence
    note: str


@dataclass(slots=True)
class Table:
    """One table of a file. Fields asked for are ticked off; :meth:`finish` refuses what nobody asked for."""

    file: str
    name: str
    fields: Mapping[str, object]
    cites: Mapping[str, Citation]
    asked: set[str] = field(default_factory=set)

    def fault(self, field_name: str, problem: str) -> CatalogFault:
        """The fault to raise for a field of this table."""
        return CatalogFault(self.file, self.name, field_name, problem)

    def has(self, key: str) -> bool:
        """Whether the field is there."""
        return key in self.fields

    def text(self, key: str, default: str | None = None) -> str:
        """A text field."""
        value = self._value(key, default)
        if not isinstance(value, str):
            raise self.fault(key, "must be a text")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts, empty where the field is missing."""
        value = self._value(key, [])
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            raise self.fault(key, "must be a list of texts")
        return tuple(value)

    def number(self, key: str, default: float | None = None) -> float:
        """A number field."""
        value = self._value(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.fault(key, "must be a number")
        return float(value)

    def whole(self, key: str) -> int:
        """A whole number field."""
        value = self._value(key, None)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.fault(key, "must be a whole number")
        return value

    def flag(self, key: str, default: bool = False) -> bool:
        """A true or false field."""
        value = self._value(key, default)
        if not isinstance(value, bool):
            raise self.fault(key, "must be true or false")
        return value

    def rows(self, key: str) -> list[list[object]]:
        """A list of lists."""
        value = self._value(key, None)
        if not isinstance(value, list) or not all(isinstance(row, list) for row in value):
            raise self.fault(key, "must be a list of rows")
        return value

    def numbers(self, key: str, count: int) -> tuple[float, ...]:
        """A list of just ``count`` numbers."""
        value = self._value(key, None)
        if not isinstance(value, list) or len(value) != count:
            raise self.fault(key, f"must be a list of {count} numbers")
        if not all(isinstance(each, int | float) and not isinstance(each, bool) for each in value):
            raise self.fault(key, f"must be a list of {count} numbers")
        return tuple(float(each) for each in value)

    def inner(self, key: str) -> "Table":
        """A table within this one."""
        value = self._value(key, None)
        if not isinstance(value, dict):
            raise self.fault(key, "must be a table")
        return Table(self.file, f"{self.name}.{key}", value, self.cites)

    def inners(self, key: str) -> Iterator["Table"]:
        """The tables of a list within this one."""
        value = self._value(key, [])
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            raise self.fault(key, "must be a list of tables")
        for count, each in enumerate(value, start=1):
            yield Table(self.file, f"{self.name}.{key} {count}", each, self.cites)

    def figure(self, key: str, unit: str) -> Figure:
        """A figure in ``unit``, turned into it from the unit it is written in."""
        return self.inner(key).as_figure(unit)

    def figure_or_none(self, key: str, unit: str) -> Figure | None:
        """A figure, or None where the field is missing."""
        return self.figure(key, unit) if self.has(key) else None

    def as_figure(self, unit: str) -> Figure:
        """This table as a figure in ``unit``: value, unit, low, high, note, and a cite or a full source."""
        value, written = self.number("value"), self.text("unit", unit)
        low, high = self.number("low", value), self.number("high", value)
        cited = self.citation()
        factor = 1.0
        notes = [note for note in (self.text("note", ""), cited.note) if note]
        if written != unit:
            if (written, unit) not in CONVERSIONS:
                raise self.fault("unit", f"must be {unit}, or a unit that turns into it, not {written}")
            factor = CONVERSIONS[written, unit]
            notes.insert(0, f"given as {value:g} {written}")
        self.finish()
        try:
            return Figure(
                value=value * factor,
                unit=unit,
                source=cited.source,
                where=cited.where,
                confidence=cited.confidence,
                low=low * factor,
                high=high * factor,
                note="; ".join(notes),
            )
        except InvalidValue as fault:
            raise self.fault("value", str(fault)) from fault

    def citation(self) -> Citation:
        """Source, where and confidence of this table: from ``cite``, or written out."""
        if self.has("cite"):
            key = self.text("cite")
            if key not in self.cites:
                raise self.fault("cite", f"no [cite.{key}] stands in this file")
            return self.cites[key]
        return Citation(self.text("source"), self.text("where", ""), self.confidence(), "")

    def confidence(self) -> Confidence:
        """The ``confidence`` field."""
        written = self.text("confidence")
        try:
            return Confidence(written)
        except ValueError:
            known = ", ".join(each.value for each in Confidence)
            raise self.fault("confidence", f"{written!r} is none of {known}") from None

    def finish(self) -> None:
        """Refuse fields that nobody asked for: a misspelt name must not vanish."""
        left = sorted(set(self.fields) - self.asked)
        if left:
            raise self.fault(left[0], "isn't a field of this table")

    def _value(self, key: str, default: object) -> object:
        self.asked.add(key)
        value = self.fields.get(key, default)
        if value is None:
            raise self.fault(key, "is missing")
        return value


@dataclass(frozen=True, slots=True)
class TableFile:
    """One TOML file taken apart into its named lists of tables."""

    file: str
    content: Mapping[str, object]
    cites: Mapping[str, Citation]

    def tables(self, kind: str) -> Iterator[Table]:
        """The tables of the list ``[[kind]]``, each named for its own name, id or place in the list."""
        value = self.content.get(kind, [])
        if not isinstance(value, list):
            raise CatalogFault(self.file, kind, "", "must be a list of tables, written [[...]]")
        for count, each in enumerate(value, start=1):
            label = each.get("name") or each.get("id") or each.get("key") or count
            yield Table(self.file, f"{kind} {label}", each, self.cites)

    def table(self, kind: str) -> Table:
        """The single table ``[kind]``."""
        value = self.content.get(kind)
        if not isinstance(value, dict):
            raise CatalogFault(self.file, kind, "", "is missing")
        return Table(self.file, kind, value, self.cites)


def open_tables(file: str, data: bytes) -> TableFile:
    """Take apart the bytes of a TOML file. Raises CatalogFault when they aren't TOML in UTF-8."""
    try:
        content = tomllib.loads(data.decode("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise CatalogFault(file, "", "", f"can't be read as TOML: {fault}") from fault
    raw = content.get("cite", {})
    if not isinstance(raw, dict):
        raise CatalogFault(file, "cite", "", "must hold tables, written [cite.name]")
    cites = {}
    for key, fields in raw.items():
        table = Table(file, f"cite.{key}", fields, {})
        cites[key] = Citation(
            table.text("source"), table.text("where"), table.confidence(), table.text("note", "")
        )
        table.finish()
    return TableFile(file, content, cites)
