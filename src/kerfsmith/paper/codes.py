"""The code on tickets and labels: what a scanner reads, or a person types where the scanner fails.

``KS1`` and one letter for the kind (R run, P piece, M remnant), then the fields and two check characters,
with points between::

    KS1R.SPRING.7.UP         run 7 of plan SPRING
    KS1P.SPRING.7.3.12.HZ    twelfth piece of the run's third bar
    KS1M.SPRING.7.3.BT       what is left of the third bar

Runs are counted through the plan, bars through the run in the order they are cut, pieces from the front of
the bar, all from 1. A plan's name of capitals, digits and inner hyphens stands as it is; one of small letters
in their place stands in capitals with a hyphen behind it; any other is a hyphen and the base 32 (RFC 4648,
without padding) of its UTF-8 bytes. So a code holds nothing but capitals, digits, points and hyphens: the
compact alphanumeric mode of a QR code (ISO/IEC 18004), and keys that a scanner posing as a keyboard seldom
mistakes.

The check is the sum of all characters before it, each times a power of 42, modulo 1153, written as two digits
to the base 34, which has no I and no O. 1153 is the greatest prime below 34 squared and the powers of 42 take
all 1152 values there are, so every single wrong character and every swap of two characters before the check
is found, neighbours or not (derived; the weighted sum to a prime modulus is the construction of ISO/IEC
7064). In counts and check, where neither can stand, a typed I or O is read as 1 or 0."""

import base64
import binascii
import re
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue, UnreadableText

_CHECK_DIGITS = "0123456789ABCDEFGHJKLMNPQRSTUVWXYZ"
_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ.-"
_MODULUS = 1153
_WEIGHT = 42
_MISTAKEN = str.maketrans("IO", "10")
_START = "KS1"
_LONGEST = 160
_PLAIN_NAME = re.compile(r"[A-Z0-9](?:[A-Z0-9-]*[A-Z0-9])?", re.ASCII)
_COUNT = re.compile(r"[1-9]\d{0,6}", re.ASCII)
_REMEDY = "scan the code again, or type it as printed under the square"


class CodeKind(StrEnum):
    """What a code names."""

    RUN = "R"
    PIECE = "P"
    REMNANT = "M"


_COUNTS = {CodeKind.RUN: 1, CodeKind.REMNANT: 2, CodeKind.PIECE: 3}


@dataclass(frozen=True, slots=True)
class Code:
    """What a code says: the ``run`` of a ``plan``, for a remnant its bar, for a piece its bar and place (from
    1).

    Raises InvalidValue for an empty or overlong plan name, and for a bar or piece that the kind doesn't have
    or lacks.
    """

    kind: CodeKind
    plan: str
    run: int
    bar: int = 0
    piece: int = 0

    def __post_init__(self) -> None:
        if not self.plan:
            raise InvalidValue("a code names a plan")
        counted = [number > 0 for number in (self.run, self.bar, self.piece)]
        wanted = _COUNTS[self.kind]
        if counted != [True] * wanted + [False] * (3 - wanted) or min(self.run, self.bar, self.piece) < 0:
            numbers = f"run {self.run}, bar {self.bar}, piece {self.piece}"
            raise InvalidValue(f"{numbers} don't make a code of kind {self.kind.name}")
        if len(self.text) > _LONGEST:
            raise InvalidValue(f"a plan name of {len(self.plan)} characters is too long for a code")

    @property
    def text(self) -> str:
        """The code as it is printed."""
        counts = [str(number) for number in (self.run, self.bar, self.piece) if number]
        body = ".".join((_START + self.kind, _packed(self.plan), *counts)) + "."
        return body + _check(body)


def read_code(text: str) -> Code:
    """What the scanned or typed ``text`` says; small letters and spaces around or inside it are forgiven.

    Raises UnreadableText for what isn't one of our codes or fails its check.
    """
    shown = text if len(text) <= _LONGEST else text[:_LONGEST] + "…"
    code = _with_plain_digits("".join(text[: 4 * _LONGEST].split()).upper())
    if not code.startswith(_START):
        raise UnreadableText(shown, f"is not a code of this shop: those begin with {_START}", _REMEDY)
    if any(character not in _ALPHABET for character in code) or _check(code[:-2]) != code[-2:]:
        raise UnreadableText(shown, "has a character wrong or missing", _REMEDY)
    head, *fields = code.split(".")[:-1]
    try:
        kind = CodeKind(head.removeprefix(_START))
        plan, *counts = fields
        if len(counts) != _COUNTS[kind] or not all(_COUNT.fullmatch(count) for count in counts):
            raise ValueError("fields")
        return Code(kind, _unpacked(plan), *map(int, counts))
    except ValueError as error:
        raise UnreadableText(shown, "is of a form this version does not know", _REMEDY) from error


def _with_plain_digits(code: str) -> str:
    """``code`` with I and O as 1 and 0 in all that follows the plan's name."""
    head, plan, *rest = code.split(".") if code.count(".") > 1 else (code, "")
    return ".".join((head, plan, ".".join(rest).translate(_MISTAKEN))) if rest else code


def _packed(name: str) -> str:
    if _PLAIN_NAME.fullmatch(name):
        return name
    if name.isascii() and name == name.lower() and _PLAIN_NAME.fullmatch(name.upper()):
        return name.upper() + "-"
    return "-" + base64.b32encode(name.encode()).decode("ascii").rstrip("=")


def _unpacked(field: str) -> str:
    """The name in a field. Raises ValueError."""
    if not field.startswith("-"):
        if field.endswith("-") and _PLAIN_NAME.fullmatch(field[:-1]):
            return field[:-1].lower()
        if not _PLAIN_NAME.fullmatch(field):
            raise ValueError("name")
        return field
    packed = field[1:]
    try:
        return base64.b32decode(packed + "=" * (-len(packed) % 8)).decode()
    except binascii.Error as error:
        raise ValueError("base 32") from error


def _check(body: str) -> str:
    """Two digits to the base 34: the sum of characters times powers of 42 (the last times 42), modulo
    1153."""
    total = 0
    for character in body:
        total = (total + _ALPHABET.index(character)) * _WEIGHT % _MODULUS
    return _CHECK_DIGITS[total // len(_CHECK_DIGITS)] + _CHECK_DIGITS[total % len(_CHECK_DIGITS)]
