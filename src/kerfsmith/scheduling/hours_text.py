"""One day's hours as a person writes them: ``06:00-14:00, 14:00-22:00, unattended 22:00-06:00``."""

import re
from collections.abc import Iterable
from datetime import time

from kerfsmith.errors import InvalidValue
from kerfsmith.scheduling.calendar import Hours
from kerfsmith.scheduling.shifts import Shift
from kerfsmith.units.told import sentence

_SHIFT = re.compile(
    r"(?:(?P<hours>unattended|overtime|attended)\s+)?"
    r"(?P<begin>\d{1,2}(?::\d{2})?)\s*(?:-|–|to)\s*(?P<end>\d{1,2}(?::\d{2})?)"
    r"(?:\s*[x×]\s*(?P<people>\d{1,2}))?",
    re.IGNORECASE,
)
HOW = "as in 06:00-14:00, unattended 22:00-06:00, overtime 06:00-12:00"


def hours_text(shifts: Iterable[Shift], weekday: int, *, people: bool = False) -> str:
    """The shifts that begin on ``weekday`` as text, with their people where asked for."""
    parts = []
    for shift in sorted(shifts, key=lambda shift: shift.begin):
        if shift.weekday == weekday:
            kind = "" if shift.hours is Hours.ATTENDED else f"{shift.hours} "
            count = f" x{shift.people}" if people else ""
            parts.append(f"{kind}{shift.begin:%H:%M}-{shift.end:%H:%M}{count}")
    return ", ".join(parts)


def read_hours(text: str, weekday: int) -> tuple[Shift, ...]:
    """The shifts of one day. Raises InvalidValue, in words for a person, for what can't be read."""
    found = []
    for part in re.split(r"[,;]", text):
        if not part.strip():
            continue
        match = _SHIFT.fullmatch(part.strip())
        if match is None:
            raise InvalidValue(
                sentence("“{text}” can't be read; write hours {how}", text=part.strip(), how=HOW)
            )
        hours = Hours((match["hours"] or "attended").lower())
        alone = hours is Hours.UNATTENDED
        people = int(match["people"]) if match["people"] else 0 if alone else 1
        found.append(Shift(weekday, _time(match["begin"]), _time(match["end"]), hours, people))
    return tuple(found)


def _time(text: str) -> time:
    hour, _, minute = text.partition(":")
    if int(hour) == 24 and int(minute or 0) == 0:
        return time(0)
    if int(hour) > 23 or int(minute or 0) > 59:
        raise InvalidValue(sentence("“{text}” is no time of day", text=text))
    return time(int(hour), int(minute or 0))
