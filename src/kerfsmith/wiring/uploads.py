"""Uploaded files, held between being read and being kept."""

import secrets
import threading
from collections import Counter, OrderedDict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import Finding, Severity, UnknownName
from kerfsmith.exchange.columns import ColumnMatch, Confidence
from kerfsmith.exchange.heading_words import ORDER_FIELDS, RACK_FIELDS
from kerfsmith.exchange.nc.part import BY_PROGRAM, ON_PAGE
from kerfsmith.shop.order import Order
from kerfsmith.shop.rack import Rack
from kerfsmith.units.length import Unit
from kerfsmith.units.told import sentence
from kerfsmith.web.backstage import Column, UnknownGrade, UploadKind, UploadRead
from kerfsmith.wiring.reading import OwnNames, own_name, read_nc_files, read_order_bytes, read_rack_bytes

MOST_HELD = 50
"""Files held at once; the oldest goes when one more comes."""
_GRADE_UNKNOWN = ("nc-grade", "grade-unknown")
"""Codes of the findings that a name says no grade."""
FIELD_WORDS = {
    UploadKind.ORDER: tuple((words.field, words.field.replace("_", " ")) for words in ORDER_FIELDS),
    UploadKind.RACK: tuple((words.field, words.field.replace("_", " ")) for words in RACK_FIELDS),
}
"""The fields a column can hold, each with the words a person reads."""


Files = tuple[tuple[str, bytes], ...]
"""Name and bytes of each file that was sent at once: one list, or any number of NC files."""


@dataclass(frozen=True, slots=True)
class _Told:
    """What was said about a file: what its columns hold, the unit of bare numbers, names of grades.

    ``by_program`` tells that a program said it, and that nobody can be asked.
    """

    columns: Mapping[str, str | int | None] | None = None
    bare: Unit | None = None
    grades: Mapping[str, str] = field(default_factory=dict)
    by_program: bool = False

    @property
    def own(self) -> OwnNames:
        """The names as the readers of lists take them."""
        grades = {own_name(name): grade for name, grade in self.grades.items()}
        return OwnNames(grades, remedies=BY_PROGRAM if self.by_program else ON_PAGE)


@dataclass(frozen=True, slots=True)
class _Held:
    read: UploadRead
    files: Files
    told: _Told


class Uploads:
    """Files as read last, by an id that can't be guessed."""

    def __init__(self, catalog: Callable[[], Catalog], currency: Callable[[], str]) -> None:
        self._catalog = catalog
        self._currency = currency
        self._held: OrderedDict[str, _Held] = OrderedDict()
        self._lock = threading.Lock()

    def take(self, kind: UploadKind, files: Files, grades: Mapping[str, str] | None = None) -> UploadRead:
        """Read what was sent and hold it; ``grades`` is what a program said of names in it."""
        told = _Told(grades=grades or {}, by_program=grades is not None)
        return self._hold(self._read(secrets.token_urlsafe(12), kind, files, told), files, told)

    def again(self, upload_id: str, fields: Mapping[int, str], unit: str) -> UploadRead | None:
        """Read a held file with its columns as a person named them."""
        held = self._held.get(upload_id)
        if held is None:
            return None
        # A field that the person gave no column stays out, even where a heading looks like it.
        columns: dict[str, str | int | None] | None = None
        counted = Counter(name for name in fields.values() if name)
        if fields:
            columns = {name: None for name, _ in held.read.fields}
            columns |= {name: index for index, name in fields.items() if counted[name] == 1}
        told = replace(held.told, columns=columns, bare=Unit(unit) if unit else None)
        read = self._read(upload_id, held.read.kind, held.files, told)
        return self._hold(_as_told(read, fields, counted) if fields else read, held.files, told)

    def name_grades(self, upload_id: str, grades: Mapping[str, str]) -> UploadRead | None:
        """Read a held file with these names taken for these grades, beside those said before."""
        held = self._held.get(upload_id)
        if held is None:
            return None
        told = replace(held.told, grades={**held.told.grades, **grades})
        return self._hold(self._read(upload_id, held.read.kind, held.files, told), held.files, told)

    def get(self, upload_id: str) -> UploadRead | None:
        """A held file as read last."""
        held = self._held.get(upload_id)
        return held.read if held else None

    def let_go(self, upload_id: str) -> None:
        """Hold it no longer."""
        with self._lock:
            self._held.pop(upload_id, None)

    def _hold(self, read: UploadRead, files: Files, told: _Told) -> UploadRead:
        with self._lock:
            self._held[read.id] = _Held(read, files, told)
            while len(self._held) > MOST_HELD:
                self._held.popitem(last=False)
        return read

    def _read(self, upload_id: str, kind: UploadKind, files: Files, told: _Told) -> UploadRead:
        order, rack = None, None
        file, data = files[0]
        catalog, own = self._catalog(), told.own
        if kind is UploadKind.ORDER:
            if len(files) > 1:
                order_read = read_nc_files(files, catalog, own=own)
                file = f"{file} and {len(files) - 1} more"
            else:
                order_read = read_order_bytes(
                    file, data, catalog, bare=told.bare, columns=told.columns, own=own
                )
            match, findings = order_read.columns, order_read.findings
            lines = tuple(replace(line, id=f"{upload_id}:{line.id}") for line in order_read.lines)
            order = Order(id=upload_id, name=file, lines=lines)
        else:
            rack_read = read_rack_bytes(
                file, data, catalog, currency=self._currency(), bare=told.bare, columns=told.columns, own=own
            )
            match, findings, rack = rack_read.columns, rack_read.findings, Rack(rack_read.bars)
        return UploadRead(
            id=upload_id,
            kind=kind,
            file=file,
            order=order,
            rack=rack,
            findings=findings,
            columns=_columns(match),
            fields=FIELD_WORDS[kind],
            needs_unit=any(finding.code.endswith("unit-missing") for finding in findings),
            unknown_grades=_unknown(findings, catalog),
        )


