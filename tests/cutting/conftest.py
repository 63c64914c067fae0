"""The catalog, read once for all tests of the cutting engine."""

import pytest
from tests.tables import package_tables

from kerfsmith.catalog.catalog import Catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    """The package's own catalog with the demo shop's saws."""
    return package_tables()
