"""`kerfsmith week`: a cut list lined up from files, as JSON and in words."""

import json
from pathlib import Path

import pytest

from kerfsmith.cli.main import app
from kerfsmith.demo.files import ORDER_BOOK, RACK, demo_file


@pytest.fixture
def files(tmp_path: Path) -> tuple[str, str]:
    """The demo's first twelve lines and its rack."""
    book, rack = tmp_path / ORDER_BOOK, tmp_path / RACK
    book.write_bytes(b"\n".join(demo_file(ORDER_BOOK).splitlines()[:13]) + b"\n")
    rack.write_bytes(demo_file(RACK))
    return str(book), str(rack)


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str]:
    """The command's exit code and what it printed."""
    code = app(["week", *words], result_action="return_value", exit_on_error=False)
    return int(code or 0), capsys.readouterr().out


def test_a_cut_list_becomes_a_week(files: tuple[str, str], capsys: pytest.CaptureFixture[str]) -> None:
    book, rack = files
    code, told = run(capsys, book, "--rack", rack, "--start", "2026-11-30T06:00", "--json")
    week = json.loads(told)
    assert code == (1 if week["left_out"] else 0)
    assert week["reckoned_at"] == "2026-11-30T06:00:00"
    assert {run["saw"] for run in week["runs"]} <= {"north", "yard", "light-metal"}
    for one in week["runs"]:
        assert "2026-11-30T06:00:00" <= one["begins"] < one["ends"]
        assert all(line["pieces_late"] == 0 or line["done"] > line["due"] for line in one["lines"])
    assert [aim["aim"] for aim in week["aims"]] == ["tardiness", "late", "hours", "changes"]


def test_what_cannot_be_read_is_said(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(capsys, str(tmp_path / "nothing.csv"))[0] == 2
