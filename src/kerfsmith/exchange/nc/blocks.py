"""The text of an NC file taken apart: header lines and blocks, comments left out."""

import re
from dataclasses import dataclass

from kerfsmith.errors import Severity
from kerfsmith.exchange.nc.part import Notebook
from kerfsmith.units.text import shown
from kerfsmith.units.told import sentence

MOST_NC_BYTES = 2 * 1024 * 1024
"""A part of a building has some kilobytes; a file beyond this is something else."""
HEADER_LINES = 24
NEEDED_LINES = 20
"""The four lines of free text at the end of a header are left out by some programs."""
KNOWN_BLOCKS = frozenset({"BO", "SI", "AK", "IK", "PU", "KO", "SC", "TO", "UE", "PR", "KA", "EN"})
_BLOCK = re.compile(r"([A-Z][A-Z0-9])\s*(?:\*\*.*)?")


@dataclass(frozen=True, slots=True)
class NcLine:
    """One line with its number in the file, from 1."""

    row: int
    text: str


@dataclass(frozen=True, slots=True)
class NcBlock:
    """A block: its two letters, the row they stand in, and its lines."""

    code: str
    row: int
    lines: tuple[NcLine, ...]


@dataclass(frozen=True, slots=True)
class NcText:
    """A file taken apart."""

    header: tuple[NcLine, ...]
    blocks: tuple[NcBlock, ...]


def looks_like_nc(data: bytes) -> bool:
    """Whether the first line that is neither blank nor a comment is ST, as in every NC file."""
    text = _decoded(data[:4096])
    return text is not None and next(iter(_bare_lines(text)), NcLine(0, "")).text.strip().upper() == "ST"


def take_apart(data: bytes, notes: Notebook) -> NcText | None:
    """Header and blocks of one file, None where it holds no part; what is odd is noted."""
    text = _decoded(data) if len(data) <= MOST_NC_BYTES else None
    if text is None:
        much = len(data) > MOST_NC_BYTES
        notes.tell(
            Severity.ERROR,
            "nc-unreadable",
            sentence("has more than {most_nc_bytes} MB", most_nc_bytes=MOST_NC_BYTES // 2**20)
            if much
            else "is not a text file",
            "Send the NC file as the detailing program wrote it",
        )
        return None
    lines = _bare_lines(text)
    if not lines:
        notes.tell(Severity.ERROR, "nc-empty", "holds nothing", "Write it out again")
        return None
    if lines[0].text.strip().upper() != "ST":
        notes.tell(
            Severity.ERROR,
            "nc-no-start",
            "doesn't begin with the line ST, so nothing tells where its header begins",
            "Write the file out again; if it is no NC file, leave it out of the folder",
            row=lines[0].row,
            read=shown(lines[0].text),
        )
        return None
    return _parted(lines[1:], notes)


def _decoded(data: bytes) -> str | None:
    """The text, None for what is no text: old programs write the letters of Windows-1252."""
    for mark, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if data.startswith(mark):
            return data.decode(encoding, errors="replace")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    # A form feed or the end-of-file mark of old systems may stand in a text; a zero never does.
    return None if "\x00" in text else text.replace("\x1a", "")


def _bare_lines(text: str) -> list[NcLine]:
    """Lines without comments and, up to the first that says something, without blank ones."""
    found: list[NcLine] = []
    for row, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), start=1):
        bare = line.split("**", 1)[0].rstrip() if "**" in line else line.rstrip()
        is_comment = bool(line.lstrip().startswith("**"))
        if is_comment or (not found and not bare.strip()):
            continue
        found.append(NcLine(row, bare))
    return found


def _parted(lines: list[NcLine], notes: Notebook) -> NcText | None:
    header: list[NcLine] = []
    at = 0
    # Where nothing is indented, a piece may well be called SC; where the rest is, a bare SC begins a block.
    indented = any(line.text[:1].isspace() and line.text.strip() for line in lines[:NEEDED_LINES])
    while at < len(lines) and len(header) < HEADER_LINES:
        code = _code_of(lines[at])
        if code is not None and (len(header) >= NEEDED_LINES or (indented and code in KNOWN_BLOCKS)):
            break
        header.append(lines[at])
        at += 1
    if len(header) < NEEDED_LINES or all(not line.text.strip() for line in header):
        row = lines[at].row if at < len(lines) else None
        notes.tell(
            Severity.ERROR,
            "nc-header-short",
            sentence(
                "has {count} lines of header where {needed_lines} are needed, so that no line can be told",
                count=len(header),
                needed_lines=NEEDED_LINES,
            ),
            "Write the file out again",
            row=row,
        )
        return None
    return NcText(tuple(header), _blocks(lines[at:], notes))


def _code_of(line: NcLine) -> str | None:
    found = _BLOCK.fullmatch(line.text)
    return found[1] if found else None


def _begins(line: NcLine) -> str | None:
    """The code of a block below the header; there a known one may be indented or in small letters."""
    bare = line.text.strip().upper()
    return bare if bare in KNOWN_BLOCKS or bare == "ST" else _code_of(line)


def _blocks(lines: list[NcLine], notes: Notebook) -> tuple[NcBlock, ...]:
    """The blocks up to EN or a second ST; a second part is told and not read."""
    found: list[NcBlock] = []
    code, row, held = "", 0, list[NcLine]()
    for place, line in enumerate(lines):
        begins = _begins(line)
        if begins is None:
            if code and line.text.strip():
                held.append(line)
            continue
        if code:
            found.append(NcBlock(code, row, tuple(held)))
        code, row, held = begins, line.row, []
        if begins in ("EN", "ST"):
            _tell_rest(lines[place:], notes)
            return tuple(found)
    if code:
        found.append(NcBlock(code, row, tuple(held)))
    notes.tell(
        Severity.WARNING,
        "nc-no-end",
        "has no line EN at its end: the file may be cut off, and what stood below is missing",
        "The header is whole and the part is kept; compare it with the drawing",
    )
    return tuple(found)


def _tell_rest(lines: list[NcLine], notes: Notebook) -> None:
    second = next((line for line in lines if line.text.strip().upper() == "ST"), None)
    if second is not None:
        notes.tell(
            Severity.ERROR,
            "nc-second-part",
            "a second part begins here; the standard has one part a file, so neither is used",
            "Put each part in a file of its own",
            row=second.row,
        )
