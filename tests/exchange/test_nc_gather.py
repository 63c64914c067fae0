"""Folders and archives of NC files: tricks and bombs told, and never an exception whatever bytes come."""

import io
import zipfile
import zlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.exchange.nc_files import PLAIN, SAMPLES, nc_file
from tests.tables import package_tables

from kerfsmith.exchange.nc import gather as gathering
from kerfsmith.exchange.nc.gather import gather, is_archive
from kerfsmith.exchange.order_file import OrderRead
from kerfsmith.wiring.reading import read_nc_files, read_order_bytes

CATALOG = package_tables()


def packed(*files: tuple[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", how) as archive:
        for name, data in files:
            archive.writestr(name, data)
    return buffer.getvalue()


def read(data: bytes, name: str = "parts.zip") -> OrderRead:
    found = read_order_bytes(name, data, CATALOG)
    assert found.lines or any(finding.is_error for finding in found.findings)
    return found


def codes(found: OrderRead) -> list[str]:
    return [finding.code for finding in found.findings]


def test_an_archive_is_one_order() -> None:
    found = read(packed(("a/P1.nc1", nc_file()), ("b/P2.NC1", nc_file({"piece": "P2"})), ("empty/", b"")))
    assert [line.mark for line in found.lines] == ["P1", "P2"]
    assert found.findings == ()


def test_what_is_no_nc_file_is_told_and_left_out() -> None:
    others = (("list.csv", b"Mark;Length\n"), ("__MACOSX/._P1.nc1", b"\x00\x05"), ("x/.DS_Store", b"\x00"))
    found = read(packed(("P1.nc1", nc_file()), *others, ("bad.nc1", b"hello"), ("inner.zip", packed())))
    assert len(found.lines) == 1
    told = {finding.file: (finding.code, finding.is_error) for finding in found.findings}
    assert told["list.csv"] == ("nc-other-file", False)
    assert told["inner.zip"] == ("nc-other-file", True)
    assert told["bad.nc1"] == ("nc-no-start", True)


@pytest.mark.parametrize(
    "name", ["../../etc/P1.nc1", "/srv/P1.nc1", "..\\..\\P1.nc1", "C:\\P1.nc1", "a\nb.nc1"]
)
def test_a_path_is_only_a_name(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    found = read(packed((name, nc_file({"quantity": "x"}))))
    assert list(tmp_path.iterdir()) == []
    told = found.findings[0].file
    assert not told.startswith(("/", "\\"))
    assert ".." not in told
    assert told.isprintable()


def test_a_bomb_is_not_blown_up() -> None:
    bomb = packed(("P1.nc1", b" " * 50_000_000), ("P2.nc1", nc_file()))
    assert len(bomb) < 100_000
    found = read(bomb)
    assert codes(found) == ["nc-too-large"]
    assert len(found.lines) == 1


def test_many_files_together_have_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gathering, "MOST_ALL_BYTES", 1_000)
    assert codes(read(packed(*((f"{n}.nc1", nc_file()) for n in range(9)))))[0] == "nc-too-large"
    monkeypatch.setattr(gathering, "MOST_FILES", 3)
    assert "nc-too-many" in codes(read(packed(*((f"{n}.nc1", nc_file()) for n in range(9)))))
    assert "nc-too-many" in codes(read(packed(*((f"{n}.nc1", nc_file()) for n in range(4)))))


def test_a_locked_archive() -> None:
    data = bytearray(packed(("P1.nc1", nc_file())))
    # The lowest bit of the general purpose flags, at byte 6 of the local and 8 of the central header.
    data[6] |= 1
    data[data.index(b"PK\x01\x02") + 8] |= 1
    assert codes(read(bytes(data)))[0] == "nc-locked"


def test_an_archive_that_says_one_thing_and_holds_another() -> None:
    data = packed(("P1.nc1", nc_file()), how=zipfile.ZIP_STORED)
    broken = data.replace(b"HEA200", b"HEA300", 1)
    assert zlib.crc32(data) != zlib.crc32(broken)
    assert codes(read(broken))[0] == "nc-archive"


def test_a_workbook_is_no_archive_of_parts() -> None:
    assert not is_archive(packed(("xl/workbook.xml", b"<x/>")))
    assert not is_archive(b"PK\x03\x04 torn")


def test_nothing_at_all() -> None:
    assert codes(read(packed())) == ["nc-none"]
    assert codes(read_nc_files([], CATALOG)) == ["nc-none"]


GOOD = (SAMPLES / "notch.nc1").read_bytes()
ARCHIVE = packed(("P1.nc1", nc_file()), ("notch.nc1", GOOD))
PIECES = st.binary(max_size=6) | st.sampled_from(
    [
        b"\n",
        b"ST\n",
        b"EN\n",
        b"AK\n",
        b"  ",
        b",",
        b".",
        b"-",
        b"\x00",
        b"9" * 20,
        b"e99",
        b"  v 0 0 0\n",
        b"**",
    ]
)


def check(found: OrderRead) -> None:
    assert found.rows_read == len(found.lines) + found.rows_bad
    assert len({line.id for line in found.lines}) == len(found.lines)
    assert found.lines or any(finding.is_error for finding in found.findings)


@settings(max_examples=300)
@given(st.integers(0, len(GOOD)), st.integers(0, len(GOOD)), PIECES, st.integers(0, 3))
def test_a_mangled_file(cut: int, at: int, put: bytes, times: int) -> None:
    check(read_nc_files([("P.nc1", GOOD[:cut] + put * times + GOOD[at:])], CATALOG))


@settings(max_examples=300)
@given(st.dictionaries(st.sampled_from(list(PLAIN)), st.text(max_size=12) | st.floats().map(str), max_size=5))
def test_a_header_with_anything_in_it(changes: dict[str, str]) -> None:
    check(read_nc_files([("P.nc1", b"x"), ("Q.nc1", nc_file(changes))], CATALOG))


@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, len(ARCHIVE)), st.integers(0, len(ARCHIVE)), st.binary(max_size=8))
def test_a_mangled_archive(cut: int, at: int, put: bytes) -> None:
    check(read_order_bytes("a.nc1", ARCHIVE[:cut] + put + ARCHIVE[at:], CATALOG))


@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    check(read_nc_files([("P.nc1", data)], CATALOG))
    files, told = gather([("x", b"ST\n" + data.replace(b"\x00", b""))])
    assert len(files) == 1
    assert told == ()


def test_a_file_cut_off_anywhere() -> None:
    data = nc_file()
    for cut in range(len(data)):
        for line in read_nc_files([("P.nc1", data[:cut])], CATALOG).lines:
            assert (line.length_um, line.section.name) == (3_000_000, "HEA 200")
