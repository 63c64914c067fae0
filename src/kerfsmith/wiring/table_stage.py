"""What stands behind the page of the shop's own tables."""

from collections.abc import Iterable
from datetime import UTC, datetime
from importlib import resources

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import Finding, Severity
from kerfsmith.library.load import load_catalog
from kerfsmith.library.tables import CatalogFault, open_tables
from kerfsmith.library.tables import TableFile as Tables
from kerfsmith.shop.own_words import OwnTableFile
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.web.table_stage import TableFile
from kerfsmith.wiring.own_files import OwnFiles, over
from kerfsmith.wiring.records import open_store
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.keep_table_file import Gone, KeepTableFile, drop_table_file, keep_table_file
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal

_NAMED_BY = {"grade": "name", "group": "name", "section_table": "name", "band": "id", "source": "key"}


class ShopTableStage:
    """`web.table_stage.TableStage` over one shop's records."""

    def __init__(self, records: Records, tables: ShopTables) -> None:
        self._records, self._tables = records, tables

    def files(self) -> tuple[TableFile, ...]:
        """Every file, in the order they are laid over one another."""
        faults = {fault.file: fault for fault in self._tables.laid().faults}
        return tuple(_shown(own, faults.get(own.name)) for own in self._kept())

    def text(self, name: str) -> str | None:
        """A file as it was sent."""
        return next((own.text for own in self._kept() if own.name == name), None)

    def example(self) -> str:
        """A file to begin from."""
        return example_tables()

    def keep(self, name: str, data: bytes, *, by: Person) -> TableFile | Refusal | Finding:
        """Read a file and lay it over the tables, or say what is wrong in it."""
        others = tuple(file for file in self._tables.files() if file[0] != name)
        try:
            read = open_tables(name, data)
            odd = _not_for_here(read)
            if odd is not None:
                return odd
            after = over(self._tables.package, (*others, (name, data)))
        except CatalogFault as fault:
            return _finding(fault)
        told = KeepTableFile(name, data.decode(), tuple(_names(read)))
        kept = keep_table_file(self._records, told, self._gone(after), by=by, at=datetime.now(UTC))
        return kept if isinstance(kept, Refusal) else _shown(kept, None)

    def drop(self, name: str, *, by: Person) -> Refusal | None:
        """Take a file away."""
        others: OwnFiles = tuple(file for file in self._tables.files() if file[0] != name)
        gone = self._gone(over(self._tables.package, others))
        answer = drop_table_file(self._records, name, gone, by=by, at=datetime.now(UTC))
        return answer if isinstance(answer, Refusal) else None

    def _kept(self) -> tuple[OwnTableFile, ...]:
        with self._records.look() as look:
            return look.own.table_files()

    def _gone(self, after: Catalog) -> Gone:
        now = self._tables.laid().tables
        return Gone(
            frozenset(grade.name for grade in now.grades) - {grade.name for grade in after.grades},
            frozenset(band.id for band in now.bands) - {band.id for band in after.bands},
        )


def example_tables() -> str:
    """A file of tables to begin from, its figures made up."""
    return resources.files("kerfsmith.library").joinpath("example_tables.toml").read_text("utf-8")


def tables_of(records: str) -> ShopTableStage:
    """The stage over the records in a SQLite file or at a database URL, for the command line."""
    store = open_store(records)
    return ShopTableStage(store, ShopTables(store, load_catalog()))


def _shown(own: OwnTableFile, fault: CatalogFault | None) -> TableFile:
    holds: tuple[tuple[str, tuple[str, ...]], ...] = ()
    if fault is None:
        read = open_tables(own.name, own.text.encode())
        each = ((kind, tuple(_names(read, kind))) for kind in _NAMED_BY)
        holds = tuple((kind, names) for kind, names in each if names)
    return TableFile(own.name, holds, own.kept_at, own.kept_by, str(fault) if fault else "")


def _names(file: Tables, *kinds: str) -> Iterable[str]:
    """What a file holds, by the names of its entries."""
    for kind in kinds or _NAMED_BY:
        for table in file.tables(kind):
            yield table.text(_NAMED_BY[kind])


def _finding(fault: CatalogFault) -> Finding:
    return Finding(
        "table",
        Severity.ERROR,
        fault.file,
        None,
        fault.field or None,
        fault.table,
        fault.problem,
        "Mend it in the file and send it again",
    )


def _not_for_here(file: Tables) -> Finding | None:
    """Why a file that can be taken apart is still none of these tables."""

    def told(code: str, read: str, problem: str, remedy: str) -> Finding:
        return Finding(code, Severity.ERROR, file.file, None, None, read, problem, remedy)

    if "saw" in file.content:
        remedy = "Give it on the page Saws, and leave it out here"
        return told("saws-apart", "[[saw]]", "saws have sheets of their own", remedy)
    kinds = ", ".join(f"[[{kind}]]" for kind in _NAMED_BY)
    odd = next((name for name in file.content if name != "cite" and name not in _NAMED_BY), None)
    if odd is not None:
        return told(
            "unknown-table",
            odd,
            "is no table known here",
            sentence("Name one of {kinds}, or leave it out", kinds=kinds),
        )
    if not any(True for _ in _names(file)):
        return told(
            "no-table", "", "holds no entry of any table", sentence("Write one of {kinds}", kinds=kinds)
        )
    return None
