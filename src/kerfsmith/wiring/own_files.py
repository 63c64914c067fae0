"""A shop's own files of tables laid over the package's."""

from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.library.load import load_catalog

OwnFiles = tuple[tuple[str, bytes], ...]
"""Files of tables by their names, in the order they are laid over one another."""


def over(tables: Catalog, files: OwnFiles, saws: tuple[SawSheet, ...] | None = None) -> Catalog:
    """``tables`` as they are without files, else the package's with the files over them; on ``saws``, on
    those of ``tables`` where None.

    Raises CatalogFault naming file, table and field.
    """
    laid = load_catalog(extra=files) if files else tables
    wanted = tables.saws if saws is None else saws
    return laid if laid.saws == wanted else replace(laid, saws=wanted)
