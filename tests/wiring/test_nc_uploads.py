"""NC files sent to the pages: one, several at once, an archive; read, looked at, kept."""

import io
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.exchange.nc_files import SAMPLES, nc_file
from tests.plans_here import PlansHere
from tests.tables import package_tables

from kerfsmith.records.store import Store
from kerfsmith.web.app import create_app
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.records import open_store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(str(tmp_path / "shop.sqlite"))


@pytest.fixture
def client(store: Store) -> Iterator[TestClient]:
    catalog = package_tables()
    stage = ShopBackstage(store, catalog, PlansHere(catalog))  # type: ignore[arg-type]
    with TestClient(create_app(stage), follow_redirects=True) as made:
        yield made


def send(client: TestClient, *files: tuple[str, bytes], kind: str = "order") -> str:
    answer = client.post("/uploads", data={"kind": kind}, files=[("file", file) for file in files])
    assert answer.status_code == 200
    text: str = answer.text
    return text


def keep(client: TestClient, page: str) -> None:
    action = re.search(r'action="(/uploads/[^"]+/keep)"', page)
    assert action
    assert client.post(action[1]).status_code == 200


def archive(files: dict[str, bytes]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as made:
        for name, data in files.items():
            made.writestr(name, data)
    return buffer.getvalue()


def test_several_files_are_one_order(client: TestClient, store: Store) -> None:
    files = [(f"P{n}.nc1", nc_file({"piece": f"P{n}"})) for n in range(3)]
    page = send(client, *files)
    assert "Keep 3 lines" in page
    assert "How the columns are taken" not in page
    keep(client, page)
    order = store.orders()[0]
    assert order.name == "P0.nc1 and 2 more"
    assert [line.mark for line in order.lines] == ["P0", "P1", "P2"]


def test_an_archive_with_faulty_files(client: TestClient, store: Store) -> None:
    page = send(client, ("hall.zip", archive({path.name: path.read_bytes() for path in SAMPLES.iterdir()})))
    for name in ("E3.nc", "E4.nc", "E5.nc", "E6.nc", "E7.nc", "E8.nc"):
        assert name in page
    keep(client, page)
    assert {line.mark for line in store.orders()[0].lines} == {"B_1", "3"}


def test_nothing_to_keep_says_why(client: TestClient) -> None:
    page = send(client, ("E3.nc", (SAMPLES / "E3.nc").read_bytes()))
    assert "Why can nothing of it be used?" in page
    assert "begin with the line ST" in page
    assert "/keep" not in page
    assert "cut lists go one by one" in send(client, ("a.csv", b"Mark\n1"), ("b.csv", b"Mark\n2"))


def test_too_many_files_at_once_are_refused(client: TestClient) -> None:
    files = [("file", (f"{n}.nc1", b"ST")) for n in range(1_001)]
    answer = client.post("/uploads", data={"kind": "order"}, files=files)
    assert 400 <= answer.status_code < 500
