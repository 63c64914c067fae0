"""Faults for other programs: told, read with their causes, and settled."""

from typing import Any

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.faults.circumstances import Seen
from kerfsmith.faults.table import Symptom
from kerfsmith.planning.document import finding_document
from kerfsmith.web.api.answers import answered, document_of
from kerfsmith.web.api.paging import After, Limit, Page, page_of
from kerfsmith.web.fault_stage import FaultStage, FaultTold
from kerfsmith.web.pages.sign_in.gate import person_of


class FaultIn(BaseModel):
    """A symptom at a saw. ``seen`` has what was looked at: m/min, mm/min, MPa, mm, loads as shares of 1.

    Of a run its ``run_id`` is enough; else grade and section as on a cut list.
    """

    model_config = ConfigDict(extra="forbid")
    saw: str = Field(max_length=80)
    symptom: Symptom
    seen: Seen = Field(default_factory=Seen)
    run_id: str | None = Field(default=None, max_length=80)
    grade: str = Field(default="", max_length=80)
    section: str = Field(default="", max_length=120)
    other_bars_fine: bool | None = None
    note: str = Field(default="", max_length=400)


class FoundIn(BaseModel):
    """What a fault turned out to be: a cause by its name."""

    model_config = ConfigDict(extra="forbid")
    cause: str = Field(max_length=120)
    note: str = Field(default="", max_length=400)


def routes(stage: FaultStage) -> APIRouter:
    """All of the faults under ``/api/faults``."""
    router = APIRouter(prefix="/api/faults", tags=["faults"])

    @router.get("")
    def faults(after: After = "", limit: Limit = 100) -> Page[dict[str, Any]]:
        """Faults on record, newest first, with the causes named and what they turned out to be."""
        every = [document_of(one) for one in stage.faults()]
        return page_of(every, lambda one: str(one["fault"]["id"]), "/api/faults", after, limit)

    @router.get("/causes")
    def causes() -> dict[str, Any]:
        """Every symptom with its usual causes, likeliest first, and each cause with its check and cure."""
        return document_of(stage.table())

    @router.get("/{fault_id}")
    def fault(fault_id: str) -> dict[str, Any]:
        """One fault."""
        found = stage.fault(fault_id)
        if found is None:
            raise HTTPException(404, "no such fault is on record")
        return document_of(found)

    @router.post("")
    def report(request: Request, told: FaultIn) -> JSONResponse:
        """Tell a fault; its likely causes in order, with what speaks for and against each."""
        fault = FaultTold(
            told.saw,
            told.symptom,
            told.seen,
            told.run_id,
            told.grade,
            told.section,
            told.other_bars_fine,
            told.note,
        )
        answer = stage.report(fault, by=person_of(request))
        if isinstance(answer, tuple):
            return JSONResponse({"findings": [finding_document(one) for one in answer]}, 422)
        return answered(answer)

    @router.post("/{fault_id}/found")
    def settle(request: Request, fault_id: str, found: FoundIn) -> JSONResponse:
        """Tell what it turned out to be; it counts the next time."""
        return answered(stage.settle(fault_id, found.cause, found.note, by=person_of(request)))

    return router
