"""Counts, angles and amounts of money as people write them."""

import re
from decimal import Decimal
from fractions import Fraction

from kerfsmith.errors import UnreadableText
from kerfsmith.units.money import Money
from kerfsmith.units.number_text import number_digits, parse_number
from kerfsmith.units.text import plain, shown
from kerfsmith.units.told import sentence

MOST_PIECES = 1_000_000
STEEPEST_DEG = 80.0
_MOST_MONEY = Decimal(10**9)
_PIECES = re.compile(
    r"x? ?([+-]?[\d.,][\d., ]*?) ?"
    r"(?:x|pcs?|pieces?|off|ea|each|nos?|st|stk|stck|stück|teile?|pz|pzas?|piezas?|pièces?|uds?|u|bars?|stangen?)?\.?",
    re.ASCII,
)
_SQUARE = frozenset({"square", "sq", "straight", "none", "-", "gerade", "droit", "recto"})
_ANGLE = re.compile(
    r"([+-]?) ?([\d.,]+) ?(?:°|deg|degs|degree|degrees|grad)?\.?(?: ?(\d{1,2}) ?')?", re.ASCII
)
_SIGNS = {
    "€": ("EUR",),
    "£": ("GBP",),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN"),
    "¥": ("JPY", "CNY"),
}
_MONEY = re.compile(r"([a-z]{3}|[€£$¥])? ?([+-]?[\d., ]*\d) ?([a-z]{3}|[€£$¥])?", re.ASCII)


def parse_quantity(text: str, *, decimal: str | None = ".") -> int:
    """The whole number of pieces in ``text`` (``12``, ``12.0``, ``12 pcs``, ``12 off``), 1 to 1,000,000.

    Raises UnreadableText.
    """
    match = _PIECES.fullmatch(plain(text).lower())
    if match is None:
        problem = "is not a count" if text.strip() else "is empty"
        raise UnreadableText(shown(text), problem, "write a whole number of pieces")
    value = parse_number(match[1], decimal=decimal)
    if value.denominator != 1:
        raise UnreadableText(shown(text), "is not a whole number of pieces", "write a whole number of pieces")
    if value <= 0:
        raise UnreadableText(
            shown(text), "is not at least one piece", "write one or more, or take the row out"
        )
    if value > MOST_PIECES:
        raise UnreadableText(
            shown(text),
            sentence("is more than {most_pieces} pieces", most_pieces=MOST_PIECES),
            "check the number",
        )
    return int(value)


def parse_angle(text: str, *, decimal: str | None = ".") -> float:
    """Degrees of an end cut away from square in ``text`` (``45``, ``22.5 deg``, ``22°30'``), less than 80.

    ``square`` reads as 0. Ninety is refused: on some drawings it means a square end, and square is 0 here.
    Raises UnreadableText.
    """
    cleaned = plain(text).lower()
    if cleaned in _SQUARE:
        return 0.0
    match = _ANGLE.fullmatch(cleaned)
    if match is None or (match[3] and ("°" not in cleaned or int(match[3]) >= 60)):
        problem = "is not an angle" if cleaned else "is empty"
        raise UnreadableText(shown(text), problem, "write degrees from square, such as 45 or 22.5")
    size = parse_number(match[2], decimal=decimal) + Fraction(int(match[3] or 0), 60)
    if size >= STEEPEST_DEG:
        raise UnreadableText(
            shown(text),
            sentence("is {size}° from square, steeper than any saw swings", size=f"{float(size):g}"),
            "measure the angle from a square cut: a square end is 0",
        )
    return float(-size if match[1] == "-" else size)


def parse_money(text: str, *, currency: str | None = None, decimal: str | None = ".") -> Money:
    """The amount in ``text`` (``12.50``, ``€ 12,50``, ``12.50 USD``), zero or more.

    ``currency`` holds where none is written and says whose dollar or yen a bare sign means. A written
    currency stands as written. Raises UnreadableText.
    """
    match = _MONEY.fullmatch(plain(text).lower())
    if match is None or (match[1] and match[3]):
        problem = "is not an amount of money" if text.strip() else "is empty"
        raise UnreadableText(shown(text), problem, "write it as 12.50 EUR")
    code = _currency((match[1] or match[3] or "").upper(), currency)
    if code is None:
        raise UnreadableText(
            shown(text), "does not say which currency", "write its three letters, as 12.50 USD"
        )
    amount = number_digits(match[2], decimal=decimal)
    if amount < 0:
        raise UnreadableText(shown(text), "is less than nothing", "write zero or more")
    if amount > _MOST_MONEY:
        raise UnreadableText(shown(text), "is more than a thousand million", "check the number")
    return Money(amount, code)


def _currency(written: str, default: str | None) -> str | None:
    """Currency meant by the code or sign ``written``; None where it is left open."""
    meant = _SIGNS.get(written)
    if meant is None:
        return written or default
    if len(meant) == 1:
        return meant[0]
    return default if default in meant else None
