"""Saw sheets for other programs: read, kept from a file, placed."""

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, UploadFile
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict

from kerfsmith.planning.document import finding_document
from kerfsmith.shop.kept_saw import SawStanding
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.saw_stage import SawStage
from kerfsmith.workflow.refusal import Refusal


class StandingIn(BaseModel):
    """What a saw is to the shop: own, candidate or retired."""

    model_config = ConfigDict(extra="forbid")
    standing: SawStanding


def routes(stage: SawStage) -> APIRouter:
    """Saw sheets under ``/api``."""
    router = APIRouter(prefix="/api", tags=["saws"])

    @router.get("/saws")
    def saws() -> list[dict[str, Any]]:
        """Every sheet. Lengths mm, speeds m/min, feed mm/min, power kW, force N, mass kg, stress MPa."""
        return [{"standing": saw.standing.value, **asdict(saw.sheet)} for saw in stage.saws()]

    @router.post("/saws")
    def keep(
        request: Request, file: UploadFile, standing: Annotated[SawStanding, Form()] = SawStanding.OWN
    ) -> JSONResponse:
        """Keep every sheet of a TOML or CSV file that can be used."""
        name = file.filename or "unnamed file"
        made = stage.keep_file(name, file.file.read(), standing, by=person_of(request))
        if made.refusals and not made.kept:
            return answered(made.refusals[0])
        kept = [saw.sheet.id for saw in made.kept]
        findings = [finding_document(one) for one in made.findings]
        refused = [str(one) for one in made.refusals]
        return JSONResponse({"kept": kept, "refused": refused, "findings": findings}, 200 if kept else 422)

    @router.post("/saws/{saw_id}/standing")
    def place(request: Request, saw_id: str, told: StandingIn) -> JSONResponse:
        """Make a saw the shop's own, a candidate, or retire it."""
        answer = stage.place(saw_id, told.standing, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        return JSONResponse({"id": answer.sheet.id, "standing": answer.standing.value})

    return router
