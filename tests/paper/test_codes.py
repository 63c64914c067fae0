"""Codes: what is printed is what is read, and a slip of scanner or finger is found."""

import re
import string
from contextlib import suppress
from itertools import combinations

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from kerfsmith.errors import InvalidValue, UnreadableText
from kerfsmith.paper import codes
from kerfsmith.paper.codes import Code, CodeKind, read_code

PIECE = Code(CodeKind.PIECE, "SPRING", 7, 3, 12)
names = st.text(min_size=1, max_size=20, alphabet=st.characters(codec="utf-8"))
numbers = st.integers(1, 9_999_999)


@given(plan=names, run=numbers, bar=numbers, piece=numbers)
def test_every_code_is_read_back_as_it_was(plan: str, run: int, bar: int, piece: int) -> None:
    for code in (
        Code(CodeKind.RUN, plan, run),
        Code(CodeKind.REMNANT, plan, run, bar),
        Code(CodeKind.PIECE, plan, run, bar, piece),
    ):
        assert read_code(code.text) == code


@pytest.mark.parametrize(
    ("plan", "field"),
    [("SPRING-2", "SPRING-2"), ("demo", "DEMO-"), ("2026-03", "2026-03"), ("Demo", "-IRSW23Y")],
)
def test_plain_names_stay_readable(plan: str, field: str) -> None:
    # "Demo" in base 32 by coreutils: printf Demo | base32
    code = Code(CodeKind.RUN, plan, 1)
    assert code.text.split(".")[1] == field
    assert read_code(code.text) == code


def test_the_examples_in_the_module_are_true() -> None:
    printed = re.findall(r"^    (KS1\S+)", codes.__doc__ or "", re.MULTILINE)
    assert [read_code(text).kind for text in printed] == [CodeKind.RUN, CodeKind.PIECE, CodeKind.REMNANT]
    assert printed[1] == PIECE.text


def test_every_single_wrong_character_is_found() -> None:
    for place in range(len(PIECE.text)):
        for wrong in string.ascii_uppercase + string.digits + ".-":
            mistaken = place > 11 and PIECE.text[place] == {"I": "1", "O": "0"}.get(wrong)
            if wrong != PIECE.text[place] and not mistaken:
                with pytest.raises(UnreadableText):
                    read_code(PIECE.text[:place] + wrong + PIECE.text[place + 1 :])


def test_every_swap_of_two_characters_is_found() -> None:
    for first, second in combinations(range(len(PIECE.text) - 2), 2):
        swapped = list(PIECE.text)
        swapped[first], swapped[second] = swapped[second], swapped[first]
        if "".join(swapped) != PIECE.text:
            with pytest.raises(UnreadableText):
                read_code("".join(swapped))


def test_letters_taken_for_digits_are_forgiven_where_no_letter_can_stand() -> None:
    code = Code(CodeKind.PIECE, "OIL", 10, 1, 101)
    head, end = code.text.split("OIL")
    assert read_code(head + "OIL" + end.replace("1", "I").replace("0", "O")) == code


def test_no_check_holds_a_letter_taken_for_a_digit() -> None:
    checks = {Code(CodeKind.REMNANT, "A", run, 1).text[-2:] for run in range(1, 5_000)}
    assert len(checks) > 900
    assert not [check for check in checks if set(check) & set("IO")]


def test_small_letters_and_spaces_are_forgiven() -> None:
    assert read_code(f" {PIECE.text.lower().replace('.7', ' .7')}\n") == PIECE


@pytest.mark.parametrize(
    "text", ["", "KS1", "KS2R.A.1.00", "4006381333931", "https://example.org", "x" * 5000]
)
def test_other_codes_are_refused_with_a_remedy(text: str) -> None:
    with pytest.raises(UnreadableText) as caught:
        read_code(text)
    assert caught.value.remedy
    assert len(caught.value.read) < 200


@given(st.text(max_size=60))
def test_no_text_whatever_breaks_the_reader(text: str) -> None:
    with suppress(UnreadableText):
        read_code("KS1" + text)


def test_codes_stay_in_the_compact_mode_of_a_qr_symbol() -> None:
    # ISO/IEC 18004: alphanumeric mode takes 5.5 bits a character; segno names the mode it found to be enough.
    assert segno.make(PIECE.text, micro=False).mode == "alphanumeric"
    assert segno.make(Code(CodeKind.RUN, "Frühjahr", 1).text, micro=False).mode == "alphanumeric"


@pytest.mark.parametrize(
    ("kind", "plan", "run", "bar", "piece"),
    [
        (CodeKind.RUN, "", 1, 0, 0),
        (CodeKind.RUN, "A", 0, 0, 0),
        (CodeKind.RUN, "A", 1, 1, 0),
        (CodeKind.PIECE, "A", 1, 1, 0),
        (CodeKind.PIECE, "A", 1, 0, 1),
        (CodeKind.REMNANT, "A", 1, 0, 0),
        (CodeKind.REMNANT, "A", 1, -1, 0),
        (CodeKind.RUN, "A" * 200, 1, 0, 0),
    ],
)
def test_a_code_that_says_too_little_or_too_much_cannot_be_made(
    kind: CodeKind, plan: str, run: int, bar: int, piece: int
) -> None:
    with pytest.raises(InvalidValue):
        Code(kind, plan, run, bar, piece)
