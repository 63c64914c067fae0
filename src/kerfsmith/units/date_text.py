"""Dates as people write them; a date that could be two days is refused, not guessed."""

import re
from datetime import date
from enum import StrEnum

from kerfsmith.errors import UnreadableText
from kerfsmith.units.text import plain, shown
from kerfsmith.units.told import Told, sentence

_YEARS = range(2000, 2101)
_EXAMPLE = Told("write it as 2026-12-01")
_MONTHS = {
    name: number
    for number, names in enumerate(
        (
            "jan january januar jänner janvier janv ene enero",
            "feb february februar févr février fév febrero",
            "mar march mär märz mrz mars marzo",
            "apr april avr avril abr abril",
            "may mai mayo",
            "jun june juni juin junio",
            "jul july juli juil juillet julio",
            "aug august août ago agosto",
            "sep sept september septembre septiembre",
            "oct october okt oktober octobre octubre",
            "nov november novembre noviembre",
            "dec december dez dezember déc décembre dic diciembre",
        ),
        start=1,
    )
    for name in names.split()
}
_TIME = r"(?:[t ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?z?)?"
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}}){_TIME}", re.ASCII)
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})", re.ASCII)
_YEAR_LAST = re.compile(rf"(\d{{1,2}}) ?([-/.]) ?(\d{{1,2}}) ?\2 ?(\d{{4}}|\d{{2}}){_TIME}", re.ASCII)
_DAY_NAMED = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th|er|\.)?[ -]*(?:de )?([^\W\d]+)\.?,?[ -]*(?:de )?(\d{4}|\d{2})"
)
_NAMED_DAY = re.compile(r"([^\W\d]+)\.?[ -]*(\d{1,2})(?:st|nd|rd|th)?,? (\d{4})")


class DateOrder(StrEnum):
    """Which comes first in dates such as 12/01/2026, where the file or the person says so."""

    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


def parse_date(text: str, *, order: DateOrder | None = None) -> date:
    """The day in ``text``: ISO 8601, 01.12.2026 (points: day first), 1 Dec 2026, 12/01/2026 with ``order``.

    Two-digit years are of this century. ``order`` decides only between two possible days, points included.
    Raises UnreadableText.
    """
    cleaned = plain(text).lower()
    if match := _YEAR_FIRST.fullmatch(cleaned):
        return _day(text, int(match[1]), int(match[3]), int(match[4]))
    if match := _COMPACT.fullmatch(cleaned):
        return _day(text, int(match[1]), int(match[2]), int(match[3]))
    if match := _YEAR_LAST.fullmatch(cleaned):
        if order is None and match[2] == ".":
            order = DateOrder.DAY_FIRST
        return _day_or_month_first(text, int(match[1]), int(match[3]), _year(match[4]), order)
    if (match := _DAY_NAMED.fullmatch(cleaned)) and match[2] in _MONTHS:
        return _day(text, _year(match[3]), _MONTHS[match[2]], int(match[1]))
    if (match := _NAMED_DAY.fullmatch(cleaned)) and match[1] in _MONTHS:
        return _day(text, int(match[3]), _MONTHS[match[1]], int(match[2]))
    raise UnreadableText(shown(text), "is not a date" if cleaned else "is empty", _EXAMPLE)


def _year(digits: str) -> int:
    return int(digits) + (2000 if len(digits) == 2 else 0)


def _day_or_month_first(text: str, first: int, second: int, year: int, order: DateOrder | None) -> date:
    if first > 12 or first == second:
        return _day(text, year, second, first)
    if second > 12:
        return _day(text, year, first, second)
    if order is None:
        raise UnreadableText(
            shown(text),
            "can be a day and a month or a month and a day",
            sentence("{example}, or set which comes first", example=_EXAMPLE),
        )
    day, month = (first, second) if order is DateOrder.DAY_FIRST else (second, first)
    return _day(text, year, month, day)


def _day(text: str, year: int, month: int, day: int) -> date:
    try:
        read = date(year, month, day)
    except ValueError:
        raise UnreadableText(shown(text), "is a day that no calendar has", _EXAMPLE) from None
    if read.year not in _YEARS:
        raise UnreadableText(shown(text), sentence("is in the year {year}", year=read.year), "check the year")
    return read
