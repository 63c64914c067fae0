"""From the words and numbers of a section text to its shape."""

from collections.abc import Callable
from fractions import Fraction

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.hollow import CornerRule, hollow_section
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_tokens import Tokens, fraction_text, shown_number
from kerfsmith.catalog.section_words import Word
from kerfsmith.errors import UnreadableText
from kerfsmith.geometry.shapes import Angle, Flat, Hexagon, Round, RoundTube, Square
from kerfsmith.units.length import Measure
from kerfsmith.units.parse import ParsedLength, Unit

Lengths = tuple[ParsedLength, ...]
LEAST_PIPE_MM = 10.0
"""NPS 1/8, the smallest of ASME B36.10M, is 10.3 mm outside."""


def section_from(tokens: Tokens, catalog: Catalog, *, bare: Unit | None, decimal: str | None) -> Section:
    """The section that words and numbers describe.

    Raises UnreadableText when they don't fit one another, InvalidValue when the numbers make no shape.
    """
    if Word.ANGLE in tokens.words:
        return _angle(tokens, catalog, bare, decimal)
    if tokens.speaks_of_a_tube:
        tube = tokens.as_tube()
        return _hollow(tube, set(tube.words), tube.measured(bare, decimal), catalog)
    if any(number.label in (Word.OUTSIDE, Word.INSIDE) for number in tokens.numbers):
        raise UnreadableText(
            tokens.text, "gives one diameter of a tube only", "write outside diameter x wall"
        )
    return _solid(tokens, set(tokens.words), bare, decimal)


def _solid(tokens: Tokens, words: set[Word], bare: Unit | None, decimal: str | None) -> Section:
    if len(words) != 1:
        named = " and ".join(sorted(words))
        raise UnreadableText(tokens.text, f"names more than one shape, {named}", "name one shape")
    word = next(iter(words))
    wanted = 2 if word is Word.FLAT else 1
    if len(tokens.numbers) != wanted:
        _refuse_count(tokens, word, wanted)
    lengths = tuple(sorted(tokens.measured(bare, decimal), key=lambda length: -length.exact))
    sizes = [_mm(length) for length in lengths]
    makers: dict[Word, Callable[..., Round | Square | Flat | Hexagon]] = {
        Word.ROUND: Round,
        Word.SQUARE: Square,
        Word.FLAT: Flat,
        Word.HEXAGON: Hexagon,
    }
    return Section(f"{word} {_joined(lengths)}", makers[word](*sizes))


def _refuse_count(tokens: Tokens, word: Word, wanted: int) -> None:
    count = len(tokens.numbers)
    problem = f"has {count} {'number' if count == 1 else 'numbers'} where a {word} has {wanted}"
    remedy = "write width x thickness" if wanted > count else "leave the length to its own field"
    if word in (Word.ROUND, Word.SQUARE) and count > wanted:
        remedy = f"write {word} tube if it has a wall, or {remedy}"
    raise UnreadableText(tokens.text, problem, remedy)


def _hollow(tokens: Tokens, words: set[Word], lengths: Lengths, catalog: Catalog) -> Section:
    shapes = words & {Word.ROUND, Word.SQUARE, Word.FLAT, Word.RHS, Word.SHS, Word.CHS}
    if len(shapes) > 1 or words & {Word.HEXAGON}:
        raise UnreadableText(
            tokens.text, "names more than one shape of tube", "write round, square or rectangular"
        )
    labels = [number.label for number in tokens.numbers]
    if Word.OUTSIDE in labels or Word.INSIDE in labels or words & {Word.CHS, Word.ROUND}:
        return _round_tube(tokens, lengths, sure=Word.CHS in words)
    if words & {Word.SQUARE, Word.SHS} and len(lengths) == 2:
        return _rect_tube(tokens, words, (lengths[0], *lengths), catalog)
    if len(lengths) == 3:
        return _rect_tube(tokens, words, lengths, catalog)
    if shapes:
        raise UnreadableText(tokens.text, "lacks a dimension", "write width x height x wall")
    if Word.HSS in words:
        return _round_hss(tokens, lengths, catalog)
    if Word.PIPE in words:
        _refuse_nominal(tokens, lengths, catalog)
    return _round_tube(tokens, lengths, sure=False)


def _round_hss(tokens: Tokens, lengths: Lengths, catalog: Catalog) -> Section:
    """A round HSS is named with decimals; two short numbers could as well be a square one."""
    if len(lengths) != 2 or len(tokens.numbers[0].text.partition(".")[2]) < 2:
        remedy = "write HSS6X6X1/4 for a square, HSS6.000X0.250 for a round one"
        raise UnreadableText(tokens.text, "can be a round or a square tube", remedy)
    outside, wall = lengths
    name = "HSS" + "X".join(f"{float(length.exact / Fraction('25.4')):.3f}" for length in lengths)
    inches = outside.unit.measure is Measure.INCH
    found = catalog.section_called(name) if inches else None
    return found or _round_tube(tokens, (outside, wall), sure=True)


def _refuse_nominal(tokens: Tokens, lengths: Lengths, catalog: Catalog) -> None:
    """Raise when a pipe's first number could be its nominal size as well as its outside diameter.

    From NPS 14 on both are the same, so either reading gives the same pipe.
    """
    outside = lengths[0]
    if _mm(outside) < LEAST_PIPE_MM:
        raise UnreadableText(tokens.text, "is thinner than any pipe", "check the unit, or write tube")
    inches = fraction_text(outside.exact / Fraction("25.4"))
    nominal = catalog.section_called(f"NPS {inches} STD")
    if nominal is None or outside.unit.measure is not Measure.INCH:
        return
    if isinstance(nominal.shape, RoundTube) and abs(nominal.shape.outer_mm - _mm(outside)) > 1:
        problem = f"can mean a nominal size or a true diameter of {inches} in"
        remedy = "write NPS and a schedule, or tube with outside diameter and wall"
        raise UnreadableText(tokens.text, problem, remedy)


