"""The package's tables, read once in a process: nobody changes them."""

from functools import cache

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog


@cache
def package_tables() -> Catalog:
    """The catalog with the demo's saws."""
    return load_catalog()
