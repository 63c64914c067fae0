"""Length tolerances as people write them, and ISO 2768 classes by name."""

import re
from dataclasses import dataclass

from kerfsmith.errors import UnreadableText
from kerfsmith.units.iso2768 import ToleranceClass, deviation_um
from kerfsmith.units.length import Unit, nearest
from kerfsmith.units.length_text import UNIT_WORDS, has_unit, read_length
from kerfsmith.units.text import plain, shown
from kerfsmith.units.told import Told, sentence

_CLASS = re.compile(r"(?:(?:din )?(?:en )?(?:iso )?2768(?:-1)? ?-? ?)?([fmcv])(?: ?[hkl])?", re.ASCII)
_BOTH_WAYS = re.compile(r"(?:±|\+ ?/? ?-|- ?/ ?\+) ?(.+)")
_SIDE = rf"(?:\d+/\d+|[\d.,]*\d(?: \d+/\d+)?)(?: ?(?:{UNIT_WORDS})\.?)?"
_TWO_SIDES = re.compile(
    rf"(?P<first_sign>[+-])? ?(?P<first>{_SIDE})"
    rf"(?: ?[/,;]? ?(?P<second_sign>[+-]) ?| ?/ ?| )(?P<second>{_SIDE})",
    re.ASCII,
)
_ZERO = re.compile(rf"0+(?:[.,]0+)?(?: ?(?:{UNIT_WORDS})\.?)?", re.ASCII)
_EXAMPLES = "write it as ±0.5 mm, +2/-0 mm or +1/16 -0 in"
_WIDEST_UM = 1_000_000


@dataclass(frozen=True, slots=True)
class ParsedTolerance:
    """How far a piece may be longer (``plus_um``) or shorter (``minus_um``) than nominal, both >= 0 µm.

    ``tolerance_class`` is the ISO 2768-1 class where the tolerance was given as one.
    """

    plus_um: int
    minus_um: int
    tolerance_class: ToleranceClass | None = None


def parse_tolerance(
    text: str, *, bare: Unit | None, decimal: str | None = ".", nominal_um: int | None = None
) -> ParsedTolerance:
    """The tolerance in ``text``: ``±0,5 mm``, ``+1/16 -0``, ``+2/-0``, ``0.5`` (both ways), ``m`` (a class).

    With two sides a sign starts each; a unit on one side holds for the other, ``bare`` where there is none.
    A class needs ``nominal_um``. Raises UnreadableText, also where only one side is given or both are zero.
    """
    cleaned = plain(text).lower()
    named = _CLASS.fullmatch(cleaned)
    if named:
        return _from_class(text, ToleranceClass(named[1]), nominal_um)
    both = _BOTH_WAYS.fullmatch(cleaned)
    if both or not re.search(r"[+-]", cleaned):
        either = _side(text, both[1] if both else cleaned, bare, decimal)
        return _checked(text, either, either, nominal_um)
    return _checked(text, *_two_sides(text, cleaned, bare, decimal), nominal_um)


def _from_class(text: str, tolerance_class: ToleranceClass, nominal_um: int | None) -> ParsedTolerance:
    if nominal_um is None:
        raise UnreadableText(
            shown(text), "is a tolerance class, which needs the length it is for", "give the length first"
        )
    deviation = deviation_um(tolerance_class, nominal_um)
    if deviation is None:
        raise UnreadableText(
            shown(text),
            "is a class that ISO 2768-1 gives no figure for at this length",
            "write the tolerance out",
        )
    return ParsedTolerance(deviation, deviation, tolerance_class)


def _two_sides(text: str, cleaned: str, bare: Unit | None, decimal: str | None) -> tuple[int, int]:
    """Plus and minus in µm where each side has its sign; a lone 0 takes the sign that is left."""
    match = _TWO_SIDES.fullmatch(cleaned)
    if match is None:
        raise UnreadableText(shown(text), "does not say how far each way", _EXAMPLES)
    first, second = match["first"], match["second"]
    signs = (match["first_sign"] or "", match["second_sign"] or "")
    if signs[0] == signs[1] or any(
        not sign and not _is_zero(side) for sign, side in zip(signs, (first, second), strict=True)
    ):
        raise UnreadableText(shown(text), "does not have a plus and a minus side", _EXAMPLES)
    first_um = _side(text, first, _written_unit(second, decimal) or bare, decimal)
    second_um = _side(text, second, _written_unit(first, decimal) or bare, decimal)
    plus_first = signs[0] == "+" or signs[1] == "-"
    return (first_um, second_um) if plus_first else (second_um, first_um)


def _is_zero(side: str) -> bool:
    return _ZERO.fullmatch(side) is not None


def _written_unit(body: str, decimal: str | None) -> Unit | None:
    if not has_unit(body):
        return None
    return read_length(body, bare=None, decimal=decimal)[1]


def _side(text: str, body: str, bare: Unit | None, decimal: str | None) -> int:
    """Micrometres of one side; a zero needs no unit."""
    try:
        exact_um, _ = read_length(
            body, bare=Unit.MM if _is_zero(body) and bare is None else bare, decimal=decimal
        )
    except UnreadableText as fault:
        raise UnreadableText(
            shown(text),
            sentence("in {body}: {problem}", body=f"{shown(body)!r}", problem=Told(fault.problem)),
            _EXAMPLES,
        ) from fault
    return nearest(exact_um)


def _checked(text: str, plus_um: int, minus_um: int, nominal_um: int | None) -> ParsedTolerance:
    if plus_um == 0 and minus_um == 0:
        raise UnreadableText(shown(text), "allows no deviation at all, which no saw can hold", _EXAMPLES)
    if max(plus_um, minus_um) > _WIDEST_UM:
        raise UnreadableText(shown(text), "is wider than 1 m", "check the unit and the thousands marks")
    if nominal_um is not None and minus_um >= nominal_um:
        raise UnreadableText(
            shown(text), "is as great as the length itself", "check the unit of the tolerance"
        )
    return ParsedTolerance(plus_um, minus_um)
