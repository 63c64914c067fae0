"""A made-up language that has no letter but x and turns fields around: what stays English can be seen.

Marks, names and units are data, which no language changes.
"""

import itertools
import re
from collections.abc import Iterable
from functools import cache
from gettext import NullTranslations

from scripts.write_sentences import gathered

from kerfsmith.units.length import Measure
from kerfsmith.units.told import in_language

FIELD = re.compile(r"\{\w+\^?\}|%\(\w+\)s")
DAY = re.compile(r"[EdMyHm :.]+")
"""A pattern of a day or a time, which is no text."""
WORD = re.compile(r"[A-Za-z]{2,}")
UNITS = frozenset(WORD.findall("min cm MPa TPI lbf psi thou mm kN in ft hp lb kg kW HB deg ms"))
SOURCES = frozenset({"VDI", "MH", "kc", "mc"})
"""Short names of sources and symbols of formulae, which stand in some reasons."""


def made_up(wording: str) -> str:
    """A wording of the made-up language: every letter is an x, and the last field comes first."""
    if DAY.fullmatch(wording):
        return wording
    turned = reversed(FIELD.findall(wording))
    parts = [re.sub(r"[^\W\d_]", "x", part) for part in FIELD.split(wording)]
    return "".join(itertools.chain(*itertools.zip_longest(parts, turned, fillvalue="")))


class MadeUp(NullTranslations):
    """What translators are given is in the made-up language; what was not gathered stays English."""

    def gettext(self, message: str) -> str:
        return made_up(message) if message in keys() else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


@cache
def keys() -> frozenset[str]:
    ids = (one.id for one in gathered() if one.id)
    return frozenset(key for one in ids for key in ([one] if isinstance(one, str) else one))


def left_in_english(texts: Iterable[str], data: Iterable[str]) -> set[str]:
    """Words of sentences, in either measure, that are neither of the language nor among the data."""
    said = [in_language(text, measure, MadeUp()) for text in texts for measure in Measure]
    found = {word for text in said for word in WORD.findall(text)}
    known = {word for one in data for word in WORD.findall(one)}
    return {word for word in found if word.strip("xX")} - known - UNITS - SOURCES
