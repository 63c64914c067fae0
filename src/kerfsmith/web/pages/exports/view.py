"""What the page of exports shows."""

from dataclasses import dataclass

from kerfsmith.web.export_stage import ExportStage, OfferedTable
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say

_FORM_WORDS = {"csv": "CSV", "xlsx": "XLSX", "json": "JSON"}


@dataclass(frozen=True, slots=True)
class FileLink:
    """One form that a table can be had in."""

    words: str
    href: str


@dataclass(frozen=True, slots=True)
class TableCard:
    """One table with its files and its columns."""

    anchor: str
    title: str
    says: str
    files: tuple[FileLink, ...]
    schema_href: str
    columns: tuple[tuple[str, str], ...]
    columns_words: str


@dataclass(frozen=True, slots=True)
class ExportsPage:
    """Every table."""

    tables: tuple[TableCard, ...]


def exports_page(stage: ExportStage) -> ExportsPage:
    """All tables in the order in which the stage offers them."""
    return ExportsPage(tuple(_card(table, stage.forms()) for table in stage.tables()))


def _card(table: OfferedTable, forms: tuple[str, ...]) -> TableCard:
    return TableCard(
        anchor=table.name,
        title=say(table.title),
        says=say(table.says),
        files=tuple(FileLink(_FORM_WORDS[form], link("exports", f"{table.name}.{form}")) for form in forms),
        schema_href=link("exports", f"{table.name}.schema.json"),
        columns=tuple((name, say(says)) for name, says in table.columns),
        columns_words=say("Its {count} columns", count=len(table.columns)),
    )
