"""Lengths as people write them, in inches, feet and inches, or metric."""

import re
from dataclasses import dataclass
from fractions import Fraction

from kerfsmith.errors import UnreadableText
from kerfsmith.units.length import LONGEST_UM, UM_PER_MM, Measure, Unit, nearest
from kerfsmith.units.number_text import read_magnitude
from kerfsmith.units.text import plain, shown, without_digit_spaces
from kerfsmith.units.told import Told, sentence

_WORDS: dict[str, Unit] = {
    **dict.fromkeys(
        ("mm", "millimeter", "millimeters", "millimetre", "millimetres", "milimetros", "milímetros"), Unit.MM
    ),
    **dict.fromkeys(("cm", "centimeter", "centimeters", "centimetre", "centimetres", "zentimeter"), Unit.CM),
    **dict.fromkeys(
        ("m", "mtr", "meter", "meters", "metre", "metres", "mètre", "mètres", "metro", "metros"), Unit.M
    ),
    **dict.fromkeys(
        ('"', "in", "ins", "inch", "inches", "zoll", "pouce", "pouces", "pulg", "pulgada", "pulgadas"),
        Unit.INCH,
    ),
    **dict.fromkeys(("'", "ft", "foot", "feet", "fuß", "fuss", "pied", "pieds", "pie", "pies"), Unit.FOOT),
}
UNIT_WORDS = "|".join(sorted(map(re.escape, _WORDS), key=len, reverse=True))
_NUMBER = r"\d+/\d+|[\d.,]+(?:[ -]\d+/\d+)?"
_SHAPE = re.compile(
    rf"(?P<first>{_NUMBER})(?: ?(?P<unit>{UNIT_WORDS})\.?"
    rf"(?: ?-? ?(?P<second>{_NUMBER})(?: ?(?P<second_unit>{UNIT_WORDS})\.?)?)?)?",
    re.ASCII,
)
EXAMPLES = Told("write it as 1190 mm, 46 7/8 in, 12'-6 3/8\" or 6 m")


class UnitMissing(UnreadableText):
    """A length that reads well but for its unit, which nothing says."""


@dataclass(frozen=True, slots=True)
class ParsedLength:
    """A length as read: ``um`` whole micrometres (nearest), ``exact`` mm, ``unit`` as written.

    ``unit`` is the first one where feet and inches were written.
    """

    um: int
    exact: Fraction
    unit: Unit

    @property
    def measure(self) -> Measure:
        """The system of measures it was written in."""
        return self.unit.measure


def unit_named(text: str) -> Unit | None:
    """The unit that ``text`` names (``mm``, ``Inches``, ``"``), or None where it names none."""
    return _WORDS.get(plain(text).lower().rstrip("."))


def parse_length(text: str, *, bare: Unit | None, decimal: str | None = ".") -> ParsedLength:
    """The length in ``text``, greater than zero and at most 1 km.

    ``bare`` is the unit of a number written without one; None refuses it. ``decimal`` (``.``, ``,`` or None
    for unknown) decides only where a number could mean two things: ``1,190`` does, ``2,5`` does not. Rounding
    to the nearest micrometre happens here and nowhere later. Raises UnreadableText.

    With ``decimal`` None a number of two meanings is read all the same where only one of them is a length of
    at most 1 km: ``46.875 in`` is not 46875 in.
    """
    if decimal is None:
        fitting = [parsed for mark in ".," if (parsed := _if_readable(text, bare, mark)) is not None]
        if len(fitting) == 1:
            return fitting[0]
    exact_um, unit = read_length(text, bare=bare, decimal=decimal)
    um = nearest(exact_um)
    if um <= 0:
        raise UnreadableText(shown(text), "is not longer than nothing", "write a length greater than zero")
    if um > LONGEST_UM:
        raise UnreadableText(shown(text), "is longer than 1 km", "check the unit and the thousands marks")
    return ParsedLength(um, exact_um / UM_PER_MM, unit)


def _if_readable(text: str, bare: Unit | None, decimal: str) -> ParsedLength | None:
    try:
        return parse_length(text, bare=bare, decimal=decimal)
    except UnreadableText:
        return None


def read_length(text: str, *, bare: Unit | None, decimal: str | None) -> tuple[Fraction, Unit]:
    """As :func:`parse_length`, zero and any size allowed: exact µm and the unit. Raises UnreadableText."""
    cleaned = without_digit_spaces(plain(text)).lower()
    match = _SHAPE.fullmatch(cleaned)
    if match is None:
        raise _fault(text, cleaned)
    unit = _WORDS[match["unit"]] if match["unit"] else bare
    if unit is None:
        raise UnitMissing(
            shown(text),
            "has no unit, and nothing says whether it is mm or inches",
            sentence("{examples}, or set the unit", examples=EXAMPLES),
        )
    if match["unit"] is None and "/" in cleaned and unit.measure is Measure.METRIC:
        raise UnreadableText(
            shown(text),
            sentence("is a fraction where plain numbers are {unit}", unit=unit),
            'write the unit behind it, such as 7/8"',
        )
    first = read_magnitude(match["first"], decimal, text)
    if match["second"] is None:
        return first * unit.um, unit
    second_unit = _WORDS[match["second_unit"]] if match["second_unit"] else Unit.INCH
    second = read_magnitude(match["second"], decimal, text)
    _check_feet_and_inches(text, first, unit, second, second_unit)
    return first * unit.um + second * second_unit.um, unit


def has_unit(text: str) -> bool:
    """Whether ``text`` has the shape of a length with its unit written. Raises UnreadableText if too long."""
    match = _SHAPE.fullmatch(without_digit_spaces(plain(text)).lower())
    return match is not None and match["unit"] is not None


def _check_feet_and_inches(
    text: str, first: Fraction, unit: Unit, second: Fraction, second_unit: Unit
) -> None:
    if (unit, second_unit) != (Unit.FOOT, Unit.INCH):
        raise UnreadableText(shown(text), "has two numbers that are not feet and inches", EXAMPLES)
    if first.denominator != 1:
        raise UnreadableText(
            shown(text), "has a part of a foot as well as inches", "write whole feet before the inches"
        )
    if second >= 12:
        raise UnreadableText(
            shown(text),
            "has twelve inches or more after the feet",
            "carry the whole feet over, or write inches only",
        )


def _fault(text: str, cleaned: str) -> UnreadableText:
    """Why ``cleaned`` could not be read as a length, as nearly as can be told."""
    if not cleaned:
        return UnreadableText("", "is empty", EXAMPLES)
    if re.match(r"-\s*[\d.,]", cleaned):
        return UnreadableText(shown(text), "is negative", "write a length greater than zero")
    if re.fullmatch(r"\d+ ?- ?\d+(?: \d+/\d+)?", cleaned, re.ASCII):
        return UnreadableText(
            shown(text), "can be feet and inches, or a range", "mark the feet and the inches: 12'-6 3/8\""
        )
    if re.search(r"\d ?[x×*] ?\d", cleaned):
        return UnreadableText(
            shown(text), "looks like a section or a count times a length", "write one length in the field"
        )
    word = re.fullmatch(rf"(?:{_NUMBER}) ?([^\W\d]+)\.?", cleaned)
    if word:
        return UnreadableText(
            shown(text), sentence("has the unknown unit {unit}", unit=f"{shown(word[1])!r}"), EXAMPLES
        )
    return UnreadableText(shown(text), "is not a length", EXAMPLES)
