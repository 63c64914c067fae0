"""Sections as people write them: by a standard's designation, by pipe size, or by shape and dimensions.

Nothing is guessed: what could mean two things is refused, with what to write instead.
"""

import re

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.pipe_text import read_pipe
from kerfsmith.catalog.section import Section
from kerfsmith.catalog.section_tokens import HOW, Tokens, tokens_of
from kerfsmith.catalog.section_words import DESIGNATION_NOISE, Word
from kerfsmith.catalog.shape_text import section_from
from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.units.parse import Unit
from kerfsmith.units.text import plain
from kerfsmith.units.told import Told, either, sentence

_DIAMETER_SIGNS = re.compile("[Øø⌀∅Φφ]")
_WEIGHT_MARKS = re.compile(r"\s*(#(\s*/\s*ft)?|lbs?\.?(\s*/\s*ft)?|kg\s*/\s*m)$", re.IGNORECASE)
# "203x133x25 UB": British lists put the series behind the size.
_SERIES_LAST = re.compile(r"(?P<size>\d[\dx*×.,\s]*?)\s*(?P<series>ubp?|uc|pfc|rhs|shs|chs)", re.IGNORECASE)
# A letter or two of a rolled series with numbers behind it: such a name must stand in the table.
_ROLLED = re.compile(
    r"(?P<series>w|m|s|hp|c|mc|wt|mt|st|t|ipe|ipn|inp|hea|heb|hem|he|upn|unp|upe|u|ub|uc|ubp|ube|pfc|rsj|hd|hl|i)"
    r"[\s\-]*\d.*",
    re.IGNORECASE,
)


# What to write for the letters that several series share.
def read_section(text: str, catalog: Catalog, *, bare: Unit | None, decimal: str | None = ".") -> Section:
    """The section that ``text`` names.

    ``bare`` is the unit of dimensions written without one (None refuses them); designations of the standards
    carry their own. ``decimal`` is as in :func:`kerfsmith.units.parse.parse_length`.

    Raises UnreadableText with the problem and what to write.
    """
    written = _DIAMETER_SIGNS.sub(" ø ", plain(text)).strip()
    if not written:
        raise UnreadableText(text, "names no section", HOW)
    found = _designated(written, catalog)
    if found is not None:
        return found
    pipe = read_pipe(written, catalog)
    if pipe is not None:
        return pipe
    _refuse_unknown_rolled(written, catalog)
    tokens = tokens_of(written)
    if not tokens.numbers:
        raise UnreadableText(written, "has no dimension", HOW)
    try:
        return section_from(tokens, catalog, bare=_bare_for(tokens, bare), decimal=decimal)
    except InvalidValue as fault:
        if isinstance(fault, UnreadableText):
            raise
        raise UnreadableText(written, fault.said, "check the numbers and their order") from fault


def _designated(written: str, catalog: Catalog) -> Section | None:
    """The section of a standard, with or without a word such as "beam" and a weight mark."""
    whole = catalog.section_called(written)
    if whole is not None:
        return whole
    named = _WEIGHT_MARKS.sub("", written)
    trailing = _SERIES_LAST.fullmatch(named)
    if trailing:
        named = f"{trailing['series']} {trailing['size']}"
    found = catalog.section_called(named)
    if found is not None:
        return found
    lower = named.casefold()
    for noise in DESIGNATION_NOISE:
        for rest in (lower.removeprefix(noise).strip(), lower.removesuffix(noise).strip()):
            if rest and rest != lower:
                in_us_channels = noise == "channel" and rest[0].isdigit()
                return catalog.section_called("C" + rest if in_us_channels else rest)
    return None


def _refuse_unknown_rolled(written: str, catalog: Catalog) -> None:
    """Raise for a name of a rolled series that the tables don't hold, with the names that are near."""
    lower = written.casefold()
    rolled = _ROLLED.fullmatch(written)
    if not rolled and not any(lower.startswith(noise) for noise in DESIGNATION_NOISE):
        return
    near = _near_rolled(lower, catalog) if rolled else ()
    remedy = Told("write its designation, such as W12X26, HEA 200 or UPN 200")
    if near:
        remedy = sentence("did you mean {near}?", near=either(near))
    if short := re.fullmatch(r"(u|i|he)\s*-?\s*(\d+)", lower):
        remedy = _full_name(short[1], short[2])
    raise UnreadableText(written, "is no section of the tables kept here", remedy)


def _full_name(series: str, size: str) -> Told:
    """How a series that has no whole name is written."""
    if series == "u":
        return sentence("write UPN {size} (sloping flanges) or UPE {size} (parallel flanges)", size=size)
    if series == "i":
        return sentence("write IPE {size} (parallel flanges) or IPN {size} (sloping flanges)", size=size)
    return sentence("write HEA {size}, HEB {size} or HEM {size}", size=size)


def _near_rolled(lower: str, catalog: Catalog) -> tuple[str, ...]:
    """The sections of the same series whose numbers lie nearest."""
    series, numbers = _series(lower)
    same = []
    for row in catalog.section_rows:
        for name in (row.name, *row.aliases):
            other, sizes = _series(name.casefold())
            if other == series and len(sizes) == len(numbers):
                distance = tuple(abs(a - b) for a, b in zip(numbers, sizes, strict=True))
                same.append((distance, name))
    return tuple(dict.fromkeys(name for _, name in sorted(same)))[:3]


def _series(lower: str) -> tuple[str, list[float]]:
    numbers = [float(each.replace(",", ".")) for each in re.findall(r"\d+(?:[.,]\d+)?", lower)]
    return re.sub(r"[^a-z]", "", re.sub(r"(?<=\d)\s*x\s*(?=\d)", " ", lower)), numbers


def _bare_for(tokens: Tokens, bare: Unit | None) -> Unit | None:
    """The unit of bare numbers: the standard's own where a standard's letters stand before them.

    Inch sizes of HSS end at 34 and of L at 12; the smallest in mm are 20 and more. Between the two, and for a
    metric series below its smallest size, ``bare`` decides.
    """
    words = set(tokens.words)
    letter_l = Word.ANGLE in words and re.match(r"l\s*\d", tokens.text, re.IGNORECASE) is not None
    if letter_l or words & {Word.HSS, Word.RHS, Word.SHS, Word.CHS}:
        if tokens.has_fraction:
            return Unit.INCH
        if Word.HSS in words or letter_l:
            return Unit.INCH if tokens.largest <= 12 else (Unit.MM if tokens.largest > 34 else bare)
        return Unit.MM if tokens.largest >= 20 else bare
    return bare
