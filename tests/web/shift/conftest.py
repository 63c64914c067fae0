"""The shift's shop on a port of the loopback, and the browser of the other page tests."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.web.shift.places import copied
from tests.web.shift.serving import served_at
from tests.web.shift.shop import Served


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A fresh shop, served."""
    shop = copied(tmp_path)
    with served_at(shop.app) as base:
        yield base, shop
