"""The shop's own tables on the command line."""

from pathlib import Path

import pytest
from tests.cli.test_commands import call, printed

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT

LIST = "mark,grade,section,length mm,quantity\nK1,WX42,key 16x10,120,6\n"


def test_the_example_is_kept_and_read_from_then_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    records, file = str(tmp_path / "shop.sqlite"), tmp_path / "ours.toml"
    assert call("tables", "example") == DONE
    file.write_text(capsys.readouterr().out)
    assert call("tables", "keep", str(file), "--records", records) == DONE
    assert "grade: WX42" in capsys.readouterr().out
    asked = ("--grade", "42x hardened", "--section", "key 16x10", "--json")
    assert call("cut", *asked) == INPUT_AT_FAULT
    capsys.readouterr()
    assert call("cut", *asked, "--shop", records) == DONE
    assert printed(capsys)["area_cm2"] == pytest.approx(1.6)
    wanted = tmp_path / "list.csv"
    wanted.write_text(LIST)
    assert call("plan", str(wanted), "--shop", records, "--json") == DONE
    assert printed(capsys)["groups"][0]["grade"] == "WX42"
    assert call("tables", "drop", "ours.toml", "--records", records) == DONE
    assert call("tables", "drop", "ours.toml", "--records", records) == CANNOT


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[grade]\n", "can't be read as TOML"),
        ('[[saw]]\nid = "s"\n', "saws have sheets of their own"),
        ('[[grades]]\nname = "x"\n', "is no table known here"),
        ("", "holds no entry"),
        ('[[band]]\nid = "X"\n', "edge"),
    ],
)
def test_a_file_at_fault_is_refused_whole(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, told: str
) -> None:
    records, file = str(tmp_path / "shop.sqlite"), tmp_path / "ours.toml"
    file.write_text(text)
    assert call("tables", "keep", str(file), "--records", records) == INPUT_AT_FAULT
    assert told in capsys.readouterr().err
    assert call("tables", "list", "--records", records) == DONE
    assert capsys.readouterr().out == ""
