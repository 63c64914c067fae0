"""Fixtures: the shift's shop, filled once and copied for each test; clients who are somebody."""

import shutil
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.web.shift.shop import PASSWORD, ShiftShop

HERE = ("127.0.0.1", 50_000)
BASE = "http://127.0.0.1"


@cache
def template(*, demo: bool = False, people: bool = True) -> Path:
    """Folder of records that were filled once in this process."""
    folder = Path(tempfile.mkdtemp(prefix="kerfsmith-shift-"))
    shop = ShiftShop(folder)
    shop.fill(demo=demo, people=people)
    shop.store._engine.dispose()
    return folder


def copied(folder: Path, *, demo: bool = False, people: bool = True) -> ShiftShop:
    """A shop over a copy of the filled records."""
    for file in template(demo=demo, people=people).iterdir():
        shutil.copy(file, folder)
    return ShiftShop(folder)


@pytest.fixture
def shift(tmp_path: Path) -> ShiftShop:
    """A shop of one's own with four people and a run released."""
    return copied(tmp_path)


@pytest.fixture
def demo(tmp_path: Path) -> ShiftShop:
    """The same as the demo, with nobody on record."""
    folder = tmp_path / "demo"
    folder.mkdir()
    return copied(folder, demo=True, people=False)


def client_of(shop: ShiftShop, name: str = "", *, host: str = HERE[0], base: str = BASE) -> TestClient:
    """A browser at this machine, signed in at the desk as ``name`` where one is given."""
    made = TestClient(
        shop.app, base_url=base, client=(host, HERE[1]), follow_redirects=False, raise_server_exceptions=False
    )
    if name:
        answer = made.post("/sign-in", data={"name": name, "password": PASSWORD})
        assert answer.status_code == 303, answer.text
    return made


@pytest.fixture
def operator(shift: ShiftShop) -> Iterator[TestClient]:
    """Omar, signed in."""
    with client_of(shift, "Omar") as made:
        yield made
