"""The package's own catalog, read once."""

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    return package_tables()
