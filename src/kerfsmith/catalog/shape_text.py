"""From the words and numbers of a section text to its shape."""

from collections.abc import Callable

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_tokens import Tokens, dashed, joined, mm
from kerfsmith.catalog.section_words import Word
from kerfsmith.catalog.tube_text import speaks_of_a_tube, tube_from
from kerfsmith.errors import UnreadableText
from kerfsmith.geometry.shapes import Angle, Flat, Hexagon, Round, Square
from kerfsmith.units.length import Measure
from kerfsmith.units.parse import Unit
from kerfsmith.units.told import Told, how_many, sentence

MOST_LEG_MM = 320.0
"""The largest angle of ASTM A6 has legs of 12 in, of EN 10056-1 250 mm."""
LEAST_LEG_MM = 8.0
ANGLE_HOW = "write L4X4X1/2 or L 100x100x10"


def section_from(tokens: Tokens, catalog: Catalog, *, bare: Unit | None, decimal: str | None) -> Section:
    """The section that words and numbers describe.

    Raises UnreadableText when they don't fit one another, InvalidValue when the numbers make no shape.
    """
    if not tokens.words and not speaks_of_a_tube(tokens):
        raise UnreadableText(tokens.text, "names no shape", tokens.how)
    if Word.ANGLE in tokens.words:
        return _angle(tokens, catalog, bare, decimal)
    if speaks_of_a_tube(tokens):
        return tube_from(tokens, catalog, bare=bare, decimal=decimal)
    if set(tokens.labels) & {Word.OUTSIDE, Word.INSIDE}:
        raise UnreadableText(
            tokens.text, "gives one diameter of a tube only", "write outside diameter x wall"
        )
    return _solid(tokens, set(tokens.words), bare, decimal)


def _solid(tokens: Tokens, words: set[Word], bare: Unit | None, decimal: str | None) -> Section:
    if len(words) != 1:
        named = " and ".join(sorted(words))
        raise UnreadableText(
            tokens.text, sentence("names more than one shape, {named}", named=named), "name one shape"
        )
    word = next(iter(words))
    wanted = 2 if word is Word.FLAT else 1
    if len(tokens.numbers) != wanted:
        _refuse_count(tokens, word, wanted)
    lengths = tuple(sorted(tokens.measured(bare, decimal), key=lambda length: -length.exact))
    makers: dict[Word, Callable[..., Round | Square | Flat | Hexagon]] = {
        Word.ROUND: Round,
        Word.SQUARE: Square,
        Word.FLAT: Flat,
        Word.HEXAGON: Hexagon,
    }
    return Section(f"{word} {joined(lengths)}", makers[word](*(mm(length) for length in lengths)))


def _refuse_count(tokens: Tokens, word: Word, wanted: int) -> None:
    count = len(tokens.numbers)
    problem = how_many(
        "has {count} number where a {word} has {wanted}",
        "has {count} numbers where a {word} has {wanted}",
        count,
        word=word,
        wanted=wanted,
    )
    remedy = Told("write width x thickness")
    if wanted <= count:
        remedy = Told("leave the length to its own field")
    if word in (Word.ROUND, Word.SQUARE) and count > wanted:
        remedy = sentence("write {word} tube if it has a wall, or {remedy}", word=word, remedy=remedy)
    raise UnreadableText(tokens.text, problem, remedy)


def _angle(tokens: Tokens, catalog: Catalog, bare: Unit | None, decimal: str | None) -> Section:
    """An angle: two legs and thickness, or leg and thickness of an equal one.

    A listed size takes its standard's radii. For a size that no table lists the root radius is taken as the
    thickness and the toe radius as half of it (common practice of rolled angles).
    """
    if set(tokens.words) != {Word.ANGLE}:
        raise UnreadableText(tokens.text, "names more than one shape", ANGLE_HOW)
    if set(tokens.labels) - {None, Word.THICK}:
        raise UnreadableText(tokens.text, "speaks of a wall or a diameter but says angle", ANGLE_HOW)
    found = _listed_angle(tokens, catalog)
    if found is not None:
        return found
    lengths = tokens.measured(bare, decimal)
    if len(lengths) == 2:
        lengths = (lengths[0], *lengths)
    if len(lengths) != 3:
        raise UnreadableText(tokens.text, "needs two legs and a thickness", ANGLE_HOW)
    leg_a, leg_b = sorted(lengths[:2], key=lambda length: -length.exact)
    if not LEAST_LEG_MM <= mm(leg_a) <= MOST_LEG_MM:
        raise UnreadableText(
            tokens.text,
            sentence("has a leg of {leg_a} mm, which no angle has", leg_a=f"{mm(leg_a):g}"),
            "check the unit",
        )
    inches = leg_a.unit.measure is Measure.INCH
    parts = [dashed(length) if inches else f"{mm(length):g}" for length in (leg_a, leg_b, lengths[2])]
    name = "L" + "X".join(parts) if inches else "L " + "x".join(parts)
    thick = mm(lengths[2])
    return catalog.section_called(name) or Section(name, Angle(mm(leg_a), mm(leg_b), thick, thick, thick / 2))


def _listed_angle(tokens: Tokens, catalog: Catalog) -> Section | None:
    """The angle of a standard that bare numbers name: the sizes in inches and in mm don't overlap."""
    written = [number.text.replace(" ", "-") for number in tokens.numbers]
    if tokens.has_unit or len(written) not in (2, 3):
        return None
    legs = written if len(written) == 3 else [written[0], *written]
    return catalog.section_called("L" + "x".join(legs))
