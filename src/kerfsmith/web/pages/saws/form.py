"""A saw's sheet as a form shows it and as it sends it back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kerfsmith.catalog.saw import Capacity, FeedControl, SawSheet
from kerfsmith.catalog.saw_fields import CAPACITIES, FIELDS, UNITS, Measured, SawField, unit_of
from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.reading import Reading
from kerfsmith.web.saw_stage import SawForm
from kerfsmith.web.words import say, to_say

ROWS = 5
"""Rows of capacities that the form has."""
_GROUPS = (
    (
        to_say("Band and wheels"),
        ("band_width", "band_thickness", "band_length", "wheel_diameter", "band_tension"),
    ),
    (
        to_say("Speeds, drive and feed"),
        ("band_speed_min", "band_speed_max", "motor", "efficiency", "feed_min", "feed_max", "feed_force_max"),
    ),
    (
        to_say("Guides and head"),
        ("guide_clearance", "guide_span_min", "guide_span_max", "head_travel", "cant", "pivot"),
    ),
    (
        to_say("Bar feed"),
        (
            "shuttle_stroke",
            "index_accuracy",
            "load_limit",
            "max_bar_length",
            "least_grip",
            "min_work",
            "facing",
        ),
    ),
    (
        to_say("Seconds of a cycle that are not cutting, and the rate"),
        (
            "load_bar",
            "clamp",
            "index_fixed",
            "index_speed",
            "approach",
            "approach_speed",
            "head_return",
            "unload_piece",
            "band_change",
            "rate",
        ),
    ),
)


@dataclass(frozen=True, slots=True)
class FieldView:
    """One figure: ``usual`` is what is taken where it is left empty, "" where it must be filled in."""

    key: str
    label: str
    unit: str
    value: str
    usual: str
    required: bool


@dataclass(frozen=True, slots=True)
class SawFormPage:
    """The form of a saw, filled with what is known of it."""

    saw_id: str
    is_new: bool
    name: str
    note: str
    materials: str
    coolant: bool
    standing: str
    controls: tuple[tuple[str, str, bool], ...]
    groups: tuple[tuple[str, tuple[FieldView, ...]], ...]
    capacity_heads: tuple[tuple[str, str], ...]
    capacities: tuple[tuple[FieldView, ...], ...]
    findings: tuple[FindingRow, ...]
    problem: str
    inch: bool


def form_page(
    saw: KeptSaw | None,
    texts: Mapping[str, str] | None,
    reading: Reading,
    *,
    findings: Sequence[Finding] = (),
    problem: str = "",
) -> SawFormPage:
    """The form of ``saw`` (None: a new one), with what was typed in ``texts`` where it comes back."""
    sheet = saw.sheet if saw else None
    shown = dict(texts) if texts is not None else shown_texts(sheet, reading)
    fields = {one.key: one for one in FIELDS}
    control = shown.get("feed_control", "")
    return SawFormPage(
        saw_id=sheet.id if sheet else "",
        is_new=sheet is None,
        name=shown.get("name", ""),
        note=shown.get("note", ""),
        materials=shown.get("materials", ""),
        coolant=shown.get("coolant", "yes" if texts is None else "") != "",
        standing=shown.get("standing", saw.standing.value if saw else SawStanding.OWN.value),
        controls=tuple((one.value, say(one.value), one.value == control) for one in FeedControl),
        groups=tuple(
            (say(name), tuple(_view(fields[key], key, shown, reading) for key in keys))
            for name, keys in _GROUPS
        ),
        capacity_heads=tuple((say(one.label), _unit(one, reading)) for one in CAPACITIES),
        capacities=tuple(
            tuple(_view(one, f"c{row}.{one.key}", shown, reading) for one in CAPACITIES)
            for row in range(ROWS)
        ),
        findings=finding_rows(findings),
        problem=problem,
        inch=not reading.is_metric,
    )


def shown_texts(sheet: SawSheet | None, reading: Reading) -> dict[str, str]:
    """Every text of a sheet's form as a reader sees it."""
    if sheet is None:
        return {"c0.angle": "0", "coolant": "yes"}
    texts = {"name": sheet.name, "note": sheet.note, "materials": ", ".join(sheet.materials)}
    texts |= {"feed_control": sheet.feed_control.value, "coolant": "yes" if sheet.coolant else ""}
    for one in FIELDS:
        texts[one.key] = _shown(one, _value(sheet, one), reading)
    for row, capacity in enumerate(sheet.capacities[:ROWS]):
        for one in CAPACITIES:
            texts[f"c{row}.{one.key}"] = _shown(one, getattr(capacity, one.attribute), reading)
    return texts


def told_form(texts: Mapping[str, str], sheet: SawSheet | None, reading: Reading) -> SawForm:
    """The form as it was sent. A figure that stands as it was shown keeps every digit it has."""
    shown = shown_texts(sheet, reading) if sheet else {}
    values = {name: texts.get(name, "") for name in ("name", "note", "materials", "feed_control")}
    values["id"] = sheet.id if sheet else ""
    values["coolant"] = "yes" if texts.get("coolant") else "no"
    for one in FIELDS:
        typed = texts.get(one.key, "").strip()
        exact = sheet is not None and typed and typed == shown.get(one.key)
        values[one.key] = _exact(one, _value(sheet, one)) if sheet is not None and exact else typed
    rows = []
    for row in range(ROWS):
        before = sheet.capacities[row] if sheet is not None and row < len(sheet.capacities) else None
        cells = {
            one.key: _capacity_text(one, f"c{row}.{one.key}", texts, shown, before) for one in CAPACITIES
        }
        if any(text for key, text in cells.items() if key != "angle"):
            rows.append(cells)
    standing = texts.get("standing", "")
    return SawForm(
        values,
        rows,
        not reading.is_metric,
        SawStanding(standing) if standing in ("own", "candidate") else SawStanding.OWN,
        sheet is None,
    )


def _capacity_text(
    one: SawField, name: str, texts: Mapping[str, str], shown: Mapping[str, str], before: Capacity | None
) -> str:
    typed = texts.get(name, "").strip()
    if before is not None and typed and typed == shown.get(name):
        return _exact(one, getattr(before, one.attribute))
    return typed


def _value(sheet: SawSheet, one: SawField) -> float | None:
    value: float | None = getattr(sheet.cycle if one.in_cycle else sheet, one.attribute)
    return value


def _exact(one: SawField, value: float | None) -> str:
    """A figure in the sheet's own unit."""
    if value is None:
        return ""
    if one.measured is Measured.SHARE:
        return f"{value * 100!r} %"
    return f"{float(value)!r} {UNITS[one.measured][0].shown}"


def _shown(one: SawField, value: float | None, reading: Reading) -> str:
    """A figure in the reader's unit, to six places."""
    if value is None:
        return ""
    return f"{value / unit_of(one.measured, inch=not reading.is_metric).factor:.6g}"


def _unit(one: SawField, reading: Reading) -> str:
    return say(unit_of(one.measured, inch=not reading.is_metric).shown)


def _view(one: SawField, key: str, shown: Mapping[str, str], reading: Reading) -> FieldView:
    usual = "" if one.usual is None else _shown(one, one.usual, reading)
    return FieldView(
        key,
        say(one.label),
        _unit(one, reading),
        shown.get(key, ""),
        usual,
        one.usual is None and not one.optional,
    )
