"""The header of an NC file: 20 lines of which each must be what it should be, and four of free text."""

import re
from collections.abc import Sequence

from kerfsmith.errors import Severity
from kerfsmith.exchange.nc.blocks import HEADER_LINES, NcLine
from kerfsmith.exchange.nc.part import NcHeader, Notebook
from kerfsmith.units.text import shown
from kerfsmith.units.told import sentence

LONGEST_FIELD = 80
"""Characters in a line of text, by the standard."""
LONGEST_LENGTH_MM = 60_000.0
MOST_PIECES = 100_000
FIELDS = (
    *("order", "drawing", "phase", "piece", "grade", "quantity", "profile", "code", "length"),
    *("height", "flange width", "flange thickness", "web thickness", "radius", "weight", "paint"),
    *("web cut start", "web cut end", "flange cut start", "flange cut end"),
    *("text 1", "text 2", "text 3", "text 4"),
)
_NUMBER = re.compile(r"[+-]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})(?:[eE][+-]?\d{1,2})?", re.ASCII)
_LESSER = frozenset({"radius", "weight", "paint"})
"""Fields that sawing can do without: a fault in one is told and the part kept."""
_NAMES = frozenset({"order", "drawing", "phase", "piece"})
"""Fields that public files write from the margin while the rest is indented."""
_AGAIN = "Write the file out again, or correct the line"


def read_header(lines: Sequence[NcLine], notes: Notebook) -> NcHeader | None:
    """The header, None where a line that sawing needs can't be used; each fault is noted at its row."""
    reader = _Lines(lines, notes)
    order, drawing, phase, piece = (reader.text(field) for field in FIELDS[:4])
    grade, quantity, profile = reader.text("grade"), reader.quantity(), reader.text("profile")
    code = reader.text("code").upper()
    length_mm, saw_length_mm = reader.lengths()
    sizes = [reader.number(field) for field in FIELDS[9:16]]
    angles = [reader.angle(field) for field in FIELDS[16:20]]
    texts = [reader.text(field) for field in FIELDS[20:]]
    for size, field in zip(sizes, FIELDS[9:16], strict=True):
        if size < 0 and field not in _LESSER:
            reader.fail(field, "is below zero")
    if notes.has_error:
        return None
    return NcHeader(
        order, drawing, phase, piece, grade, quantity, profile, code, length_mm, saw_length_mm,
        sizes[0], sizes[1], sizes[2], sizes[3], sizes[4], sizes[5], sizes[6],
        angles[0], angles[1], angles[2], angles[3],
        (texts[0], texts[1], texts[2], texts[3]),
        {field: line.row for field, line in zip(FIELDS, lines, strict=False)},
    )  # fmt: skip


class _Lines:
    """Reads one header line after the other by the field's name."""

    def __init__(self, lines: Sequence[NcLine], notes: Notebook) -> None:
        self._by_field = dict(zip(FIELDS[:HEADER_LINES], lines, strict=False))
        self._notes = notes
        told = [line for line in lines if line.text.strip()]
        indented = sum(line.text[:1].isspace() for line in told)
        # Programs that indent nothing are met with; one line of an indented header that isn't is a fault.
        self._indents = indented * 2 > len(told)

    def _value(self, field: str) -> str:
        line = self._by_field.get(field)
        return line.text.strip() if line else ""

    def text(self, field: str) -> str:
        """A field of text: empty where a dash stands for nothing."""
        value = self._value(field)
        line = self._by_field.get(field)
        indented = line is None or line.text[:1].isspace()
        if value and self._indents and not indented and field not in _NAMES:
            self.fail(field, "doesn't begin with two blanks, so something stands where only blanks may")
        if len(value) > LONGEST_FIELD:
            self._tell(
                Severity.WARNING,
                field,
                sentence(
                    "has {count} characters where the standard allows {longest_field}; it was cut there",
                    count=len(value),
                    longest_field=LONGEST_FIELD,
                ),
                "Nothing, unless the rest of it matters",
            )
            value = value[:LONGEST_FIELD]
        value = "".join(character if character.isprintable() else " " for character in value)
        return "" if value in ("-", "--") else " ".join(value.split())

    def quantity(self) -> int:
        """How many pieces: a whole number above zero."""
        value = self._value("quantity")
        if not re.fullmatch(r"\d{1,9}(?:\.0*)?", value, re.ASCII):
            self.fail("quantity", "is not a whole number of pieces")
            return 0
        count = int(value.split(".")[0])
        if not 0 < count <= MOST_PIECES:
            self.fail(
                "quantity", sentence("must be between 1 and {most_pieces} pieces", most_pieces=MOST_PIECES)
            )
        return count

    def lengths(self) -> tuple[float, float | None]:
        """Length and saw length, parted by a comma, which is never a decimal mark here."""
        values = [value.strip() for value in self._value("length").removesuffix(",").split(",")]
        if len(values) > 2:
            self.fail(
                "length",
                sentence("holds {count} values where a length and a saw length can stand", count=len(values)),
            )
            return 0.0, None
        numbers = [float(value) if _NUMBER.fullmatch(value) else None for value in values]
        if None in numbers or numbers[0] is None:
            self.fail("length", "is not a number")
            return 0.0, None
        if not 0 < numbers[0] <= LONGEST_LENGTH_MM:
            self.fail(
                "length",
                sentence(
                    "must lie between 0 and {longest_length} mm", longest_length=f"{LONGEST_LENGTH_MM:g}"
                ),
            )
        return numbers[0], numbers[1] if len(numbers) == 2 and numbers[1] else None

    def number(self, field: str) -> float:
        """A number with a decimal point."""
        value = self._value(field)
        number = float(value) if _NUMBER.fullmatch(value) else None
        if number is not None and abs(number) < 1e9 and (number >= 0 or field not in _LESSER):
            return number
        if field in _LESSER:
            problem = "is no number from 0 on and was taken for 0"
            self._tell(Severity.WARNING, field, problem, "Nothing: sawing needs it not")
        elif "," in value:
            self.fail(field, "holds a comma; the standard writes a decimal point")
        else:
            self.fail(field, "is not a number" if value else "is empty where a number belongs")
        return 0.0

    def angle(self, field: str) -> float:
        """Degrees from square, less than 90 either way."""
        angle = self.number(field)
        if not abs(angle) < 90:
            self.fail(field, "is no angle of an end: it must be less than 90 degrees from square")
        return angle

    def fail(self, field: str, problem: str) -> None:
        """Note that the part can't be used for this field."""
        self._tell(Severity.ERROR, field, problem, _AGAIN)

    def _tell(self, severity: Severity, field: str, problem: str, remedy: str) -> None:
        line = self._by_field.get(field)
        self._notes.tell(
            severity,
            f"nc-{field.rstrip(' 1234').replace(' ', '-')}",
            problem,
            remedy,
            row=line.row if line else None,
            about=field,
            read=shown(line.text) if line else "",
        )
