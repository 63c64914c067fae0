"""Drawn sections on the command line; the area is that of IPE 200 in EN 10365, 28.48 cm2 and 22.4 kg/m."""

from pathlib import Path

import pytest
from tests.cli.test_commands import call, printed
from tests.exchange.drawings import beam, drawing, with_a_gap

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT


@pytest.fixture
def rail(tmp_path: Path) -> Path:
    path = tmp_path / "rail 7.dxf"
    path.write_bytes(drawing(beam(200, 100, 5.6, 8.5, 12), units=0))
    return path


def test_a_drawing_is_looked_at(rail: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call("sections", "look", str(rail), "--json") == INPUT_AT_FAULT
    assert [one["code"] for one in printed(capsys)["findings"]] == ["dxf-unit-missing"]
    assert call("sections", "look", str(rail), "--unit", "mm", "--json") == DONE
    told = printed(capsys)["section"]
    assert told["area_mm2"] == pytest.approx(2848, rel=5e-4)
    assert told["mass_kg_per_m"] == pytest.approx(22.4, rel=5e-3)
    assert told["thinnest_wall_mm"] == pytest.approx(5.6)


def test_it_is_kept_called_otherwise_and_taken_away(
    rail: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = ("--records", str(tmp_path / "shop.sqlite"))
    assert call("sections", "keep", str(rail), "--unit", "mm", *shop) == DONE
    assert call("sections", "keep", str(rail), "--unit", "mm", "--name", "R", *shop) == CANNOT
    assert "the same outline is on record as rail 7" in capsys.readouterr().err
    assert call("sections", "rename", "rail 7", "Rail 8", *shop) == DONE
    asked = ("--grade", "S235JR", "--section", "rail-8", "--json")
    assert call("cut", *asked) == INPUT_AT_FAULT
    capsys.readouterr()
    assert call("cut", *asked, "--shop", shop[1]) == DONE
    assert printed(capsys)["area_cm2"] == pytest.approx(28.48, rel=1e-3)
    assert call("sections", "list", *shop) == DONE
    assert capsys.readouterr().out.startswith("Rail 8: 100 x 200 mm")
    assert call("sections", "drop", "Rail 8", *shop) == DONE
    assert call("sections", "drop", "Rail 8", *shop) == CANNOT


def test_what_is_wrong_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "gap.dxf"
    path.write_bytes(drawing(with_a_gap))
    assert call("sections", "keep", str(path), "--records", str(tmp_path / "x.sqlite")) == INPUT_AT_FAULT
    assert "no other end lies within" in capsys.readouterr().err
