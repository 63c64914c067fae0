"""A shop's own files of tables laid over the package's."""

from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog

OwnFiles = tuple[tuple[str, bytes], ...]
"""Files of tables by their names, in the order they are laid over one another."""


def over(tables: Catalog, files: OwnFiles) -> Catalog:
    """``tables`` as they are without files, else the package's with the files over them, on the same saws.

    Raises CatalogFault naming file, table and field.
    """
    return replace(load_catalog(extra=files), saws=tables.saws) if files else tables