def _unknown(findings: Iterable[Finding], catalog: Catalog) -> tuple[UnknownGrade, ...]:
    """The names that say no grade, in the order in which they come."""
    counted = Counter(finding.read for finding in findings if finding.code in _GRADE_UNKNOWN)
    # What is cut short in its finding is a sentence and no name.
    return tuple(
        UnknownGrade(name, count, _near(name, catalog))
        for name, count in counted.items()
        if not name.endswith("…")
    )


def _near(name: str, catalog: Catalog) -> tuple[str, ...]:
    try:
        return (catalog.find_grade(name).name,)
    except UnknownName as unknown:
        return unknown.near


def _as_told(read: UploadRead, fields: Mapping[int, str], counted: Counter[str]) -> UploadRead:
    """Nothing of a file whose columns are all out of use, or of which two are said to hold one thing."""
    words = dict(read.fields)
    findings = [
        _of_columns(
            read.file,
            "columns-twice",
            sentence("{count} columns are said to hold the {name}", count=count, name=words.get(name, name)),
            "Leave one of them; set the others to another field, or to not used",
        )
        for name, count in counted.items()
        if count > 1
    ]
    if not counted:
        nothing, remedy = "no column is in use, so there is nothing to read", "Say what the columns hold"
        findings = [_of_columns(read.file, "columns-none", nothing, remedy)]
    if not findings:
        return read
    columns = (
        replace(one, field=fields.get(one.index, ""), sure=False)
        if counted[fields.get(one.index, "")] > 1
        else one
        for one in read.columns
    )
    order = replace(read.order, lines=()) if read.order is not None else None
    rack = Rack(()) if read.rack is not None else None
    return replace(read, order=order, rack=rack, findings=tuple(findings), columns=tuple(columns))


def _of_columns(file: str, code: str, problem: str, remedy: str) -> Finding:
    return Finding(code, Severity.ERROR, file, None, None, "", problem, remedy)


def _heading(headings: Sequence[str], index: int) -> str:
    """A column's heading; one of several that read the same gets its place beside it."""
    heading = headings[index] if index < len(headings) else ""
    alike = sum(one.strip().casefold() == heading.strip().casefold() for one in headings) > 1
    return f"{heading} ({index + 1})" if heading and alike else heading


def _columns(match: ColumnMatch) -> tuple[Column, ...]:
    by_index = {column.index: column for column in match.columns.values() if column.index is not None}
    unsure = {
        index
        for column in match.columns.values()
        if column.confidence is Confidence.UNSURE
        for index in (column.index, *column.alternatives)
    }
    shown = []
    width = max([len(match.headings), *(len(row) for row in match.samples)], default=0)
    for index in range(width):
        taken = by_index.get(index)
        shown.append(
            Column(
                index=index,
                heading=_heading(match.headings, index),
                samples=tuple(row[index] for row in match.samples if index < len(row)),
                field=taken.field if taken and taken.confidence is Confidence.SURE else "",
                sure=index not in unsure,
            )
        )
    return tuple(shown)
