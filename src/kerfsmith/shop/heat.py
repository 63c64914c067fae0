"""Heats: the melts that bars come from, and the certificates that speak for them."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue

MOST_CERTIFICATE_BYTES = 10_000_000
"""A scanned inspection certificate of a few pages has well under 10 MB (common practice)."""


class FileKind(StrEnum):
    """The kinds of file a certificate may be, by their media type."""

    PDF = "application/pdf"
    PNG = "image/png"
    JPEG = "image/jpeg"


_BEGINS = {FileKind.PDF: b"%PDF-", FileKind.PNG: b"\x89PNG\r\n\x1a\n", FileKind.JPEG: b"\xff\xd8\xff"}
_ENDS = {FileKind.PDF: b"%%EOF", FileKind.PNG: b"IEND\xaeB`\x82", FileKind.JPEG: b"\xff\xd9"}
_TAIL = 1024


def kind_of_file(content: bytes) -> FileKind | None:
    """What kind of file ``content`` is, by what it begins and ends with; None for any other.

    Sources of the marks: ISO 32000-1 7.5.2 and 7.5.5 (PDF), ISO/IEC 15948 5.2 and 11.2.5 (PNG),
    ITU-T T.81 annex B (JPEG).
    """
    for kind, begin in _BEGINS.items():
        if content.startswith(begin) and _ENDS[kind] in content[-_TAIL:]:
            return kind
    return None


@dataclass(frozen=True, slots=True)
class Heat:
    """One melt, by the number stamped on its bars. Raises InvalidValue without a number."""

    number: str
    mill: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not self.number.strip() or len(self.number) > 120:
            raise InvalidValue("a heat has a number of 1 to 120 characters")


@dataclass(frozen=True, slots=True)
class Certificate:
    """A certificate on file: of which heat, under which file name, and the SHA-256 of its content."""

    id: str
    heat: str
    name: str
    kind: FileKind
    size: int
    digest: str
    added_by: str
    added_at: datetime
