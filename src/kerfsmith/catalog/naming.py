"""How names are compared: without case, spaces, hyphens and the other marks people sprinkle over them."""

import difflib
import re
from collections.abc import Iterable

LONGEST_NAME = 40
"""Likeness is sought in the first characters only: what is longer is a sentence and no name."""
_MARKS = re.compile(r"[\s\-_./,()+'\"]+")
_TIMES = re.compile(r"(?<=[0-9\"'])\s*[*×✕]\s*(?=[0-9.])")


def folded(text: str) -> str:
    """The form under which names are compared: "AISI 4140", "aisi-4140" and "AISI4140" are one.

    A decimal mark is kept as a dot, so that 1.0038 isn't taken for 10038, and so is the gap in 1 1/4, so that
    it isn't taken for 11/4.
    """
    kept = re.sub(r"(?:(?<=\d)|(?<![^\W_])|(?<=\dx))[.,](?=\d)", "\0", text.strip().casefold())
    kept = re.sub(r"(?<=\d)[\s-]+(?=\d+/\d)", "\2", kept)
    kept = _TIMES.sub("x", kept)
    kept = re.sub(r"(?<=\d)/(?=\d)", "\1", kept)
    return _MARKS.sub("", kept).replace("\0", ".").replace("\1", "/").replace("\2", "&").casefold()


def near_names(text: str, names: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """The known names closest to ``text``, best first, by likeness of their folded forms."""
    by_fold = {folded(name): name for name in names}
    found = difflib.get_close_matches(folded(text)[:LONGEST_NAME], by_fold, n=count, cutoff=0.5)
    return tuple(by_fold[key] for key in found)
