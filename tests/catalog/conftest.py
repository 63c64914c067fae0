"""The package's own catalog, read once."""

import pytest

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog


@pytest.fixture(scope="session")
def catalog() -> Catalog:
    return load_catalog()
