"""Days and times in words, in the reader's language.

The order of their parts is a sentence of the catalog like any other: patterns of Unicode's date fields
(Unicode Technical Standard 35), which a language may order anew.
"""

from datetime import date, datetime

from babel.dates import format_date, format_datetime

from kerfsmith.web.words import language, say


def day_and_time(moment: datetime) -> str:
    """``Wed 25 Nov 14:03``."""
    return format_datetime(moment, say("EEE d MMM HH:mm"), locale=language())


def date_and_time(moment: datetime) -> str:
    """``25 Nov 2026 14:03``."""
    return format_datetime(moment, say("d MMM y HH:mm"), locale=language())


def day_and_month(day: date) -> str:
    """``25 Nov``."""
    return format_date(day, say("d MMM"), locale=language())


def whole_day(day: date) -> str:
    """``Wednesday 25 November``."""
    return format_date(day, say("EEEE d MMMM"), locale=language())


def short_day(day: date) -> str:
    """``Wed 25``."""
    return format_date(day, say("EEE d"), locale=language())
