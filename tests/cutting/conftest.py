"""The catalog, read once for all tests of the cutting engine."""

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    """The package's own catalog with the demo shop's saws."""
    return load_catalog()
