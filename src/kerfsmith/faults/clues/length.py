"""Pieces out of length: which of them, and what length is made of."""

from collections.abc import Iterator

from kerfsmith.faults.circumstances import Circumstances, Pieces
from kerfsmith.faults.clue import Clue, Weight
from kerfsmith.units.told import Told, quantity, sentence

KERF_TOLD_MM = 0.1
"""Difference between the kerf measured and that reckoned with which matters: house rule."""

_PATTERN: dict[Pieces, tuple[tuple[str, Weight], ...]] = {
    Pieces.ALL_ALIKE: (
        ("length measure off", Weight.STRONG),
        ("kerf not as reckoned", Weight.CLEAR),
        ("first piece of the bar not faced", Weight.RULES_OUT),
        ("chips between bar and stop", Weight.AGAINST),
        ("bar slips in the shuttle", Weight.AGAINST),
    ),
    Pieces.FIRST_OF_BAR: (
        ("first piece of the bar not faced", Weight.STRONG),
        ("length measure off", Weight.AGAINST),
        ("strokes add up", Weight.AGAINST),
    ),
    Pieces.LONG_ONES: (
        ("strokes add up", Weight.STRONG),
        ("bar slips in the shuttle", Weight.FAINT),
        ("length measure off", Weight.AGAINST),
    ),
    Pieces.SCATTERED: (
        ("chips between bar and stop", Weight.CLEAR),
        ("bar slips in the shuttle", Weight.CLEAR),
        ("ends not square", Weight.FAINT),
        ("length measure off", Weight.AGAINST),
        ("kerf not as reckoned", Weight.AGAINST),
    ),
    Pieces.DRIFTING: (
        ("measured warm", Weight.FAINT),
        ("ends not square", Weight.CLEAR),
        ("kerf not as reckoned", Weight.FAINT),
        ("bar slips in the shuttle", Weight.FAINT),
        ("first piece of the bar not faced", Weight.AGAINST),
    ),
}
"""Which pattern speaks for what: derived from how a length comes about (zero + strokes + kerf), no source."""


def length_clues(case: Circumstances) -> Iterator[Clue]:
    """Clues of a piece that is too long or too short."""
    pieces = case.seen.pieces
    if pieces is not None:
        for cause, weight in _PATTERN[pieces]:
            yield Clue(cause, weight, sentence("out of length: {pieces}", pieces=pieces))
    yield from _strokes(case)
    yield from _kerf(case)
    if case.facing_cut:
        yield Clue("first piece of the bar not faced", Weight.RULES_OUT, Told("the bar was faced"))
    elif case.facing_cut is False:
        yield Clue("first piece of the bar not faced", Weight.FAINT, Told("the bar was not faced"))
    if case.seen.hot_piece:
        yield Clue("measured warm", Weight.STRONG, Told("the piece was measured warm"))
    elif case.seen.hot_piece is False:
        yield Clue("measured warm", Weight.RULES_OUT, Told("the piece was cold"))


def _strokes(case: Circumstances) -> Iterator[Clue]:
    if case.piece_length_mm is None:
        return
    strokes = case.saw.strokes(case.piece_length_mm)
    stroke = quantity(case.saw.shuttle_stroke_mm, "mm")
    if strokes == 1:
        yield Clue(
            "strokes add up",
            Weight.RULES_OUT,
            sentence("one stroke of {stroke} makes the piece", stroke=stroke),
        )
    else:
        error = quantity(strokes * case.saw.index_accuracy_mm, "mm")
        text = sentence(
            "{strokes} strokes of {stroke} make the piece, up to {error} off in all",
            strokes=strokes,
            stroke=stroke,
            error=error,
        )
        yield Clue("strokes add up", Weight.FAINT, text)


def _kerf(case: Circumstances) -> Iterator[Clue]:
    if case.seen.kerf_mm is None:
        return
    reckoned = case.setting.kerf_um / 1000
    text = sentence(
        "the kerf is {kerf}, reckoned with {reckoned}",
        kerf=quantity(case.seen.kerf_mm, "mm"),
        reckoned=quantity(reckoned, "mm"),
    )
    off = abs(case.seen.kerf_mm - reckoned) > KERF_TOLD_MM
    yield Clue("kerf not as reckoned", Weight.STRONG if off else Weight.RULES_OUT, text)
    if off and case.seen.kerf_mm < reckoned:
        yield Clue("worn band", Weight.FAINT, text)
