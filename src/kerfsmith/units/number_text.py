"""Numbers as people write them: decimal point or comma, with or without thousands marks."""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.units.text import plain, shown, without_digit_spaces
from kerfsmith.units.told import sentence

_DECIMAL_MARKS = (".", ",")
_FORMS = {
    mark: (
        re.compile(rf"(\d*)(?:\{mark}(\d+))?|(\d+)\.", re.ASCII),
        re.compile(rf"([1-9]\d{{0,2}}(?:\{grouping}\d{{3}})+)(?:\{mark}(\d+))?", re.ASCII),
        grouping,
    )
    for mark, grouping in (_DECIMAL_MARKS, _DECIMAL_MARKS[::-1])
}
"""For each decimal mark: a number without thousands marks, one with them, and what they are."""


@lru_cache(maxsize=4096)
def readings(token: str) -> Mapping[str, str]:
    """What ``token`` (digits, points, commas) can mean, by the decimal mark that gives the meaning.

    Values are canonical (``1190.5``). ``1,190`` has two meanings, ``1.190,5`` and ``2,5`` have one,
    ``1.19.5`` has none.
    """
    found: dict[str, str] = {}
    for mark, (plain_form, grouped_form, grouping) in _FORMS.items():
        if not token:
            break
        if match := plain_form.fullmatch(token):
            whole, part = match[1] or match[3] or "0", match[2]
        elif match := grouped_form.fullmatch(token):
            whole, part = match[1].replace(grouping, ""), match[2]
        else:
            continue
        found[mark] = whole + ("." + part if part else "")
    return found


def read_decimal(token: str, decimal: str | None, whole_text: str) -> str:
    """Canonical form of the unsigned number ``token``.

    ``decimal`` decides only where it could mean two things. ``whole_text`` is what the person wrote, for the
    message. Raises UnreadableText where the token is no number, or has two meanings and ``decimal`` is None.
    """
    if decimal not in (*_DECIMAL_MARKS, None):
        raise InvalidValue(f"the decimal mark is '.' or ',', not {decimal!r}")
    found = readings(token)
    if not found:
        raise UnreadableText(
            shown(whole_text),
            sentence("{token} is not a number", token=f"{shown(token)!r}"),
            "write digits with one decimal mark, such as 1190.5",
        )
    if len(found) == 1 or len({Fraction(value) for value in found.values()}) == 1:
        return next(iter(found.values()))
    if decimal is None:
        raise UnreadableText(
            shown(whole_text),
            sentence("can mean {found} or {other}", found=found["."], other=found[","]),
            "say whether the comma or the point is the decimal mark, or leave the thousands mark out",
        )
    return found[decimal]


def parse_number(text: str, *, decimal: str | None = ".") -> Fraction:
    """The plain number in ``text``, sign allowed, exact.

    ``decimal`` (``.``, ``,`` or None for unknown) decides only where a number could mean two things.
    Raises UnreadableText.
    """
    return Fraction(number_digits(text, decimal=decimal))


def number_digits(text: str, *, decimal: str | None = ".") -> Decimal:
    """As :func:`parse_number`, as the Decimal with the digits that were written."""
    cleaned = without_digit_spaces(plain(text))
    match = re.fullmatch(r"([+-]?) ?([\d.,]+)", cleaned, re.ASCII)
    if match is None:
        problem = "is empty" if not cleaned else "is not a number"
        raise UnreadableText(shown(text), problem, "write a number such as 12 or 12.5")
    value = Decimal(read_decimal(match[2], decimal, text))
    return -value if match[1] == "-" else value


def read_magnitude(text: str, decimal: str | None, whole_text: str) -> Fraction:
    """Whole number, decimal, fraction or mixed number without sign (``46``, ``46.5``, ``7/8``, ``46-7/8``).

    Raises UnreadableText, also for denominators that no rule carries: 2, 4, 8 ... 128 are read.
    """
    match = re.fullmatch(r"(?:([\d.,]+)[ -])?(\d+)/(\d+)", text, re.ASCII)
    if match is None:
        return Fraction(read_decimal(text, decimal, whole_text))
    numerator, denominator = int(match[2]), int(match[3])
    if denominator not in (2, 4, 8, 16, 32, 64, 128):
        raise UnreadableText(
            shown(whole_text),
            sentence(
                "has the fraction {over}/{under}, which no rule is divided in",
                over=match[2],
                under=match[3],
            ),
            "write halves, quarters, eighths ... of an inch, or a decimal number",
        )
    if match[1] is None:
        return Fraction(numerator, denominator)
    whole = Fraction(read_decimal(match[1], decimal, whole_text))
    if whole.denominator != 1 or numerator >= denominator:
        raise UnreadableText(
            shown(whole_text),
            sentence("{text} is not a whole number with a fraction less than one", text=f"{text!r}"),
            "write it as 46 7/8 or as 46.875",
        )
    return whole + Fraction(numerator, denominator)