def _round_tube(tokens: Tokens, lengths: Lengths, *, sure: bool) -> Section:
    """A round tube from outside diameter and wall, both diameters, or bore and wall.

    ``sure`` says that two unlabelled numbers can only be outside diameter and wall.
    """
    if len(lengths) != 2:
        raise UnreadableText(tokens.text, "needs two dimensions", "write outside diameter x wall")
    labels = [number.label for number in tokens.numbers]
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
        shape = RoundTube(_mm(outside), float((outside.exact - inside.exact) / 2))
        return Section(f"tube {_one(outside)} OD x {_one(inside)} ID", shape)
    if inside is not None and wall is not None:
        shape = RoundTube(float(inside.exact + 2 * wall.exact), _mm(wall))
        return Section(f"tube {_one(inside)} ID x {_one(wall)} wall", shape)
    assert outside is not None
    assert wall is not None
    return Section(f"tube {_one(outside)} OD x {_one(wall)} wall", RoundTube(_mm(outside), _mm(wall)))


def _refuse_unclear_wall(tokens: Tokens, lengths: Lengths) -> None:
    """Raise unless the second number is so small that the trade takes it for the wall."""
    outside, other = (length.exact for length in lengths)
    if other * 4 > outside:
        raise UnreadableText(
            tokens.text,
            "doesn't say whether its second number is the wall or the bore",
            "write tube 4 in OD x 3 in ID, or tube 4 in x 1/2 in wall",
        )


def _rect_tube(tokens: Tokens, words: set[Word], lengths: Lengths, catalog: Catalog) -> Section:
    width, height, wall = lengths
    if Word.SHS in words and width.um != height.um:
        raise UnreadableText(
            tokens.text, "has unequal sides but says square", "write RHS or rectangular tube"
        )
    inches = width.unit.measure is Measure.INCH
    named = _hollow_name(words, lengths, inches)
    found = catalog.section_called(named) if named else None
    if found is not None:
        return found
    rule = CornerRule.ASTM_A500 if inches or Word.HSS in words else CornerRule.EN_10219
    shape = hollow_section(_mm(width), _mm(height), _mm(wall), rule)
    return Section(named or f"tube {_joined(lengths)}", shape, rule.value)


def _hollow_name(words: set[Word], lengths: Lengths, inches: bool) -> str:
    """The designation that the standard gives such a tube, empty where plain words were used."""
    if Word.HSS in words and inches:
        return "HSS" + "X".join(_dashed(length) for length in lengths)
    if words & {Word.HSS, Word.RHS, Word.SHS}:
        series = next(word for word in (Word.HSS, Word.RHS, Word.SHS) if word in words)
        shown = "x".join(shown_number(length) for length in lengths)
        return f"{series} {shown}" + (" in" if inches else "")
    return ""


def _angle(tokens: Tokens, catalog: Catalog, bare: Unit | None, decimal: str | None) -> Section:
    """An angle: two legs and thickness, or leg and thickness of an equal one.

    A listed size takes its standard's radii. For a size that no table lists the root radius is taken as the
    thickness and the toe radius as half of it (common practice of rolled angles).
    """
    if set(tokens.words) != {Word.ANGLE}:
        raise UnreadableText(tokens.text, "names more than one shape", "write L4X4X1/2 or L 100x100x10")
    written = [number.text.replace(" ", "-") for number in tokens.numbers]
    if not tokens.has_unit and len(written) in (2, 3):
        legs = written if len(written) == 3 else [written[0], *written]
        found = catalog.section_called("L" + "x".join(legs))
        if found is not None:
            return found
    lengths = tokens.measured(bare, decimal)
    if len(lengths) == 2:
        lengths = (lengths[0], *lengths)
    if len(lengths) != 3:
        problem = "needs two legs and a thickness"
        raise UnreadableText(tokens.text, problem, "write L4X4X1/2 or L 100x100x10")
    leg_a, leg_b = sorted(lengths[:2], key=lambda length: -length.exact)
    inches = leg_a.unit.measure is Measure.INCH
    parts = [_dashed(length) if inches else f"{_mm(length):g}" for length in (leg_a, leg_b, lengths[2])]
    name = "L" + "X".join(parts) if inches else "L " + "x".join(parts)
    found = catalog.section_called(name)
    if found is not None:
        return found
    thick = _mm(lengths[2])
    return Section(name, Angle(_mm(leg_a), _mm(leg_b), thick, thick, thick / 2))


def _mm(length: ParsedLength) -> float:
    return length.um / 1000


def _dashed(length: ParsedLength) -> str:
    return fraction_text(length.exact / Fraction("25.4")).replace(" ", "-")


def _one(length: ParsedLength) -> str:
    return f"{shown_number(length)} {length.unit}"


def _joined(lengths: Lengths) -> str:
    """Dimensions with the unit once where all share it."""
    if len({length.unit for length in lengths}) == 1:
        return f"{' x '.join(shown_number(length) for length in lengths)} {lengths[0].unit}"
    return " x ".join(_one(length) for length in lengths)
