"""What people type and what programs paste, brought to plain characters before it is read.

Only characters with one meaning are replaced. Nothing is normalised wholesale: compatibility
normalisation would turn ``6½`` into ``61/2`` and ``10²`` into ``102``.
"""

import re
import unicodedata

from kerfsmith.errors import UnreadableText
from kerfsmith.units.told import sentence

LONGEST_TEXT = 120
_SHOWN = 60

_VULGAR_FRACTIONS = {
    chr(code): unicodedata.normalize("NFKC", chr(code)).replace("\u2044", "/")
    for code in (*range(0xBC, 0xBF), *range(0x2150, 0x215F), 0x2189)
}
_PLAIN = str.maketrans(
    {
        **dict.fromkeys("\t\r\n\v\f\u00a0\u1680\u205f\u202f\u3000", " "),
        **dict.fromkeys(map(chr, range(0x2000, 0x200B)), " "),
        **dict.fromkeys("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\u00ad"),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d", "-"),
        **dict.fromkeys("\u2018\u2019\u201a\u201b\u2032\u00b4\u0060\u02b9\u02bc\uff07", "'"),
        **dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba\uff02", '"'),
        **dict.fromkeys("\u2044\u2215\uff0f", "/"),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\uff0e": ".",
        "\uff0c": ",",
        "\uff0b": "+",
        **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
    }
)
_DIGIT_GROUPS = re.compile(r"(?<![\d.,/'\"])(?<![\d/] )([1-9]\d{0,2})((?: \d{3})+)(?![\d/])")


def shown(text: str) -> str:
    """``text`` cut short enough to stand in a finding, without line breaks."""
    line = " ".join(text.split())
    return line if len(line) <= _SHOWN else line[: _SHOWN - 1] + "…"


def plain(text: str) -> str:
    """``text`` with typographic spaces, dashes, primes, quotes and fractions as plain characters.

    Two primes become one double prime. Raises UnreadableText where the text is longer than any single
    value is.
    """
    if len(text) > LONGEST_TEXT:
        raise UnreadableText(
            shown(text),
            sentence("is {count} characters long", count=len(text)),
            "write one value in the field",
        )
    spelled: list[str] = []
    for character in text:
        fraction = _VULGAR_FRACTIONS.get(character)
        if fraction is None:
            spelled.append(character)
        elif spelled and spelled[-1].isdigit():
            spelled.append(" " + fraction)
        else:
            spelled.append(fraction)
    return " ".join("".join(spelled).translate(_PLAIN).replace("''", '"').split())


def without_digit_spaces(text: str) -> str:
    """``text`` with the spaces out of digit groups of three: ``1 190 mm`` -> ``1190 mm``."""
    return _DIGIT_GROUPS.sub(lambda match: match[1] + match[2].replace(" ", ""), text)
