"""From the words and numbers of a section text to a tube."""

from fractions import Fraction

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.hollow import CornerRule, hollow_section
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_tokens import (
    Lengths,
    Tokens,
    dashed,
    fraction_text,
    joined,
    mm,
    shown_number,
    with_unit,
)
from kerfsmith.catalog.section_words import HOLLOW, Word
from kerfsmith.errors import UnreadableText
from kerfsmith.geometry.shapes import RoundTube
from kerfsmith.units.length import Measure
from kerfsmith.units.parse import ParsedLength, Unit
from kerfsmith.units.told import Told, sentence

LEAST_PIPE_MM = 10.0
"""NPS 1/8, the smallest of ASME B36.10M, is 10.3 mm outside."""
MOST_SIDE_MM = 1000.0
"""The largest of ASTM A500 is 34 in, of EN 10219-2 600 mm."""
SQUARE_WORDS = frozenset({Word.SQUARE, Word.SHS, Word.BOX})
FLAT_SIDED = frozenset({Word.SQUARE, Word.FLAT, Word.RHS, Word.SHS, Word.BOX})
ROUND_WORDS = frozenset({Word.ROUND, Word.CHS, Word.PIPE})


def speaks_of_a_tube(tokens: Tokens) -> bool:
    """Whether a word names a hollow shape, or a wall or both diameters are spoken of."""
    labels = set(tokens.labels)
    if set(tokens.words) & HOLLOW or Word.WALL in labels:
        return True
    return {Word.OUTSIDE, Word.INSIDE} <= labels or (
        bool(labels & {Word.OUTSIDE, Word.INSIDE}) and Word.THICK in labels
    )


def tube_from(tokens: Tokens, catalog: Catalog, *, bare: Unit | None, decimal: str | None) -> Section:
    """The tube that words and numbers describe.

    Raises UnreadableText when they don't fit one another, InvalidValue when the numbers make no tube.
    """
    words, labels = set(tokens.words), _wall_labels(tokens)
    if (words & FLAT_SIDED and words & ROUND_WORDS) or Word.HEXAGON in words or Word.ANGLE in words:
        remedy = "write round, square or rectangular"
        raise UnreadableText(tokens.text, "names more than one shape of tube", remedy)
    lengths = tokens.measured(bare, decimal)
    diameters = {Word.OUTSIDE, Word.INSIDE} & set(labels)
    if words & FLAT_SIDED or (len(lengths) == 3 and not words & ROUND_WORDS):
        if diameters:
            raise UnreadableText(
                tokens.text, "gives a diameter of a tube that isn't round", "leave OD and ID out"
            )
        return _flat_sided(tokens, words, _wall_last(tokens, labels, lengths), catalog)
    if Word.HSS in words and not diameters:
        return _round_hss(tokens, labels, lengths, catalog)
    if Word.PIPE in words:
        _refuse_nominal(tokens, lengths, catalog)
    return _round_tube(tokens, labels, lengths, sure=Word.CHS in words)


def _wall_labels(tokens: Tokens) -> list[Word | None]:
    """The labels of the numbers; the thickness of a tube is its wall."""
    return [Word.WALL if label is Word.THICK else label for label in tokens.labels]


def _wall_last(tokens: Tokens, labels: list[Word | None], lengths: Lengths) -> Lengths:
    """The lengths with the one called wall at the end."""
    if labels.count(Word.WALL) > 1:
        raise UnreadableText(tokens.text, "names two walls", "write width x height x wall")
    walls = [length for label, length in zip(labels, lengths, strict=True) if label is Word.WALL]
    sides = [length for label, length in zip(labels, lengths, strict=True) if label is None]
    return (*sides, *walls)


def _flat_sided(tokens: Tokens, words: set[Word], lengths: Lengths, catalog: Catalog) -> Section:
    """A square or rectangular tube: width, height and wall, or side and wall of a square one."""
    if len(lengths) == 2 and words & SQUARE_WORDS:
        lengths = (lengths[0], *lengths)
    if len(lengths) != 3:
        raise UnreadableText(tokens.text, "needs its sides and its wall", "write width x height x wall")
    width, height, wall = lengths
    if words & {Word.SHS, Word.SQUARE} and width.um != height.um:
        raise UnreadableText(
            tokens.text, "has unequal sides but says square", "write RHS or rectangular tube"
        )
    if max(mm(width), mm(height)) > MOST_SIDE_MM:
        raise UnreadableText(tokens.text, "is wider than any hollow section", "check the unit")
    inches = width.unit.measure is Measure.INCH
    named = _hollow_name(words, lengths, inches)
    found = catalog.section_called(named) if named else None
    if found is not None:
        return found
    rule = CornerRule.ASTM_A500 if inches or Word.HSS in words else CornerRule.EN_10219
    shape = hollow_section(mm(width), mm(height), mm(wall), rule)
    return Section(named or f"tube {joined(lengths)}", shape, rule.value)


