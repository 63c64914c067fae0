"""NC files out of a delivery: single files, several at once, or a ZIP archive of them.

An archive is read in memory, within limits on what it unpacks to; nothing in it is ever written anywhere, so
the paths in it are only names. An archive within an archive is told and left closed.
"""

import io
import zipfile
import zlib
from collections.abc import Iterable, Iterator

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.nc.blocks import MOST_NC_BYTES, looks_like_nc
from kerfsmith.exchange.nc.order import NcFile
from kerfsmith.units.text import shown
from kerfsmith.units.told import sentence

MOST_FILES = 5_000
MOST_ALL_BYTES = 200 * 1024 * 1024
_ZIP_START = (b"PK\x03\x04", b"PK\x05\x06")
_NC_ENDINGS = (".nc", ".nc1", ".ncl", ".dstv", ".stp1")
_JUNK = ("__macosx/", ".ds_store", "thumbs.db", "desktop.ini")
_DAMAGED = (
    zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, EOFError, OSError, NotImplementedError,
    RuntimeError, ValueError, LookupError, OverflowError,
)  # fmt: skip


def is_archive(data: bytes) -> bool:
    """Whether the bytes are a ZIP archive that is no workbook."""
    if not data.startswith(_ZIP_START):
        return False
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            names = set(archive.namelist())
    except _DAMAGED:
        return False
    return "xl/workbook.xml" not in names and "mimetype" not in names


def is_delivery(name: str, data: bytes) -> bool:
    """Whether a file is to be read as NC: an archive, an NC file, or one called so."""
    return is_archive(data) or looks_like_nc(data) or _called_nc(name)


def gather(files: Iterable[tuple[str, bytes]]) -> tuple[tuple[NcFile, ...], tuple[Finding, ...]]:
    """The NC files among ``files`` (name and bytes), archives opened, in the order of their names; and what
    was left out."""
    found: list[NcFile] = []
    told: list[Finding] = []
    for name, data in files:
        if is_archive(data):
            found += _unpacked(name, data, told)
        else:
            _take(_shown_name(name), data, found, told)
    if len(found) > MOST_FILES:
        told.append(
            _finding(
                "nc-too-many",
                sentence("holds more than {most_files} NC files", most_files=MOST_FILES),
                "Split the delivery",
                "",
            )
        )
        found = []
    elif not found:
        told.append(
            _finding(
                "nc-none", "holds no NC file", "Send NC files or a ZIP of them; cut lists go one by one", ""
            )
        )
    return tuple(found), tuple(told)


def _take(name: str, data: bytes, found: list[NcFile], told: list[Finding]) -> None:
    if looks_like_nc(data) or _called_nc(name):
        found.append(NcFile(name, data))
    elif not name.lower().endswith(_JUNK) and not name.lower().startswith(_JUNK[0]):
        is_zip = data.startswith(_ZIP_START) or name.lower().endswith(".zip")
        problem = "is an archive within an archive" if is_zip else "is no NC file and was left out"
        remedy = "Unpack it and send its files" if is_zip else "Nothing, if no part is in it"
        severity = Severity.ERROR if is_zip else Severity.NOTE
        told.append(Finding("nc-other-file", severity, name, None, None, "", problem, remedy))


def _unpacked(name: str, data: bytes, told: list[Finding]) -> Iterator[NcFile]:
    """The NC files in an archive. Sizes it states aren't believed: reading stops at the limit."""
    found: list[NcFile] = []
    left = MOST_ALL_BYTES
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = [info for info in archive.infolist() if not info.is_dir()]
            if len(infos) > 2 * MOST_FILES:
                problem = sentence("holds more than {most} files", most=2 * MOST_FILES)
                told.append(_finding("nc-too-many", problem, "Split the archive", name))
                return
            for info in sorted(infos, key=lambda info: info.filename):
                content = _member(archive, info, told)
                if content is None:
                    continue
                left -= len(content)
                if left < 0:
                    problem = sentence(
                        "unpacks to more than {most_all_bytes} MB", most_all_bytes=MOST_ALL_BYTES // 2**20
                    )
                    told.append(_finding("nc-too-large", problem, "Send fewer files at once", name))
                    return
                _take(_shown_name(info.filename), content, found, told)
    except _DAMAGED:
        told.append(
            _finding("nc-archive", "is damaged and was read as far as it goes", "Pack it again", name)
        )
    yield from found


def _member(archive: zipfile.ZipFile, info: zipfile.ZipInfo, told: list[Finding]) -> bytes | None:
    name = _shown_name(info.filename)
    if info.flag_bits & 0x1:
        told.append(_finding("nc-locked", "is locked with a password", "Pack it without one", name))
        return None
    try:
        with archive.open(info) as stream:
            content = stream.read(MOST_NC_BYTES + 1)
    except _DAMAGED:
        told.append(_finding("nc-archive", "is damaged within the archive", "Pack it again", name))
        return None
    if len(content) > MOST_NC_BYTES:
        problem = sentence(
            "unpacks to more than {most_nc_bytes} MB, more than any NC file has",
            most_nc_bytes=MOST_NC_BYTES // 2**20,
        )
        told.append(_finding("nc-too-large", problem, "Take it out of the archive", name))
        return None
    return content


def _called_nc(name: str) -> bool:
    return name.lower().endswith(_NC_ENDINGS)


def _shown_name(name: str) -> str:
    """A name fit to stand in a finding: its way within the archive without tricks, its end where long."""
    parts = [part for part in name.replace("\\", "/").split("/") if part not in ("", ".", "..")]
    plain = "".join(character if character.isprintable() else "?" for character in "/".join(parts))
    return plain if len(plain) <= 80 else "…" + plain[-79:]


def _finding(code: str, problem: str, remedy: str, name: str) -> Finding:
    return Finding(code, Severity.ERROR, shown(name) or "delivery", None, None, "", problem, remedy)
