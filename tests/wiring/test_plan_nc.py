"""A folder of 500 NC files becomes a plan in one call, every part accounted for."""

import random
import zipfile
from pathlib import Path

import pytest
from tests.exchange.nc_files import nc_file

from kerfsmith.wiring.plan_files import plan_files

PROFILES = (
    {"profile": "HEA200", "code": "I", "height": "190", "flange width": "200"},
    {"profile": "IPE200", "code": "I", "height": "200", "flange width": "100", "flange thickness": "8.5",
     "web thickness": "5.6"},
    {"profile": "L100*100*10", "code": "L", "height": "100", "flange width": "100", "flange thickness": "10",
     "web thickness": "10"},
    {"profile": "FL100*12", "code": "B", "height": "100", "flange width": "12", "flange thickness": "12",
     "web thickness": "12"},
    {"profile": "D60", "code": "RU", "height": "60", "flange width": "60", "flange thickness": "0",
     "web thickness": "0"},
)  # fmt: skip


def part(number: int, chance: random.Random) -> bytes:
    changes = dict(chance.choice(PROFILES)) | {
        "piece": f"M{number}",
        "length": f"{chance.randint(40_000, 480_000) / 100:.2f}",
        "quantity": str(chance.randint(1, 3)),
        "grade": chance.choice(["S235JR", "S355J2"]),
    }
    if chance.random() < 0.1:
        changes["web cut end" if changes["code"] == "B" else "flange cut end"] = "30.000"
    return nc_file(changes, "BO\n  v 50.00u 50.00 18.00" if chance.random() < 0.4 else "")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder, chance = tmp_path_factory.mktemp("hall 3"), random.Random(500)
    for number in range(500):
        place = folder / f"phase {number % 3}"
        place.mkdir(exist_ok=True)
        (place / f"M{number}.nc1").write_bytes(part(number, chance))
    return folder


def test_five_hundred_files_become_a_plan(folder: Path) -> None:
    made = plan_files(folder, seconds=0.2)
    assert len(made.order.lines) == made.order.rows_read == 500
    assert not made.input_at_fault
    assert len(made.plan.groups) == 10
    wanted = sum(line.quantity for line in made.order.lines)
    left_out = sum(one.count for group in made.plan.groups for one in group.unplanned)
    assert made.plan.pieces_wanted == wanted == made.plan.pieces_planned + left_out
    assert left_out == 0
    assert [finding.code for finding in made.findings] == ["nc-flange-side", "nc-other-work", "rack-missing"]


def test_an_archive_of_them_gives_the_same_order(folder: Path, tmp_path: Path) -> None:
    archive = tmp_path / "hall.zip"
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as file:
        for path in sorted(folder.rglob("*.nc1"))[:40]:
            file.write(path, path.relative_to(folder))
    made = plan_files(archive, seconds=0.5)
    assert len(made.order.lines) == 40
    assert made.plan.name == "hall"


def test_links_and_hidden_files_are_not_followed(tmp_path: Path) -> None:
    (tmp_path / "P.nc1").write_bytes(nc_file())
    (tmp_path / "again.nc1").symlink_to(tmp_path / "P.nc1")
    (tmp_path / ".hidden.nc1").write_bytes(nc_file())
    assert len(plan_files(tmp_path, seconds=0.5).order.lines) == 1
