"""One NC file as a part."""

import re
from collections import Counter

from kerfsmith.errors import Severity
from kerfsmith.exchange.nc.blocks import NcBlock, NcLine, NcText, take_apart
from kerfsmith.exchange.nc.header import read_header
from kerfsmith.exchange.nc.part import Contour, NcPart, Notebook
from kerfsmith.units.text import shown
from kerfsmith.units.told import sentence

_VALUE = re.compile(r"([+-]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12}))([a-z]?)", re.ASCII)
_FACES = frozenset("vouh")
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
        counts[block.code] += len(block.lines) or 1
    return NcPart(file, header, contours, counts, tuple(notes.findings))


def _contour(block: NcBlock, notes: Notebook) -> Contour | None:
    """The contour of an AK block, None (and told) where a line of it can't be read."""
    face, from_above, bevelled = "", False, False
    points: list[tuple[float, float, float]] = []
    for line in block.lines:
        words = line.text.lower().split()
        if words[0] in _FACES:
            face = face or words.pop(0)
            words = words[1:] if words and words[0] in _FACES else words
        values = [_VALUE.fullmatch(word) for word in words]
        if len(values) < 2 or values[0] is None or values[1] is None:
            _tell_contour(line, notes)
            return None
        numbers = [float(value[1]) if value else 0.0 for value in values]
        from_above = from_above or (not points and values[0][2] == "o")
        bevelled = bevelled or any(number != 0 for number in numbers[3:])
        points.append((numbers[0], numbers[1], numbers[2] if len(numbers) > 2 else 0.0))
    if len(points) < 3 or not face:
        _tell_contour(NcLine(block.row, block.code), notes)
        return None
    return Contour(face, tuple(points), block.row, from_above, bevelled)


def _tell_contour(line: NcLine, notes: Notebook) -> None:
    notes.tell(
        Severity.WARNING,
        "nc-contour",
        "is no point of a contour, so this contour says nothing about the ends",
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
