"""Hours of saws and people as a form, and the form read back."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.saw_fields import Measured, UnitOf, unit_of
from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.hours import PlannedStop, SawHours, ShopHours
from kerfsmith.scheduling.hours_text import hours_text, read_hours
from kerfsmith.scheduling.shifts import Shift
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, to_say

DAYS = (
    to_say("Monday"),
    to_say("Tuesday"),
    to_say("Wednesday"),
    to_say("Thursday"),
    to_say("Friday"),
    to_say("Saturday"),
    to_say("Sunday"),
)
_LIMITS = (
    ("most_piece_kg", to_say("Heaviest piece, {unit}"), Measured.MASS),
    ("longest_piece_mm", to_say("Longest piece, {unit}"), Measured.LENGTH),
    ("longest_bar_mm", to_say("Longest bar, {unit}"), Measured.LENGTH),
)


@dataclass(frozen=True, slots=True)
class DayField:
    """One day's hours in the form."""

    name: str
    label: str
    value: str


@dataclass(frozen=True, slots=True)
class SawFields:
    """The week of one saw, or of the people (``saw`` is "")."""

    saw: str
    heading: str
    days: tuple[DayField, ...]


@dataclass(frozen=True, slots=True)
class StopRow:
    """One planned stop, with the name of the field that takes it away."""

    field: str
    saw: str
    told: str


@dataclass(frozen=True, slots=True)
class HoursPage:
    """The form."""

    saws: tuple[SawFields, ...]
    crew: SawFields
    stops: tuple[StopRow, ...]
    choices: tuple[tuple[str, str], ...]
    away: str
    crane: str
    due_at: str
    limits: tuple[DayField, ...]
    faults: tuple[str, ...]
    kept: bool


def hours_page(
    hours: ShopHours,
    saws: Sequence[SawSheet],
    form: Mapping[str, str],
    faults: tuple[str, ...],
    reading: Reading,
    *,
    kept: bool,
) -> HoursPage:
    """The form, filled with what is kept or with what was just sent and couldn't be read."""

    def fields(prefix: str, shifts: Sequence[Shift], people: bool) -> tuple[DayField, ...]:
        return tuple(
            DayField(
                f"{prefix}-{at}", say(day), form.get(f"{prefix}-{at}", hours_text(shifts, at, people=people))
            )
            for at, day in enumerate(DAYS)
        )

    names = {saw.id: saw.name for saw in saws}
    return HoursPage(
        saws=tuple(
            SawFields(saw.id, saw.name, fields(f"saw-{saw.id}", hours.of(saw.id), False)) for saw in saws
        ),
        crew=SawFields("", say("People"), fields("crew", hours.crew, True)),
        stops=tuple(
            StopRow(
                f"drop-{at}",
                names.get(stop.saw, stop.saw),
                f"{stop.begin:%Y-%m-%d %H:%M} – {stop.end:%Y-%m-%d %H:%M}, {stop.why}",
            )
            for at, stop in enumerate(hours.stops)
        ),
        choices=tuple((saw.id, saw.name) for saw in saws),
        away=form.get("away", ", ".join(day.isoformat() for day in hours.away)),
        crane=form.get("crane", "" if hours.crane is None else str(hours.crane)),
        due_at=form.get("due_at", f"{hours.due_at:%H:%M}"),
        limits=tuple(
            DayField(name, say(label, unit=unit.shown), form.get(name, _shown(getattr(hours, name), unit)))
            for name, label, unit in _limits(reading)
        ),
        faults=faults,
        kept=kept,
    )


def _limits(reading: Reading) -> Iterator[tuple[str, str, UnitOf]]:
    """Name and label of each limit, and the unit in which the reader writes it."""
    for name, label, measured in _LIMITS:
        yield name, label, unit_of(measured, inch=not reading.is_metric)


def _shown(value: float, unit: UnitOf) -> str:
    return f"{value / unit.factor:.6g}"


def _limit(form: Mapping[str, str], name: str, unit: UnitOf, before: float) -> float:
    """A limit as written; one that stands as it was shown keeps every digit it has."""
    written = form.get(name, "").strip()
    return before if written in ("", _shown(before, unit)) else float(written) * unit.factor


def read_form(
    form: Mapping[str, str], hours: ShopHours, saws: Sequence[SawSheet], reading: Reading
) -> tuple[ShopHours | None, tuple[str, ...]]:
    """The hours as the form has them in the reader's units, or what was wrong in it."""
    faults: list[str] = []

    def shifts(prefix: str, of: str) -> tuple[Shift, ...]:
        found: list[Shift] = []
        for at, day in enumerate(DAYS):
            try:
                found += read_hours(form.get(f"{prefix}-{at}", ""), at)
            except InvalidValue as fault:
                faults.append(f"{of}, {say(day)}: {fault}")
        return tuple(found)

    read = tuple(SawHours(saw.id, shifts(f"saw-{saw.id}", saw.name)) for saw in saws)
    crew = shifts("crew", say("People"))
    stops = [stop for at, stop in enumerate(hours.stops) if f"drop-{at}" not in form]
    try:
        stops += _new_stop(form)
        changed = replace(
            hours,
            saws=read,
            crew=crew,
            stops=tuple(stops),
            away=tuple(_days(form.get("away", ""))),
            crane=int(form["crane"]) if form.get("crane", "").strip() else None,
            due_at=time.fromisoformat(form.get("due_at", "") or "16:00"),
            **{name: _limit(form, name, unit, getattr(hours, name)) for name, _, unit in _limits(reading)},
        )
    except (ValueError, InvalidValue) as fault:
        faults.append(str(fault))
        return None, tuple(faults)
    return (None if faults else changed), tuple(faults)


def _new_stop(form: Mapping[str, str]) -> list[PlannedStop]:
    begin, end = form.get("stop-begin", ""), form.get("stop-end", "")
    if not begin and not end:
        return []
    try:
        first, last = datetime.fromisoformat(begin), datetime.fromisoformat(end)
    except ValueError as fault:
        raise InvalidValue(say("a planned stop needs a beginning and an end")) from fault
    why = form.get("stop-why", "").strip() or say("planned stop")
    return [PlannedStop(form.get("stop-saw", ""), first, last, why)]


def _days(text: str) -> list[date]:
    found = []
    for word in text.replace(";", ",").split(","):
        if not word.strip():
            continue
        try:
            found.append(date.fromisoformat(word.strip()))
        except ValueError as fault:
            told = say("“{word}” is no day; write it as 2026-12-24", word=word.strip())
            raise InvalidValue(told) from fault
    return found
