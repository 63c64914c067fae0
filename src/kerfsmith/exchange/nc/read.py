"""One NC file as a part."""

import re
from collections import Counter

from kerfsmith.errors import Severity
from kerfsmith.exchange.nc.blocks import NcBlock, NcLine, NcText, take_apart
from kerfsmith.exchange.nc.header import read_header
from kerfsmith.exchange.nc.part import Contour, NcPart, Notebook
from kerfsmith.units.text import shown
from kerfsmith.units.told import Told, sentence

_VALUE = re.compile(r"([+-]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})(?:e[+-]?\d{1,2})?)([a-z]?)", re.ASCII)
_APART = re.compile(r"(?<=[\d.])\s+([a-z])(?=\s|$)", re.ASCII)
"""A flag that stands apart from its number."""
_NOTHING = 0.001
"""A radius or angle below this is a zero that was reckoned."""
_FACES = frozenset("vouh")
_OUTLINES = frozenset({"AK", "IK", "KO"})
"""Blocks whose lines are the points of one outline; in others each line is a hole, a mark or a cut."""
_UNDERSTOOD = frozenset({"BO", "SI", "AK", "IK", "PU", "KO", "SC", "TO", "UE", "KA", "EN"})


def read_nc(file: str, data: bytes) -> NcPart:
    """Read one NC file. Never raises for anything in ``data``: that makes findings."""
    notes = Notebook(file)
    text = take_apart(data, notes)
    if text is None:
        return NcPart(file, None, findings=tuple(notes.findings))
    header = read_header(text.header, notes)
    contours = tuple(
        found for block in text.blocks if block.code == "AK" if (found := _contour(block, notes))
    )
    _tell_unknown(text, notes)
    counts = Counter[str]()
    for block in text.blocks:
        counts[block.code] += 1 if block.code in _OUTLINES else len(block.lines) or 1
    return NcPart(file, header, contours, counts, tuple(notes.findings))


def _contour(block: NcBlock, notes: Notebook) -> Contour | None:
    """The contour of an AK block, None (and told) where a line of it can't be read."""
    bevelled, faces = False, set[str]()
    sides: list[str] = []
    points: list[tuple[float, float, float]] = []
    for line in block.lines:
        words = _APART.sub(r"\1", line.text.lower()).split()
        if words[0] in _FACES:
            faces.add(words.pop(0))
        values = [_VALUE.fullmatch(word) for word in words]
        if len(values) < 2 or values[0] is None or values[1] is None:
            _tell_contour(line, notes)
            return None
        numbers = [float(value[1]) if value else 0.0 for value in values]
        # A point without a letter counts its y from the edge that the point before it has named.
        sides.append(values[0][2] or (sides[-1] if sides else ""))
        bevelled = bevelled or any(abs(number) > _NOTHING for number in numbers[3:])
        radius_mm = numbers[2] if len(numbers) > 2 and abs(numbers[2]) > _NOTHING else 0.0
        points.append((numbers[0], numbers[1], radius_mm))
    if len(points) < 3 or len(faces) != 1:
        problem = "is no contour of one face"
        _tell_contour(NcLine(block.row, block.code), notes, problem)
        return None
    from_above = {side == "o" for side in sides}
    if len(from_above) > 1:
        _tell_contour(
            NcLine(block.row, block.code),
            notes,
            "counts its points now from the upper edge, now from another",
        )
        return None
    return Contour(faces.pop(), tuple(points), block.row, from_above.pop(), bevelled)


def _tell_contour(line: NcLine, notes: Notebook, problem: str = "is no point of a contour") -> None:
    notes.tell(
        Severity.WARNING,
        "nc-contour",
        sentence("{problem}, so this contour says nothing about the ends", problem=Told(problem)),
        "Compare the ends with the drawing",
        row=line.row,
        about="AK",
        read=shown(line.text),
    )


def _tell_unknown(text: NcText, notes: Notebook) -> None:
    unknown = {block.code: block.row for block in text.blocks if block.code not in _UNDERSTOOD}
    if unknown:
        notes.tell(
            Severity.NOTE,
            "nc-blocks",
            sentence(
                "holds blocks that say nothing about sawing here and were passed over: {unknown}",
                unknown=", ".join(unknown),
            ),
            "Nothing, unless they change the ends",
            row=min(unknown.values()),
        )
