"""Text made fit for the shipped lettering: what steers is taken out, what it has no letter for is spelled.

A mark in a script that the fonts lack must not become a row of empty boxes, of which two marks would look
alike: each such character is printed as its number, ``[U+4E2D]``."""

import struct
import unicodedata
from functools import cache
from pathlib import Path

FONTS = Path(__file__).parent / "fonts"
_ALIKE = str.maketrans(
    {"\u2032": "'", "\u2033": '"', "\u2300": "Ø", "\u2205": "Ø", "\u2010": "-", "\u2011": "-"}
)
_STEERING = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})


def printable(text: str) -> str:
    """``text`` as the shipped fonts can print it.

    Line ends and tabs become spaces; controls, direction marks and lone surrogates go; letters and their
    accents are put together (NFC), since fonts hold them so; primes and the diameter sign become their plain
    likenesses."""
    spaced = "".join(" " if character in "\t\n\r\v\f\u2028\u2029" else character for character in text)
    kept = "".join(one for one in spaced if unicodedata.category(one) not in _STEERING)
    held = covered()
    return "".join(
        one if ord(one) in held or one.isspace() else f"[U+{ord(one):04X}]"
        for one in unicodedata.normalize("NFC", kept).translate(_ALIKE)
    )


@cache
def covered() -> frozenset[int]:
    """Code points that every shipped font has a letter for."""
    return frozenset.intersection(*(_code_points(path.read_bytes()) for path in sorted(FONTS.glob("*.ttf"))))


def _code_points(font: bytes) -> frozenset[int]:
    """Code points in a TrueType font's character map, format 12 or format 4 (ISO/IEC 14496-22)."""
    tables = struct.unpack_from(">H", font, 4)[0]
    records = (struct.unpack_from(">4sIII", font, 12 + 16 * index) for index in range(tables))
    start = next(offset for tag, _, offset, _ in records if tag == b"cmap")
    count = struct.unpack_from(">H", font, start + 2)[0]
    maps = {
        struct.unpack_from(">H", font, start + offset)[0]: start + offset
        for _, _, offset in (
            struct.unpack_from(">HHI", font, start + 4 + 8 * index) for index in range(count)
        )
    }
    return _format_12(font, maps[12]) if 12 in maps else _format_4(font, maps[4])


def _format_12(font: bytes, at: int) -> frozenset[int]:
    groups = struct.unpack_from(">I", font, at + 12)[0]
    spans = (struct.unpack_from(">III", font, at + 16 + 12 * index) for index in range(groups))
    return frozenset(code for first, last, _ in spans for code in range(first, last + 1))


def _format_4(font: bytes, at: int) -> frozenset[int]:
    """Segments of code points; one whose glyph comes out as 0 has no letter."""
    count = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends, starts, deltas, offsets = (
        struct.unpack_from(f">{count}H", font, at + 14 + 2 * count * part + (2 if part else 0))
        for part in range(4)
    )
    found = set()
    for index, (first, last) in enumerate(zip(starts, ends, strict=True)):
        for code in range(first, last + 1):
            glyph = code
            if offsets[index]:
                place = at + 16 + 6 * count + 2 * index + offsets[index] + 2 * (code - first)
                glyph = struct.unpack_from(">H", font, place)[0]
            if code != 0xFFFF and glyph and (offsets[index] or (glyph + deltas[index]) & 0xFFFF):
                found.add(code)
    return frozenset(found)
