"""Where files of tables are looked at, sent and taken away."""

from dataclasses import dataclass
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import Finding
from kerfsmith.web.days import date_and_time
from kerfsmith.web.findings import FindingRow, finding_rows
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.table_stage import MOST_TABLE_BYTES, TableFile, TableStage
from kerfsmith.web.words import say, say_many
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class FileRow:
    """One file: what it holds, in words and by name."""

    name: str
    href: str
    holds: tuple[tuple[str, str], ...]
    kept: str
    fault: str


@dataclass(frozen=True, slots=True)
class OwnTablesPage:
    """The files there are; ``may_keep`` is whether the reader may change them."""

    files: tuple[FileRow, ...]
    may_keep: bool
    problem: str = ""
    findings: tuple[FindingRow, ...] = ()


def routes(sheets: Sheets, stage: TableStage) -> APIRouter:
    """The page, its forms and the files themselves."""
    router = APIRouter(include_in_schema=False)

    @router.get("/own-tables", response_class=HTMLResponse)
    def own_tables(request: Request) -> HTMLResponse:
        return _show(request)

    @router.get("/own-tables/example.toml")
    def example() -> Response:
        return _toml(stage.example(), "example.toml")

    @router.get("/own-tables/file")
    def file(name: str = "") -> Response:
        text = stage.text(name)
        if text is None:
            raise NotHereError(
                say("No file of tables is called {name}.", name=f"{name!r}"),
                say("Choose one from the list."),
                "/own-tables",
                say("To the own tables"),
            )
        return _toml(text, name)

    @router.post("/own-tables")
    def keep(request: Request, file: Annotated[UploadFile, File()]) -> Response:
        by = person_of(request)
        if not may(by.role, Verb.KEEP_TABLE_FILE):
            return refuse_role(request, sheets, Verb.KEEP_TABLE_FILE, by)
        name = file.filename or "unnamed file"
        answer = stage.keep(name[:200], file.file.read(MOST_TABLE_BYTES + 1), by=by)
        if isinstance(answer, TableFile):
            return RedirectResponse("/own-tables", status_code=303)
        return _show(request, answer)

    @router.post("/own-tables/drop")
    def drop(request: Request, name: Annotated[str, Form()]) -> Response:
        by = person_of(request)
        answer = stage.drop(name, by=by)
        if answer is not None and answer.code == "role":
            return refuse_role(request, sheets, Verb.DROP_TABLE_FILE, by)
        return RedirectResponse("/own-tables", status_code=303) if answer is None else _show(request, answer)

    def _show(request: Request, wrong: Refusal | Finding | None = None) -> HTMLResponse:
        page = OwnTablesPage(
            tuple(map(_row, stage.files())),
            may(person_of(request).role, Verb.KEEP_TABLE_FILE),
            problem_words(wrong) if isinstance(wrong, Refusal) else "",
            finding_rows([wrong]) if isinstance(wrong, Finding) else (),
        )
        question = say("Which grades, bands and sections does the shop add?")
        block = sheets.block(request, say("Own tables"), question, under="/own-tables")
        return sheets.show("own_tables/own_tables.html", block, page, status=409 if wrong else 200)

    return router


def _row(file: TableFile) -> FileRow:
    return FileRow(
        name=file.name,
        href=f"/own-tables/file?name={quote(file.name, safe='')}",
        holds=tuple((_counted(kind, len(names)), ", ".join(names)) for kind, names in file.holds),
        kept=say("{at}, {by}", at=date_and_time(file.kept_at), by=file.kept_by),
        fault=file.fault,
    )


def _counted(kind: str, count: int) -> str:
    match kind:
        case "grade":
            return say_many("{count} grade", "{count} grades", count)
        case "group":
            return say_many("{count} group of grades", "{count} groups of grades", count)
        case "section_table":
            return say_many("{count} table of sections", "{count} tables of sections", count)
        case "band":
            return say_many("{count} band", "{count} bands", count)
        case _:
            return say_many("{count} source", "{count} sources", count)


def _toml(text: str, name: str) -> Response:
    named = f"attachment; filename*=UTF-8''{quote(name, safe='')}"
    return Response(text, media_type="application/toml", headers={"Content-Disposition": named})
