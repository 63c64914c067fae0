"""Which-saw comparisons for other programs, and how far what is underway is."""

from dataclasses import asdict
from decimal import Decimal
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Request, UploadFile
from fastapi.responses import JSONResponse

from kerfsmith.planning.document import finding_document
from kerfsmith.units.length import Measure
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.underway import Bench
from kerfsmith.web.which_saw_stage import WhichSawStage, WhichWish, WorkKind


def routes(stage: WhichSawStage) -> APIRouter:
    """Comparisons under ``/api``."""
    router = APIRouter(prefix="/api", tags=["which saw"])

    @router.get("/which-saw")
    def comparisons() -> list[dict[str, Any]]:
        """All comparisons, newest first."""
        return [{**asdict(one), "made_at": one.made_at.isoformat()} for one in stage.comparisons()]

    @router.get("/which-saw/{comparison_id}")
    def comparison(comparison_id: str, measure: Measure = Measure.METRIC) -> dict[str, Any]:
        """One comparison in words and figures of a measure, as its report has them."""
        kept = stage.comparison(comparison_id)
        if kept is None:
            raise HTTPException(404, "there is no such comparison")
        return asdict(stage.page(kept, measure))

    @router.post("/which-saw", status_code=202)
    def begin(
        request: Request,
        file: UploadFile,
        saws: Annotated[list[str], Form()],
        kind: Annotated[WorkKind, Form()] = WorkKind.YEARLY,
        times_a_year: Annotated[Decimal, Form(gt=0, lt=1_000_000)] = Decimal(1),
        customer: Annotated[str, Form(max_length=200)] = "",
    ) -> JSONResponse:
        """Begin to replay a file of work on saws; ask ``/api/reckoning/{id}`` how far it is."""
        name, data = file.filename or "unnamed file", file.file.read()
        wish = WhichWish(kind, name, data, times_a_year, tuple(saws), (), saws[0], customer)
        begun = stage.begin(wish, by=person_of(request))
        if begun.refusal is not None:
            return answered(begun.refusal)
        findings = [finding_document(one) for one in begun.findings]
        return JSONResponse({"id": begun.id, "findings": findings}, 202)

    return router


def underway_routes(bench: Bench) -> APIRouter:
    """What is reckoned beside requests, under ``/api``."""
    router = APIRouter(prefix="/api", tags=["underway"])

    @router.get("/reckoning/{work_id}")
    def underway(work_id: str) -> dict[str, Any]:
        """How far it is; ``result`` is the path of what came of it."""
        found = bench.underway(work_id)
        if found is None:
            raise HTTPException(404, "nothing of that kind is underway")
        return {**asdict(found), "state": found.state.value}

    @router.post("/reckoning/{work_id}/stop")
    def stop(work_id: str) -> dict[str, bool]:
        """Ask it to end."""
        return {"asked": bench.stop(work_id)}

    return router
