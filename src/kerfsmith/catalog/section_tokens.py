"""A section text taken apart into its words and its measured numbers."""

import re
from dataclasses import dataclass, field
from fractions import Fraction

from kerfsmith.catalog.section_words import WORDS, Word
from kerfsmith.errors import UnreadableText
from kerfsmith.units.length import Measure
from kerfsmith.units.parse import ParsedLength, Unit, parse_length, unit_named
from kerfsmith.units.told import Told, sentence

_TOKEN = re.compile(
    r"(?P<number>\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)*|[.,]\d+)"
    r"|(?P<word>[^\W\d_]+(?:[./][^\W\d_]+)*(?:\.(?!\d))?|[\"'×*ø])"
    r"|(?P<mark>[,;:=])"
    r"|(?P<dash>-)"
    r"|(?P<space>\s+)"
    r"|(?P<odd>.)"
)
HOW = (
    "write it as round 4 in, flat 100 x 10 mm, tube 4 in x 1/4 in wall, "
    "NPS 4 Sch 40, L4X4X1/2, W12X26 or HEA 200"
)
Lengths = tuple[ParsedLength, ...]
LARGEST_UM = 1_500_000
"""No bar that a saw room holds is wider than 1.5 m; a wider one is a slip of the unit."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a section text: as written, its own unit if any, and what a word beside it says it is."""

    text: str
    unit: Unit | None
    label: Word | None


@dataclass(frozen=True, slots=True)
class Tokens:
    """The words about shape, in order, and the numbers."""

    text: str
    words: tuple[Word, ...]
    numbers: tuple[Number, ...]

    def measured(self, bare: Unit | None, decimal: str | None) -> Lengths:
        """Each number as a length. A unit written once holds for all; with none written ``bare`` holds.

        Raises UnreadableText when some numbers have units that differ and others have none, or none has one
        and ``bare`` is None.
        """
        written = {number.unit for number in self.numbers if number.unit is not None}
        if len(written) > 1 and any(number.unit is None for number in self.numbers):
            remedy = "write a unit behind each number"
            raise UnreadableText(self.text, "mixes units and has numbers with none", remedy)
        common = next(iter(written)) if len(written) == 1 else bare
        if common is None and not written:
            remedy = "write mm or in behind them, or say the unit of plain numbers where a whole list is read"
            raise UnreadableText(self.text, "has numbers but no unit", remedy)
        return tuple(self._length(number, common, decimal) for number in self.numbers)

    def _length(self, number: Number, common: Unit | None, decimal: str | None) -> ParsedLength:
        unit = number.unit or common
        if unit in (Unit.FOOT, Unit.M):
            remedy = "write mm or in; a length has a field of its own"
            raise UnreadableText(
                self.text, sentence("gives a dimension of a section in {unit}", unit=unit), remedy
            )
        try:
            length = parse_length(spelled(number.text), bare=unit, decimal=decimal)
        except UnreadableText as fault:
            raise UnreadableText(
                self.text,
                sentence("{number} {problem}", number=number.text, problem=Told(fault.problem)),
                fault.remedy,
            ) from fault
        if length.um > LARGEST_UM:
            problem = sentence(
                "has a dimension of {size} mm, more than any bar", size=f"{length.um / 1000:g}"
            )
            raise UnreadableText(self.text, problem, "check the unit")
        return length

    @property
    def labels(self) -> tuple[Word | None, ...]:
        """What words beside the numbers say they are, None where nothing is said."""
        return tuple(number.label for number in self.numbers)

    @property
    def how(self) -> str:
        """How a section can be written."""
        return HOW

    @property
    def largest(self) -> float:
        """The largest number as written, whatever its unit; 0 where one can't be read."""
        try:
            return float(max(bare_value(number.text) for number in self.numbers))
        except UnreadableText:
            return 0.0

    @property
    def has_fraction(self) -> bool:
        """Whether any number is written as a fraction, as only inches are."""
        return any("/" in number.text for number in self.numbers)

    @property
    def has_unit(self) -> bool:
        """Whether any number carries a unit."""
        return any(number.unit is not None for number in self.numbers)


def spelled(text: str) -> str:
    """A number as the units' parser takes it: 1 1/2 for 1-1/2, 0.5 for .5."""
    if "/" in text:
        return text.replace("-", " ")
    return "0" + text if text[0] in ".," else text


