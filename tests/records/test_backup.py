"""Backups: whole, made while others write, verified by restoring, and read back into either database."""

import gzip
import json
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine
from tests.records.databases import KINDS, databases
from tests.workflow.load_floor import cut_through, lay, released_loads, told_of
from tests.workflow.shop_floor import AT, LEAD, OPERATOR, released

from kerfsmith.cli.main import app
from kerfsmith.records.backup import at_one_moment, back_up, restore
from kerfsmith.records.dump import BadBackup, Dumped, dump
from kerfsmith.records.opening import open_engine
from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.workflow.keep_heat import AttachCertificate, attach_certificate
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.refusal import Refusal


@pytest.fixture(params=KINDS)
def other_url(request: pytest.FixtureRequest) -> Iterator[str]:
    yield from databases().fresh(request.param)


def worked(store: Store) -> Store:
    """Records with a bar half cut and a certificate."""
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)
    log_cut(store, LogCut("c1", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT)
    log_cut(store, LogCut("c2", "b1", 2, line_id="o1:1", measured_um=500_000), by=OPERATOR, at=AT)
    pdf = b"%PDF-1.7\n\x00\xff\n%%EOF"
    attach_certificate(store, AttachCertificate("k", "H100", "a.pdf"), pdf, by=LEAD, at=AT)
    return store


def held(engine: Engine) -> Dumped:
    with at_one_moment(engine) as connection:
        return dump(connection, lambda _: None)


def test_a_backup_goes_back_into_either_database_and_work_goes_on(
    store: Store, engine: Engine, other_url: str, tmp_path: Path
) -> None:
    worked(store)
    file = tmp_path / "monday.backup"
    made = back_up(engine, file)
    assert restore(file, other_url) == made == held(engine)
    other = Store(open_engine(other_url))
    assert other.orders() == store.orders()
    assert other.ledger() == store.ledger()
    assert other.latest_plan() == store.latest_plan()
    with store.look() as here, other.look() as there:
        assert there.floor.bars("r1") == here.floor.bars("r1")
        assert there.trace.piece("c2") == here.trace.piece("c2")
    logged = log_cut(other, LogCut("c3", "b1", 3, line_id="o1:1"), by=OPERATOR, at=AT)
    assert isinstance(logged, CutLogged)
    assert logged.line is not None
    assert logged.line.good == 2
    assert [path.name for path in tmp_path.iterdir()] == ["monday.backup"]


def test_a_copy_of_the_sqlite_file_goes_back_into_either_database(other_url: str, tmp_path: Path) -> None:
    engine = open_engine(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    worked(Store(engine))
    made = back_up(engine, tmp_path / "copy.sqlite")
    assert restore(tmp_path / "copy.sqlite", other_url) == made == held(engine)


def test_a_backup_made_while_others_write_is_of_one_moment(
    store: Store, engine: Engine, tmp_path: Path
) -> None:
    """The checks of the schema hold in it, and each cut has its ledger entry."""
    worked(store)
    done = threading.Event()
    written: list[object] = []

    def write() -> None:
        number = 3
        while not done.is_set():
            told = LogCut(f"w{number}", "b1", number, EntryKind.TRIM, trim_um=1)
            written.append(log_cut(store, told, by=OPERATOR, at=AT))
            number += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        backups = [back_up(engine, tmp_path / f"{number}.backup") for number in range(3)]
    finally:
        done.set()
        writer.join()
    assert [made.counts["cuts"] for made in backups] == sorted(made.counts["cuts"] for made in backups)
    for made in backups:
        assert made.counts["ledger"] == made.counts["cuts"] + made.counts["bands"] + 7
    assert len(written) > 0
    full = [answer for answer in written if isinstance(answer, Refusal)]
    assert not full or full[0].code == "bar-too-short"


def test_restoring_over_records_is_refused(store: Store, engine: Engine, url: str, tmp_path: Path) -> None:
    worked(store)
    back_up(engine, tmp_path / "b")
    before = held(engine)
    with pytest.raises(BadBackup, match="aren't empty"):
        restore(tmp_path / "b", url)
    assert held(engine) == before


def spoilt(lines: list[str]) -> Iterator[tuple[str, list[str]]]:
    yield "whole", lines[:-1]
    yield "no backup", lines[1:]
    yield "checksum", [line.replace("H100", "H999") for line in lines]
    yield "checksum|contradict", lines[:5] + lines[6:]
    yield "can't be read", [*lines[:3], lines[3][:-10] + "\n", *lines[4:]]
    yield "known table", [*lines[:3], '["no_such_table",{}]\n', *lines[4:]]
    yield "other columns", [*lines[:3], '["heats",{"number":"1"}]\n', *lines[4:]]
    yield "schema", [json.dumps({"format": "kerfsmith records", "revision": "9999"}) + "\n", *lines[1:]]


def test_a_spoilt_backup_is_refused_and_nothing_of_it_kept(
    store: Store, engine: Engine, other_url: str, tmp_path: Path
) -> None:
    worked(store)
    back_up(engine, tmp_path / "b")
    lines = gzip.decompress((tmp_path / "b").read_bytes()).decode().splitlines(keepends=True)
    for problem, changed in spoilt(lines):
        (tmp_path / "spoilt").write_text("".join(changed), encoding="utf-8")
        with pytest.raises(BadBackup, match=problem):
            restore(tmp_path / "spoilt", other_url)
    for content in (b"", b"hello", (tmp_path / "b").read_bytes()[:-20], b"\x1f\x8b\x08junk"):
        (tmp_path / "spoilt").write_bytes(content)
        with pytest.raises(BadBackup):
            restore(tmp_path / "spoilt", other_url)
    assert held(open_engine(other_url)).rows == 0
    assert restore(tmp_path / "b", other_url) == held(engine)


def test_the_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    records, file, again = (str(tmp_path / name) for name in ("shop.sqlite", "b.backup", "again.sqlite"))
    worked(Store(open_engine(f"sqlite:///{records}")))
    run = {"result_action": "return_value", "exit_on_error": False}
    assert app(["records", "backup", file, "--records", records], **run) == 0  # type: ignore[arg-type]
    assert app(["records", "restore", file, "--to", again], **run) == 0  # type: ignore[arg-type]
    assert "restored and found the same" in capsys.readouterr().out
    assert held(open_engine(f"sqlite:///{again}")) == held(open_engine(f"sqlite:///{records}"))
    missing = ["records", "backup", file, "--records", str(tmp_path / "none.sqlite")]
    assert app(missing, **run) == 2  # type: ignore[arg-type]


def test_a_load_goes_over_half_cut_and_is_cut_on(
    store: Store, engine: Engine, other_url: str, tmp_path: Path
) -> None:
    released_loads(store)
    lay(store, "l1", "b1", "b2", "b3")
    cut_through(store, told_of(store, "l1", "f", EntryKind.FACING))
    cut_through(store, told_of(store, "l1", "p1"))
    file = tmp_path / "monday.backup"
    made = back_up(engine, file)
    assert restore(file, other_url) == made == held(engine)
    other = Store(open_engine(other_url))
    cut_through(other, told_of(other, "l1", "p2"))
    late = load_bar(other, LoadBar("b4", "r1", "L-1", load_id="l1"), by=OPERATOR, at=AT)
    assert isinstance(late, Refusal)
    assert late.code == "load-cut"
