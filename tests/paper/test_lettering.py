"""What the shipped fonts can print, and what becomes of the rest."""

import pytest

from kerfsmith.paper.lettering import FONTS, covered, printable


def test_the_fonts_hold_the_letters_of_western_and_central_europe() -> None:
    # Latin-1 Supplement and Latin Extended-A, and the signs tickets use; unassigned and control points aside.
    wanted = [*range(0x20, 0x7F), *range(0xA0, 0x180)]
    assert not [chr(code) for code in wanted if code not in covered() and chr(code).isprintable()]
    assert all(ord(sign) in covered() for sign in "×–—−°±½¼¾⅛Øµ→²€“”…·ΩЖ")


def test_the_licence_lies_beside_the_fonts() -> None:
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / "OFL.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("Řezný plán ä × –", "Řezný plán ä × –"),
        ("a\nb\tc", "a b c"),
        ("left\u202eright\u200b\x00\x07", "leftright"),
        ("e\u0301", "é"),
        ("12′-6″ ⌀20", "12'-6\" Ø20"),
        ("中文", "[U+4E2D][U+6587]"),
        ("\ud800x", "x"),
    ],
)
def test_text_is_made_fit_for_paper(text: str, printed: str) -> None:
    assert printable(text) == printed