def bare_value(text: str) -> Fraction:
    """A number or mixed fraction as written, whatever it measures. Raises UnreadableText."""
    return parse_length(spelled(text), bare=Unit.INCH, decimal=None).exact / Fraction("25.4")


@dataclass(slots=True)
class _Taken:
    words: list[Word] = field(default_factory=list)
    numbers: list[Number] = field(default_factory=list)
    waiting: Word | None = None
    """A label that stands in front of the number it speaks of."""
    parted: bool = True
    """Whether something other than a unit has stood since the last number."""


def tokens_of(text: str) -> Tokens:
    """Take ``text`` (already plain) apart. Raises UnreadableText for a word or mark that isn't known."""
    taken = _Taken()
    for match in _TOKEN.finditer(text):
        kind, piece = match.lastgroup, match.group()
        if kind == "number":
            if not taken.parted:
                raise UnreadableText(
                    text, "has two numbers with nothing between them", "write x between them"
                )
            taken.numbers.append(Number(piece, None, taken.waiting))
            taken.waiting, taken.parted = None, False
        elif kind == "mark":
            taken.parted = True
        elif kind == "word":
            _take_word(taken, text, piece)
        elif kind == "odd" or (kind == "dash" and not _joins_words(text, match)):
            raise UnreadableText(
                text, sentence("has a mark that can't be read, {piece}", piece=f"{piece!r}"), HOW
            )
    return Tokens(text, tuple(taken.words), tuple(taken.numbers))


def _take_word(taken: _Taken, text: str, piece: str) -> None:
    unit = unit_named(piece)
    last = taken.numbers[-1] if taken.numbers else None
    if unit is not None and last is not None and last.unit is None:
        taken.numbers[-1] = Number(last.text, unit, last.label)
        return
    taken.parted = True
    word = WORDS.get(piece.casefold().replace(".", "")) or WORDS.get(piece.casefold().rstrip("."))
    if word is None:
        raise UnreadableText(
            text, sentence("has a word that isn't known here, {piece}", piece=f"{piece!r}"), HOW
        )
    if word in (Word.OUTSIDE, Word.INSIDE, Word.WALL, Word.THICK):
        if last is not None and last.label is None:
            taken.numbers[-1] = Number(last.text, last.unit, word)
        else:
            taken.waiting = word
    elif word not in (Word.TIMES, Word.NOISE):
        taken.words.append(word)


def _joins_words(text: str, match: re.Match[str]) -> bool:
    """Whether a dash only joins ("RD-100") or stands free, and is neither a range nor a minus."""
    before, after = text[: match.start()], text[match.end() :]
    if before.rstrip()[-1:].isdigit() and after.lstrip()[:1].isdigit():
        return False
    return before[-1:].isalpha() or after[:1].isspace() or after[:1].isalpha()


def mm(length: ParsedLength) -> float:
    """A length in mm, to the micrometre."""
    return length.um / 1000


def dashed(length: ParsedLength) -> str:
    """Inches as the names of standard sections write them: 3-1/2."""
    return fraction_text(length.exact / Fraction("25.4")).replace(" ", "-")


def with_unit(length: ParsedLength) -> str:
    """A length with its unit, as written."""
    return f"{shown_number(length)} {length.unit}"


def joined(lengths: Lengths) -> str:
    """Dimensions with the unit once where all share it."""
    if len({length.unit for length in lengths}) == 1:
        return f"{' x '.join(shown_number(length) for length in lengths)} {lengths[0].unit}"
    return " x ".join(with_unit(length) for length in lengths)


def shown_number(length: ParsedLength) -> str:
    """A length as its name shows it: a fraction in inches, a decimal in mm or cm."""
    if length.unit.measure is Measure.INCH:
        return fraction_text(length.exact / Fraction("25.4"))
    value = length.exact * 1000 / length.unit.um
    return f"{float(value):.6g}"


def fraction_text(value: Fraction) -> str:
    """Inches as a mixed fraction down to 1/64, as a decimal where they are finer than that."""
    if 64 % value.denominator:
        return f"{float(value):.6g}"
    whole, rest = divmod(value.numerator, value.denominator)
    if not rest:
        return str(whole)
    return f"{whole} {rest}/{value.denominator}" if whole else f"{rest}/{value.denominator}"