def _hollow_name(words: set[Word], lengths: Lengths, inches: bool) -> str:
    """The designation that the standard gives such a tube, empty where plain words were used."""
    if Word.HSS in words and inches:
        return "HSS" + "X".join(dashed(length) for length in lengths)
    series = next((word for word in (Word.HSS, Word.RHS, Word.SHS) if word in words), None)
    if series is None:
        return ""
    return f"{series} {'x'.join(shown_number(length) for length in lengths)}" + (" in" if inches else "")


def _round_hss(tokens: Tokens, labels: list[Word | None], lengths: Lengths, catalog: Catalog) -> Section:
    """A round HSS is named with decimals; two short numbers could as well be a square one."""
    if len(lengths) != 2 or len(tokens.numbers[0].text.partition(".")[2]) < 2:
        remedy = "write HSS6X6X1/4 for a square, HSS6.000X0.250 for a round one"
        raise UnreadableText(tokens.text, "can be a round or a square tube", remedy)
    name = "HSS" + "X".join(f"{float(length.exact / Fraction('25.4')):.3f}" for length in lengths)
    inches = lengths[0].unit.measure is Measure.INCH
    found = catalog.section_called(name) if inches else None
    return found or _round_tube(tokens, labels, lengths, sure=True)


def _refuse_nominal(tokens: Tokens, lengths: Lengths, catalog: Catalog) -> None:
    """Raise when a pipe's first number could be its nominal size as well as its outside diameter.

    From NPS 14 on both are the same, so either reading gives the same pipe.
    """
    outside = lengths[0]
    if mm(outside) < LEAST_PIPE_MM:
        raise UnreadableText(tokens.text, "is thinner than any pipe", "check the unit, or write tube")
    inches = fraction_text(outside.exact / Fraction("25.4"))
    nominal = catalog.section_called(f"NPS {inches} STD")
    if nominal is None or outside.unit.measure is not Measure.INCH:
        return
    if isinstance(nominal.shape, RoundTube) and abs(nominal.shape.outer_mm - mm(outside)) > 1:
        problem = sentence("can mean a nominal size or a true diameter of {inches} in", inches=inches)
        remedy = "write NPS and a schedule, or tube with outside diameter and wall"
        raise UnreadableText(tokens.text, problem, remedy)


def _round_tube(tokens: Tokens, labels: list[Word | None], lengths: Lengths, *, sure: bool) -> Section:
    """A round tube from outside diameter and wall, both diameters, or bore and wall.

    ``sure`` says that two unlabelled numbers can only be outside diameter and wall.
    """
    if len(lengths) != 2:
        raise UnreadableText(tokens.text, "needs two dimensions", "write outside diameter x wall")
    if labels == [None, None] and not sure:
        _refuse_unclear_wall(tokens, lengths)
    if labels == [Word.WALL, None] and lengths[0].exact * 2 >= lengths[1].exact:
        labels = [None, Word.WALL]  # "4 in wall 1/4 in": the word stood in front of its number
    free = [length for label, length in zip(labels, lengths, strict=True) if label is None]
    named = {label: length for label, length in zip(labels, lengths, strict=True) if label is not None}
    if len(free) + len(named) != 2:
        raise UnreadableText(tokens.text, "names the same dimension twice", "write outside diameter x wall")
    for label in (Word.OUTSIDE, Word.WALL):
        if free and label not in named and not (label is Word.WALL and Word.INSIDE in named):
            named[label] = free.pop(0)
    return _tube_of(named)


def _tube_of(named: dict[Word, ParsedLength]) -> Section:
    """The tube from the two of its dimensions that are named."""
    outside, inside, wall = (named.get(label) for label in (Word.OUTSIDE, Word.INSIDE, Word.WALL))
    if outside is not None and inside is not None:
        shape = RoundTube(mm(outside), float((outside.exact - inside.exact) / 2))
        return Section(f"tube {with_unit(outside)} OD x {with_unit(inside)} ID", shape)
    if inside is not None and wall is not None:
        shape = RoundTube(float(inside.exact + 2 * wall.exact), mm(wall))
        return Section(f"tube {with_unit(inside)} ID x {with_unit(wall)} wall", shape)
    assert outside is not None
    assert wall is not None
    return Section(f"tube {with_unit(outside)} OD x {with_unit(wall)} wall", RoundTube(mm(outside), mm(wall)))


def _refuse_unclear_wall(tokens: Tokens, lengths: Lengths) -> None:
    """Raise unless the second number is so small that the trade takes it for the wall."""
    outside, other = (length.exact for length in lengths)
    if other * 4 > outside:
        problem = Told("doesn't say whether its second number is the wall or the bore")
        remedy = Told("write tube 4 in OD x 3 in ID, or tube 4 in x 1/2 in wall")
        raise UnreadableText(tokens.text, problem, remedy)
