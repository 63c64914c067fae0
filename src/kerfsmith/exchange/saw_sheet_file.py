"""Saw sheets from a file (TOML or CSV) or a form: a sheet, or everything in it that can't be used."""

import csv
import io
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kerfsmith.catalog.saw import Capacity, CycleTimes, FeedControl, SawSheet
from kerfsmith.catalog.saw_fields import CAPACITIES, FIELDS, UNITS, SawField, unit_of
from kerfsmith.errors import Finding, InvalidValue, Severity
from kerfsmith.units.told import Told, sentence

MOST_BYTES = 1_000_000
MOST_SAWS = 50
_NUMBER = re.compile(r"([+-]?\d+(?:[.,]\d+)?(?:\s+\d+/\d+)?|\d+/\d+)\s*(.*)", re.ASCII)
_CAPACITY = re.compile(r"capacity[ _](\d+)[ _]?(\w+)")
_WORDS = ("id", "name", "note", "feed_control", "coolant", "materials")
_NO = frozenset({"no", "false", "0", "nein", "non"})


@dataclass(frozen=True, slots=True)
class SheetTexts:
    """A sheet as it was written: texts by the names of `saw_fields`, its rows of capacities apart."""

    values: Mapping[str, str]
    capacities: Sequence[Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class SheetsRead:
    """The sheets that can be used, and findings on all that can't."""

    sheets: tuple[SawSheet, ...]
    findings: tuple[Finding, ...]


@dataclass
class _Reader:
    """Reads one sheet and notes what is wrong with it."""

    file: str
    inch: bool
    saw: str = ""
    findings: list[Finding] = field(default_factory=list)

    def fail(self, name: str, read: str, problem: str, remedy: str) -> None:
        """Note an error."""
        self._add("saw-field", Severity.ERROR, name, read, problem, remedy)

    def tell(self, name: str, read: str, problem: str, remedy: str) -> None:
        """Note what was taken."""
        self._add("saw-field-taken", Severity.NOTE, name, read, problem, remedy)

    def _add(self, code: str, severity: Severity, name: str, read: str, problem: str, remedy: str) -> None:
        about = f"{self.saw}: {name}" if self.saw else name
        self.findings.append(Finding(code, severity, self.file, None, about, read, problem, remedy))

    def figure(self, of: SawField, text: str, about: str = "") -> float | None:
        """A figure in the sheet's own unit; None where there is none, having noted it."""
        name = f"{about}{of.label}"
        if not text.strip():
            if of.optional:
                return None
            if of.usual is None:
                self.fail(name, "", "is missing", "Take it from the saw's manual")
                return None
            return of.usual
        found = _NUMBER.fullmatch(text.strip())
        unit = unit_of(of.measured, inch=self.inch)
        if found is not None and found[2]:
            wanted = found[2].strip().casefold().replace(" ", "")
            named = [
                one
                for one in UNITS[of.measured]
                if wanted in (one.shown.casefold().replace(" ", ""), one.suffix)
            ]
            if not named:
                shown = ", ".join(one.shown for one in UNITS[of.measured])
                self.fail(
                    name,
                    text,
                    sentence("is in no unit of {measured}", measured=Told(of.measured)),
                    sentence("Use one of {shown}", shown=shown),
                )
                return None
            unit = named[0]
        if found is None:
            self.fail(name, text, "is no figure", sentence("Write a figure in {unit}", unit=unit.shown))
            return None
        value = _amount(found[1]) * unit.factor
        if value < 0:
            self.fail(name, text, "is below zero", "Write a figure above zero")
            return None
        return value


def read_sheet(
    file: str, texts: SheetTexts, *, inch: bool = False
) -> tuple[SawSheet | None, tuple[Finding, ...]]:
    """One sheet from texts; bare figures are in the units of an inch reader where ``inch``.

    None where a figure is missing or can't be read. Figures that were left to the house are told as notes.
    """
    values = {key: text.strip() for key, text in texts.values.items()}
    reader = _Reader(file, inch, values.get("name", "") or values.get("id", ""))
    name = values.get("name", "")
    saw_id = values.get("id", "") or re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")
    if not name or not saw_id or len(name) > 120 or len(saw_id) > 80:
        reader.fail("Name", name, "is no name of a saw", "Give the saw a name of up to 80 letters")
    figures = {one.key: reader.figure(one, values.get(one.key, "")) for one in FIELDS}
    usual = [one.label for one in FIELDS if one.usual is not None and not values.get(one.key)]
    rows = [row for each in texts.capacities if (row := _capacity(reader, each)) is not None]
    if not texts.capacities:
        reader.fail(
            "Capacities", "", "are missing", "Say the largest round, square and rectangle, square cut first"
        )
    control = _control(reader, values.get("feed_control", ""))
    if any(finding.is_error for finding in reader.findings) or control is None:
        return None, tuple(reader.findings)
    try:
        sheet = SawSheet(
            id=saw_id,
            name=name,
            capacities=tuple(sorted(rows, key=lambda row: row.angle_deg)),
            feed_control=control,
            cycle=CycleTimes(**{one.attribute: figures[one.key] for one in FIELDS if one.in_cycle}),  # type: ignore[arg-type]  # none is None: that was an error
            coolant=values.get("coolant", "").casefold() not in _NO,
            materials=tuple(part.strip() for part in values.get("materials", "").split(",") if part.strip()),
            note=values.get("note", "")[:400],
            **{one.attribute: figures[one.key] for one in FIELDS if not one.in_cycle},  # type: ignore[arg-type]  # as above
        )
        _refuse_nothing(sheet)
    except InvalidValue as fault:
        reader.fail("The sheet", "", fault.said, "Look at these figures again")
        return None, tuple(reader.findings)
    if usual:
        reader.tell(
            "Left open",
            ", ".join(usual),
            "are taken as is usual (common practice)",
            "Put in the saw's own figures where they are known",
        )
    return sheet, tuple(reader.findings)


def read_sheets(file: str, data: bytes, *, inch: bool = False) -> SheetsRead:
    """Every sheet of a TOML or a CSV file. Never raises for what is in ``data``.

    TOML: tables ``[[saw]]`` with ``[[saw.capacity]]``, or one saw at the top. CSV: names of figures in the
    first column, one saw in each further one.
    """
    if len(data) > MOST_BYTES:
        return SheetsRead((), (_unreadable(file, "is larger than any list of saws"),))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return SheetsRead((), (_unreadable(file, "isn't written in UTF-8"),))
    is_toml = (
        file.casefold().endswith(".toml") or re.search(r"(?m)^\s*(\[\[saw\]\]|\w+\s*=)", text) is not None
    )
    try:
        found = list(_from_toml(text) if is_toml else _from_csv(text))
    except (tomllib.TOMLDecodeError, csv.Error, TypeError, AttributeError, RecursionError) as fault:
        return SheetsRead((), (_unreadable(file, sentence("can't be read ({fault})", fault=fault)),))
    if not found:
        return SheetsRead((), (_unreadable(file, "holds no saw"),))
    if len(found) > MOST_SAWS:
        return SheetsRead(
            (), (_unreadable(file, sentence("holds more than {most_saws} saws", most_saws=MOST_SAWS)),)
        )
    sheets: list[SawSheet] = []
    findings: list[Finding] = []
    for texts in found:
        sheet, faults = read_sheet(file, texts, inch=inch)
        findings += faults
        if sheet is not None:
            sheets.append(sheet)
    return SheetsRead(tuple(sheets), tuple(findings))


def _from_toml(text: str) -> Iterator[SheetTexts]:
    table = tomllib.loads(text)
    for saw in table.get("saw", [table] if "name" in table else []):
        flat = {key: value for key, value in saw.items() if not isinstance(value, dict | list)}
        flat |= {"materials": ", ".join(map(str, saw.get("materials", [])))}
        flat |= dict(saw.get("cycle", {}).items())
        rows = [{key: _said(value) for key, value in row.items()} for row in saw.get("capacity", [])]
        yield SheetTexts(
            _by_key({key: _said(value) for key, value in flat.items()}, FIELDS),
            [_by_key(row, CAPACITIES) for row in rows],
        )


def _from_csv(text: str) -> Iterator[SheetTexts]:
    first = text.split("\n", 1)[0]
    delimiter = max(";\t,", key=first.count)
    rows = [
        row for row in csv.reader(io.StringIO(text), delimiter=delimiter) if any(cell.strip() for cell in row)
    ]
    for column in range(1, max((len(row) for row in rows), default=1)):
        cells = {row[0].strip().casefold(): row[column].strip() for row in rows if len(row) > column}
        if not any(cells.values()):
            continue
        capacities: dict[int, dict[str, str]] = {}
        plain: dict[str, str] = {}
        for name, value in cells.items():
            found = _CAPACITY.fullmatch(name.replace("°", "").replace("deg", ""))
            if found and value:
                row = capacities.setdefault(int(found[1]), {"angle": found[1]})
                row[found[2]] = value
            elif not found:
                plain[name.replace(" ", "_")] = value
        yield SheetTexts(
            _by_key(plain, FIELDS), [_by_key(row, CAPACITIES) for _, row in sorted(capacities.items())]
        )


def _by_key(texts: Mapping[str, str], fields: Sequence[SawField]) -> dict[str, str]:
    """Texts by the fields' names without unit; a unit that a name ends in goes behind its figure."""
    found = {key: value for key, value in texts.items() if key in _WORDS}
    for one in fields:
        labels = {one.key, one.label.casefold().replace(" ", "_"), one.label.casefold()}
        for name, value in texts.items():
            if name in labels:
                found[one.key] = value
                continue
            if name == one.attribute and one.key == "efficiency":
                found[one.key] = _percent(value)
                continue
            for unit in UNITS[one.measured]:
                plain = name == one.attribute and unit is UNITS[one.measured][0]
                if (name == f"{one.key}_{unit.suffix}" or plain) and value:
                    found[one.key] = f"{value} {unit.shown}"
    return found


def _percent(value: str) -> str:
    """A share that the house's own files write as a part of one."""
    try:
        share = float(value)
    except ValueError:
        return value
    return f"{share * 100:g} %" if share <= 1 else value


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def _capacity(reader: _Reader, row: Mapping[str, str]) -> Capacity | None:
    about = f"Capacity at {row.get('angle', '') or '?'}°, "
    figures = {one.attribute: reader.figure(one, row.get(one.key, ""), about) for one in CAPACITIES}
    if any(value is None for value in figures.values()):
        return None
    return Capacity(**{name: value for name, value in figures.items() if value is not None})


def _control(reader: _Reader, text: str) -> FeedControl | None:
    for control in FeedControl:
        if text.casefold().replace("_", " ") in (control.value, control.name.casefold().replace("_", " ")):
            return control
    known = ", ".join(one.value for one in FeedControl)
    reader.fail(
        "Feed control", text, "is no way of holding the feed", sentence("Use one of {known}", known=known)
    )
    return None


def _refuse_nothing(sheet: SawSheet) -> None:
    """Raises InvalidValue for a figure of nothing where a saw must have some."""
    for name in ("motor_kw", "shuttle_stroke_mm", "load_limit_kg", "max_bar_length_mm", "band_width_mm"):
        if getattr(sheet, name) <= 0:
            raise InvalidValue(_nothing(sheet, name))
    for name in ("band_thickness_mm", "band_length_mm", "wheel_diameter_mm", "feed_force_max_n"):
        if getattr(sheet, name) <= 0:
            raise InvalidValue(_nothing(sheet, name))
    if sheet.cycle.index_mm_per_s <= 0 or sheet.cycle.approach_mm_per_s <= 0:
        raise InvalidValue(sentence("saw {id}: the shuttle and the head move at some speed", id=sheet.id))
    if sheet.guide_span_min_mm > sheet.guide_span_max_mm:
        raise InvalidValue(sentence("saw {id}: the guides' span is upside down", id=sheet.id))


def _nothing(sheet: SawSheet, name: str) -> Told:
    label = next((one.label for one in FIELDS if one.attribute == name), name)
    return sentence("saw {id}: {figure} is above zero", id=sheet.id, figure=Told(label))


def _amount(text: str) -> float:
    """A figure, with a fraction of an inch or a decimal comma."""
    total = 0.0
    for part in text.split():
        if "/" in part:
            above, below = part.split("/")
            total += float(above) / float(below) if float(below) else 0.0
        else:
            total += float(part.replace(",", "."))
    return total


def _unreadable(file: str, problem: str) -> Finding:
    remedy = Told(
        "Send a TOML file of [[saw]] tables, or a CSV file with the figures' names in its first column"
    )
    return Finding("saws-unreadable", Severity.ERROR, file, None, None, "", problem, remedy)
