"""The one door to everything that is read from what a person wrote.

Each reader returns a whole value or raises :class:`~kerfsmith.errors.UnreadableText` with what is wrong and
what to write instead; none guesses between two meanings.
"""

from kerfsmith.units.count_text import parse_angle, parse_money, parse_quantity
from kerfsmith.units.date_text import DateOrder, parse_date
from kerfsmith.units.length import Unit
from kerfsmith.units.length_text import ParsedLength, UnitMissing, parse_length, unit_named
from kerfsmith.units.number_text import parse_number
from kerfsmith.units.tolerance_text import ParsedTolerance, parse_tolerance

__all__ = [
    "DateOrder",
    "ParsedLength",
    "ParsedTolerance",
    "Unit",
    "UnitMissing",
    "parse_angle",
    "parse_date",
    "parse_length",
    "parse_money",
    "parse_number",
    "parse_quantity",
    "parse_tolerance",
    "unit_named",
]
