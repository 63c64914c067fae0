"""Which known grades a word for an unknown one may mean: the same numbers, or nearly the same spelling.

A name that merely looks alike is no help: 2205 isn't meant by QSTE 380. Better no name than a silly one,
since who reads it is told as well how a word is taught. Where to draw the line is the project's own
judgement.
"""

import re
from collections.abc import Iterable, Mapping
from difflib import SequenceMatcher

from kerfsmith.catalog.naming import LONGEST_NAME, folded

_NUMBER = re.compile(r"\d+(?:\.\d+)*")
_ALIKE = 0.75
"""Spellings without a number in common are near from this likeness on."""
_LETTERS_ALIKE = 0.6
_SAME_SYMBOLS = 0.6
"""Alloys of the same elements in the same order differ in their numbers alone."""
_LEAST_SYMBOLS = 4
_LONG = 4


def near_grade_names(words: Iterable[str], by_fold: Mapping[str, str], count: int) -> tuple[str, ...]:
    """The names of ``by_fold`` (keys folded) that are near any of ``words``, nearest first."""
    best: dict[str, float] = {}
    for word in dict.fromkeys(folded(word)[:LONGEST_NAME] for word in words):
        for key in by_fold:
            near = _nearness(word, key)
            if near > best.get(key, 0.0):
                best[key] = near
    return tuple(by_fold[key] for key in sorted(best, key=lambda key: (-best[key], key))[:count])


def _nearness(word: str, key: str) -> float:
    """From 0, not near, to 2: likeness, and 1 more where all numbers are the same."""
    numbers, others = _NUMBER.findall(word), _NUMBER.findall(key)
    letters, symbols = _NUMBER.sub("", word), _NUMBER.sub("", key)
    likeness = _alike(word, key)
    if numbers and letters == symbols and _slipped(numbers, others):
        return likeness
    if not letters:
        return 0.0
    if numbers and numbers == others:
        alike = min(likeness, _alike(letters, symbols)) >= _LETTERS_ALIKE
        return 1 + likeness if alike or _is_name(numbers) else 0.0
    if numbers and len(word) > 2 and re.search(rf"(?<!\d){re.escape(word)}(?!\d)", key):
        return 1 + likeness
    if numbers and others and letters == symbols and len(letters) >= _LEAST_SYMBOLS:
        return likeness if likeness >= _SAME_SYMBOLS else 0.0
    return likeness if likeness >= _ALIKE and len(letters) >= _LEAST_SYMBOLS else 0.0


def _slipped(numbers: list[str], others: list[str]) -> bool:
    """Whether long numbers differ by their last digit or by the order of digits: a neighbour, or a slip."""
    pairs = [pair for pair in zip(numbers, others, strict=False) if pair[0] != pair[1]]
    return len(numbers) == len(others) and all(
        len(one) == len(other) >= _LONG and (one[:-1] == other[:-1] or sorted(one) == sorted(other))
        for one, other in pairs
    )


def _is_name(numbers: list[str]) -> bool:
    """Whether a number is a material's own: a round one is a strength or a hardness as often."""
    return len(numbers) == 1 and len(numbers[0]) >= 3 and not numbers[0].endswith("0")


def _alike(one: str, other: str) -> float:
    return SequenceMatcher(None, one, other, autojunk=False).ratio()
