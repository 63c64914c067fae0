"""A bounded number of the benchmarks' storms and panels; in full they are run by benchmarks/records."""

import subprocess
import sys
from pathlib import Path

import pytest
from benchmarks.records.panels import record
from benchmarks.records.referee import faults
from sqlalchemy import Engine, text
from tests.records.databases import KINDS
from tests.workflow.shop_floor import AT, OPERATOR, released

from kerfsmith.records.store import Store
from kerfsmith.shop.cut_log import EntryKind
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import LogCut, log_cut

STORMS = 20
ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("kind", KINDS)
def test_killed_writers_lose_nothing_and_leave_nothing_half_done(kind: str) -> None:
    """In a process of its own, since it forks. Two of PostgreSQL's storms have the server killed."""
    command = [sys.executable, "-m", "benchmarks.records.kill_storm", kind, "--storms", str(STORMS)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{kind}: {STORMS} storms" in done.stdout
    assert " 0 faults" in done.stdout


def test_forty_panels_at_once(url: str) -> None:
    measured = record(url, panels=40, seconds=6.0, every_s=2.0)
    assert measured.errors == []
    assert measured.faults == []
    assert measured.events >= 40


SPOILT = {
    "sum of its cuts": "UPDATE loaded_bars SET entries = entries + 1",
    "line's counts": "UPDATE run_lines SET scrapped = scrapped + 1",
    "without its event": "INSERT INTO ledger (at, by, verb, subject, detail, event_id) VALUES "
    "('2026-12-01 06:00:00', 'x', 'log cut', 'x', '{}', 'e')",
}


@pytest.mark.parametrize("fault", SPOILT)
def test_the_referee_sees_what_is_wrong(store: Store, engine: Engine, fault: str) -> None:
    released(store)
    load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=AT)
    log_cut(store, LogCut("c1", "b1", 1, EntryKind.FACING), by=OPERATOR, at=AT)
    with engine.begin() as connection:
        connection.execute(text(SPOILT[fault]))
    with engine.connect() as connection:
        found = faults(connection, ["an event that is not there"])
    assert any(fault in one for one in found)
    assert "acknowledged and lost: an event that is not there" in found
