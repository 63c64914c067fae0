"""The week for other programs: read it, move, pin and refuse, and decide."""

from datetime import datetime
from typing import Any

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.scheduling.document import week_document
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.week_stage import WeekStage
from kerfsmith.workflow.refusal import Refusal


class _In(BaseModel):
    model_config = ConfigDict(extra="forbid")


class MoveIn(_In):
    """A run, the saw it is to go to, and its number in that saw's row, from 0."""

    run: str = Field(max_length=250)
    saw: str = Field(max_length=80)
    place: int = Field(ge=0, le=100_000)


class PinIn(_In):
    """A run to be pinned to its saw, with ``at_its_time`` at its time too."""

    run: str = Field(max_length=250)
    at_its_time: bool = False


class RunIn(_In):
    """A run."""

    run: str = Field(max_length=250)


class RefuseIn(_In):
    """A run and the saw it is not to be cut on."""

    run: str = Field(max_length=250)
    saw: str = Field(max_length=80)


class WeekIn(_In):
    """The week that is accepted or refused."""

    week: str = Field(max_length=80)


class ReplanIn(_In):
    """How many runs may leave their place (null: as many as it takes), and when standing saws run again."""

    most_moves: int | None = Field(default=None, ge=0, le=100_000)
    back: dict[str, datetime] = Field(default_factory=dict)


def routes(stage: WeekStage) -> APIRouter:
    """All of the week under ``/api/week``."""
    router = APIRouter(prefix="/api/week", tags=["week"])

    @router.get("")
    def week() -> dict[str, Any]:
        """The week in force and the one put forward; null where there is none."""
        floor = stage.week()
        return {
            "kept": week_document(floor.kept) if floor.kept is not None else None,
            "proposed": week_document(floor.proposed) if floor.proposed is not None else None,
            "stale": list(floor.stale),
            "job": floor.job.id if floor.job is not None else None,
        }

    @router.post("/move", response_model=None)
    def move(request: Request, wanted: MoveIn) -> dict[str, Any] | JSONResponse:
        """Put a run in another place; what comes of it is put forward."""
        return _proposal(stage.move(wanted.run, wanted.saw, wanted.place, by=person_of(request)))

    @router.post("/pin", response_model=None)
    def pin(request: Request, wanted: PinIn) -> dict[str, Any] | JSONResponse:
        """Pin a run where it stands."""
        answer = stage.pin(wanted.run, at_its_time=wanted.at_its_time, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else {"run": answer.run}

    @router.post("/free", response_model=None)
    def free(request: Request, wanted: RunIn) -> dict[str, Any] | JSONResponse:
        """Set a run free."""
        answer = stage.free(wanted.run, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else {"run": answer.run}

    @router.post("/refuse-place", response_model=None)
    def refuse_place(request: Request, wanted: RefuseIn) -> dict[str, Any] | JSONResponse:
        """Begin to find a run another saw."""
        return _job(stage.refuse_place(wanted.run, wanted.saw, by=person_of(request)))

    @router.post("/line-up", response_model=None)
    def line_up(request: Request) -> dict[str, Any] | JSONResponse:
        """Begin to line the plan up."""
        return _job(stage.line_up(by=person_of(request)))

    @router.post("/replan", response_model=None)
    def replan(request: Request, wanted: ReplanIn) -> dict[str, Any] | JSONResponse:
        """Begin to make the week anew as things stand."""
        back = {saw: moment.replace(tzinfo=None) for saw, moment in wanted.back.items()}
        return _job(stage.replan(most_moves=wanted.most_moves, back=back, by=person_of(request)))

    @router.post("/accept", response_model=None)
    def accept(request: Request, wanted: WeekIn) -> dict[str, Any] | JSONResponse:
        """Put the proposed week in force."""
        answer = stage.accept(wanted.week, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        return {"week": answer.week_id, "state": answer.state.value, "swapped": list(answer.swapped)}

    @router.post("/refuse", response_model=None)
    def refuse(request: Request, wanted: WeekIn) -> dict[str, Any] | JSONResponse:
        """Turn the proposed week down."""
        answer = stage.refuse(wanted.week, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        return {"week": answer.week_id, "state": answer.state.value}

    @router.get("/jobs/{job_id}")
    def job(job_id: str) -> dict[str, Any]:
        """How a week in the making stands."""
        found = stage.job(job_id)
        if found is None:
            raise HTTPException(404, "there is no such week in the making")
        problem = str(found.refusal) if found.refusal is not None else found.problem
        return {
            "job": found.id,
            "state": found.state.value,
            "told": found.told,
            "seconds": found.seconds,
            "problem": problem,
        }

    @router.post("/jobs/{job_id}/stop")
    def stop(job_id: str) -> dict[str, Any]:
        """End a week in the making with the best it has."""
        if not stage.stop(job_id):
            raise HTTPException(404, "there is no such week in the making")
        return {"job": job_id}

    def _proposal(answer: object) -> dict[str, Any] | JSONResponse:
        if isinstance(answer, Refusal):
            return answered(answer)
        proposed = stage.week().proposed
        return {"proposed": week_document(proposed) if proposed is not None else None}

    return router


def _job(answer: str | Refusal) -> dict[str, Any] | JSONResponse:
    return answered(answer) if isinstance(answer, Refusal) else {"job": answer}
