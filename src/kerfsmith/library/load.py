"""The catalog from the package's own tables, and a shop's own tables laid over them."""

from collections.abc import Callable, Iterable, Sequence
from importlib import resources
from pathlib import Path
from typing import TypeVar

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.shelf import SectionShelf
from kerfsmith.errors import InvalidValue
from kerfsmith.library.grades import read_grades, read_groups, read_power
from kerfsmith.library.sections import read_sections
from kerfsmith.library.tables import CatalogFault, TableFile, open_tables
from kerfsmith.library.tooling import (
    read_bands,
    read_cautions,
    read_corrections,
    read_saws,
    read_sources,
    read_unclear_names,
)

Entry = TypeVar("Entry")

DEMO_SAWS = "demo_saws.toml"


def load_catalog(
    *, extra: Sequence[Path | bytes | tuple[str, bytes]] = (), demo_saws: bool = True
) -> Catalog:
    """The whole catalog: the package's tables with the shop's own (``extra``) laid over them.

    A file is given by its path, by its bytes, or by the name faults call it by and its bytes.

    A file of the shop may hold any of ``[[grade]]``, ``[[group]]``, ``[[section_table]]``, ``[[band]]``,
    ``[[saw]]`` and ``[[source]]``; an entry of a known name (or id, or key) takes the place of the package's.
    Without ``demo_saws`` the saws of the demo shop stay out. Reading takes a tenth of a second or two: the
    caller keeps the result.

    Raises CatalogFault naming file, table and field.
    """
    own = {name: file for name, file in _package_files() if demo_saws or name != DEMO_SAWS}
    shops = tuple(_extra_files(extra))
    _draw_all(shops)
    files = (*own.values(), *shops)
    groups = {name: group for file in files for name, group in read_groups(file).items()}
    power = read_power(own["power.toml"])
    try:
        return Catalog(
            grades=_laid_over(read_grades(files, groups, power), lambda grade: grade.name),
            sections=SectionShelf(
                _laid_over((row for file in files for row in read_sections(file)), lambda row: row.name)
            ),
            bands=_laid_over((band for file in files for band in read_bands(file)), lambda band: band.id),
            saws=_laid_over((saw for file in files for saw in read_saws(file)), lambda saw: saw.id),
            sources=_laid_over(
                (each for file in files for each in read_sources(file)), lambda source: source.key
            ),
            hazard_texts=read_cautions(own["hazards.toml"]),
            corrections=read_corrections(own["corrections.toml"]),
            unclear_names=read_unclear_names(own["unclear_names.toml"]),
        )
    except InvalidValue as fault:
        raise CatalogFault("catalog", "", "", str(fault)) from fault


def _package_files() -> Iterable[tuple[str, TableFile]]:
    folder = resources.files("kerfsmith.library").joinpath("data")
    for entry in sorted(folder.iterdir(), key=lambda each: each.name):
        if entry.name.endswith(".toml"):
            yield entry.name, open_tables(entry.name, entry.read_bytes())


def _extra_files(extra: Sequence[Path | bytes | tuple[str, bytes]]) -> Iterable[TableFile]:
    for count, each in enumerate(extra, start=1):
        if isinstance(each, tuple):
            yield open_tables(*each)
            continue
        if isinstance(each, bytes):
            yield open_tables(f"table file {count}", each)
            continue
        try:
            yield open_tables(each.name, each.read_bytes())
        except OSError as fault:
            raise CatalogFault(str(each), "", "", f"can't be opened: {fault.strerror}") from fault


def _draw_all(files: Iterable[TableFile]) -> None:
    """Draw every section of a shop's own files once, so that a fault shows when the file is read."""
    for file in files:
        for row in read_sections(file):
            row.draw()


def _laid_over(entries: Iterable[Entry], name: Callable[[Entry], str]) -> tuple[Entry, ...]:
    """The entries by name, a later one in the place of an earlier."""
    return tuple({name(entry): entry for entry in entries}.values())
