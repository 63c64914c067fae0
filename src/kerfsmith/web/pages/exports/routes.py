"""Where tables are asked for: the page, the files, their schemas."""

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Path, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse

from kerfsmith.web.export_stage import ExportStage
from kerfsmith.web.pages.exports.view import exports_page
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say

Name = Annotated[str, Path(max_length=40, pattern=r"^[a-z-]+$")]
_NO_CACHE = {"Cache-Control": "no-store"}


def routes(sheets: Sheets, stage: ExportStage) -> APIRouter:
    """The page of exports, and every table as a file, for people and under ``/api`` for programs."""
    router = APIRouter(tags=["exports"])

    @router.get("/exports", response_class=HTMLResponse, include_in_schema=False)
    def exports(request: Request) -> HTMLResponse:
        block = sheets.block(request, say("Exports"), say("What can be taken along as a table?"))
        return sheets.show("exports/exports.html", block, exports_page(stage))

    @router.get("/api/exports")
    def offered() -> list[dict[str, Any]]:
        """Every table: its name, what a row is, its columns, and the forms it can be had in."""
        return [
            {
                "table": table.name,
                "title": table.title,
                "says": table.says,
                "columns": [{"name": name, "says": says} for name, says in table.columns],
                "forms": list(stage.forms()),
            }
            for table in stage.tables()
        ]

    @router.get("/exports/{table}.schema.json", include_in_schema=False)
    @router.get("/api/exports/{table}.schema.json")
    def schema(table: Name) -> JSONResponse:
        """The JSON Schema of a table's JSON document."""
        found = stage.schema(table)
        if found is None:
            raise HTTPException(404, say("there is no such table"))
        return JSONResponse(dict(found), media_type="application/schema+json")

    @router.get("/exports/{table}.{form}", include_in_schema=False)
    @router.get(
        "/api/exports/{table}.{form}",
        responses={200: {"content": {"text/csv": {}, "application/json": {}}}, 404: {}},
        response_class=Response,
    )
    def file(table: Name, form: Name) -> Response:
        """A table as it stands now, as csv, xlsx or json."""
        found = stage.file(table, form)
        if found is None:
            raise HTTPException(404, say("there is no such table, or not in that form"))
        head = {"Content-Disposition": f'attachment; filename="{found.name}"', **_NO_CACHE}
        return Response(found.content, media_type=found.media_type, headers=head)

    return router
