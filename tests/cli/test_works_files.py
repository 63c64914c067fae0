"""NC files and drawings on the command line."""

import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import new
from tests.cli.test_commands import call, printed
from tests.exchange.nc_files import SAMPLES, nc_file
from tests.tables import package_tables

from kerfsmith.cli.main import DONE, INPUT_AT_FAULT
from kerfsmith.errors import InvalidValue
from kerfsmith.exchange.export.tables import TABLES
from kerfsmith.wiring.records import open_demo_at_first_start, open_store


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    document = new(units=4)
    for inset in (0, 5):
        corners = [(inset, inset), (80 - inset, inset), (80 - inset, 175 - inset), (inset, 175 - inset)]
        document.modelspace().add_lwpolyline(corners, close=True)
    path = tmp_path / "z 175.dxf"
    document.saveas(path)
    return path


def test_a_folder_is_planned(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("A1", "A2"):
        (tmp_path / f"{name}.nc1").write_bytes(nc_file({"piece": name, "grade": "MS"}))
    assert call("plan", str(tmp_path), "--seconds", "1", "--json") == INPUT_AT_FAULT
    findings = printed(capsys)["findings"]
    assert [finding["field"] for finding in findings if finding["field"]] == ["grade", "grade"]
    assert call("plan", str(tmp_path), "--grade", "MS=S235JR", "--seconds", "1", "--json") == DONE
    assert [group["pieces_planned"] for group in printed(capsys)["groups"]] == [4]


def test_all_samples_in_one_archive(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    archive = tmp_path / "samples.zip"
    with zipfile.ZipFile(archive, "w") as file:
        for path in SAMPLES.iterdir():
            file.write(path, path.name)
    words = ["plan", str(archive), "--grade", "MS=S235JR", "--stock", "8 m", "--seconds", "1", "--json"]
    assert call(*words) == INPUT_AT_FAULT
    answer = printed(capsys)
    faulty = {finding["file"] for finding in answer["findings"] if finding["row"]}
    assert {f"E{n}.nc" for n in range(1, 9)} <= faulty
    assert {(group["section"], group["pieces_planned"]) for group in answer["groups"]} == {
        ("W21X44", 3),
        ("HEB 400", 1),
        ("flat 300 x 20 mm", 30),
    }


def test_a_special_profile_by_its_drawing(drawing: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["plan", str(SAMPLES / "RST37-2.nc"), "--section", f"ZS175*1.5={drawing}", "--seconds", "1"]
    assert call(*words, "--json") == DONE
    group: dict[str, Any] = printed(capsys)["groups"][0]
    assert (group["section"], group["pieces_planned"]) == ("ZS175*1.5", 2)


def test_one_cut_of_a_drawn_section(drawing: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call("cut", "--grade", "S235JR", "--section", str(drawing), "--json") == DONE
    answer = printed(capsys)
    assert answer["area_cm2"] == pytest.approx((80 * 175 - 70 * 165) / 100)
    drawing.write_text("no drawing")
    assert call("cut", "--grade", "S235JR", "--section", str(drawing), "--json") == INPUT_AT_FAULT
    assert (
        json.loads(capsys.readouterr().out)["findings"][0]["problem"] == "is no DXF drawing that can be read"
    )
    assert call("cut", "--grade", "S235JR", "--section", "nowhere.dxf") == INPUT_AT_FAULT


@pytest.fixture
def records(tmp_path: Path) -> str:
    file = str(tmp_path / "shop.sqlite")
    open_demo_at_first_start(open_store(file), package_tables())
    return file


def test_tables_of_the_shop(records: str, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    for name in TABLES:
        assert call("export", name, "--records", records, "--as", "json") == DONE
        assert json.loads(capfdbinary.readouterr().out)["table"] == name
    assert call("export", "rack", str(tmp_path / "rack.xlsx"), "--records", records) == DONE
    assert (tmp_path / "rack.xlsx").read_bytes().startswith(b"PK")
    assert b"rows of rack" in capfdbinary.readouterr().err
    assert call("export", "costs", "--schema") == DONE
    assert json.loads(capfdbinary.readouterr().out)["title"] == "Costs"
    assert call("export", "rack", "--records", str(tmp_path / "none.sqlite")) == INPUT_AT_FAULT
    for words in (["rak"], ["rack", "rack.pdf"], ["rack", "--as", "pdf"]):
        with pytest.raises(InvalidValue):
            call("export", *words, "--records", records)


def test_tables_of_a_plan_made_from_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "P1.nc1").write_bytes(nc_file())
    out = tmp_path / "out"
    out.mkdir()
    words = [f"--table={name}={out / name}.json" for name in ("plan", "plan-pieces", "cut-list", "costs")]
    assert call("plan", str(tmp_path / "P1.nc1"), "--seconds", "1", *words) == DONE
    rows = {path.stem: json.loads(path.read_text())["rows"] for path in out.iterdir()}
    assert [(row["mark"], row["length_mm"]) for row in rows["plan-pieces"]] == [("P1", 3000.0)]
    assert [row["quantity"] for row in rows["cut-list"]] == [2]
    assert rows["costs"][0]["pieces"] == 2
    with pytest.raises(InvalidValue):
        call("plan", str(tmp_path / "P1.nc1"), "--seconds", "1", "--table", "rack=x.csv")
