"""The worked scripts: each runs, and prints what is kept beside it."""

import subprocess
import sys
from pathlib import Path

import pytest

FOLDER = Path(__file__).parents[2] / "examples"
SCRIPTS = sorted(FOLDER.glob("*.py"))


def test_there_are_ten_and_more_and_each_says_what_it_shows() -> None:
    assert len(SCRIPTS) >= 10
    for script in SCRIPTS:
        assert script.read_text(encoding="utf-8").startswith('"""')
    assert {script.stem for script in SCRIPTS} == {file.stem for file in (FOLDER / "printed").glob("*.txt")}


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.stem)
def test_each_prints_what_is_kept(script: Path, tmp_path: Path) -> None:
    run = subprocess.run(
        [sys.executable, str(script)], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout == (FOLDER / "printed" / f"{script.stem}.txt").read_text(encoding="utf-8")
