"""The shop's own files of tables, for other programs."""

from typing import Any

from fastapi import APIRouter, HTTPException, Request, UploadFile
from fastapi.responses import JSONResponse, PlainTextResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.errors import Finding
from kerfsmith.planning.document import finding_document
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.table_stage import MOST_TABLE_BYTES, TableFile, TableStage
from kerfsmith.workflow.refusal import Refusal


class TableFileIn(BaseModel):
    """A file of tables by its name."""

    model_config = ConfigDict(extra="forbid")
    name: str = Field(max_length=200)


def routes(stage: TableStage) -> APIRouter:
    """Under ``/api/own-tables``."""
    router = APIRouter(prefix="/api", tags=["tables"])

    @router.get("/own-tables")
    def files() -> list[dict[str, Any]]:
        """Every file with the names of what it holds, in the order they are laid over one another."""
        return [_file(one) for one in stage.files()]

    @router.get("/own-tables/file")
    def file(name: str) -> PlainTextResponse:
        """A file as it was sent."""
        text = stage.text(name)
        if text is None:
            raise HTTPException(404, f"no file of tables is called {name!r}")
        return PlainTextResponse(text, media_type="application/toml")

    @router.post("/own-tables")
    def keep(request: Request, file: UploadFile) -> JSONResponse:
        """Lay a file (TOML) over the tables, in place of the one of its name.

        422 with the finding where it can't be read, 409 where it no longer holds what is in use.
        """
        data = file.file.read(MOST_TABLE_BYTES + 1)
        answer = stage.keep((file.filename or "unnamed file")[:200], data, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        if isinstance(answer, Finding):
            return JSONResponse({"kept": None, "findings": [finding_document(answer)]}, 422)
        return JSONResponse({"kept": _file(answer), "findings": []})

    @router.post("/own-tables/drop")
    def drop(request: Request, told: TableFileIn) -> JSONResponse:
        """Take a file away; 409 while a grade or band that only it knows is in use."""
        answer = stage.drop(told.name, by=person_of(request))
        return answered(answer) if answer is not None else JSONResponse({"dropped": told.name})

    return router


def _file(file: TableFile) -> dict[str, Any]:
    return {
        "name": file.name,
        "holds": {kind: list(names) for kind, names in file.holds},
        "kept_by": file.kept_by,
        "kept_at": file.kept_at.isoformat(),
        "fault": file.fault,
    }
