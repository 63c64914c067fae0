"""The table of symptoms and causes from the package's own file."""

from importlib import resources

from kerfsmith.errors import InvalidValue
from kerfsmith.faults.table import Cause, FaultTable, Symptom, Usual
from kerfsmith.library.tables import CatalogFault, Table, open_tables

_FILE = "faults.toml"


def load_faults() -> FaultTable:
    """Causes with check and cure, and which are usual behind each symptom. Raises CatalogFault."""
    file = open_tables(_FILE, resources.files("kerfsmith.library").joinpath("data", _FILE).read_bytes())
    causes = {cause.name: cause for cause in map(_cause, file.tables("cause"))}
    usual: dict[Symptom, tuple[Usual, ...]] = {}
    for table in file.tables("usual"):
        symptom = _symptom(table)
        before = usual.get(symptom, ())
        usual[symptom] = (*before, *_usual(table, len(before) + 1))
    try:
        return FaultTable(causes, usual)
    except InvalidValue as fault:
        raise CatalogFault(_FILE, "usual", "causes", str(fault)) from fault


def _cause(table: Table) -> Cause:
    cause = Cause(table.text("key"), table.text("check"), table.text("cure"), table.flag("isolate"))
    table.finish()
    return cause


def _symptom(table: Table) -> Symptom:
    name = table.text("symptom")
    try:
        return Symptom(name)
    except ValueError:
        raise table.fault("symptom", f"{name!r} isn't a known symptom") from None


def _usual(table: Table, first: int) -> tuple[Usual, ...]:
    source, where, confidence = table.text("source"), table.text("where", ""), table.confidence()
    causes = table.texts("causes")
    table.finish()
    return tuple(
        Usual(cause, rank, source, where, confidence) for rank, cause in enumerate(causes, start=first)
    )
