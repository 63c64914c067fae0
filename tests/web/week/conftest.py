"""The week's shop, as values and on a port of the loopback."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.web.shift.serving import served_at
from tests.web.week.shop import Served, WeekShop, copied


@pytest.fixture
def shop(tmp_path: Path) -> WeekShop:
    """A fresh copy."""
    return copied(tmp_path)


@pytest.fixture
def served(shop: WeekShop) -> Iterator[Served]:
    """The same, served."""
    with served_at(shop.app) as base:
        yield base, shop
