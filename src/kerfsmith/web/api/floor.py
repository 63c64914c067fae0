"""Saws, runs, deeds at the saws, traces and the feed, for other programs."""

import hashlib
import secrets
from datetime import datetime
from typing import Any

from fastapi import APIRouter, Header, HTTPException, Query, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.shop.person import Role
from kerfsmith.web.api.answers import answered, document_of
from kerfsmith.web.api.paging import MOST, Limit, Page
from kerfsmith.web.floor_stage import FloorStage, SawOnFloor
from kerfsmith.web.pages.at_saw.told import UntoldError, told_of
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.program_stage import ProgramStage
from kerfsmith.workflow.feed import FeedEntry
from kerfsmith.workflow.permissions import Verb


class SawOut(BaseModel):
    """A saw with its open runs, the groups that wait for it, its band and whether it stands."""

    id: str
    name: str
    runs: list[str]
    waiting: list[str]
    band: str | None
    stopped: str | None

    @classmethod
    def of(cls, on: SawOnFloor) -> "SawOut":
        """The saw as it is written out."""
        return cls(
            id=on.saw.id,
            name=on.saw.name,
            runs=[run.id for run in on.runs],
            waiting=[group.id for group in on.to_release],
            band=on.band.id if on.band else None,
            stopped=str(on.stop.reason) if on.stop else None,
        )


class FeedOut(BaseModel):
    """One thing done at a saw. ``number`` rises; some are left out."""

    number: int
    at: datetime
    by: str
    verb: str
    subject: str
    told: dict[str, Any]

    @classmethod
    def of(cls, entry: FeedEntry) -> "FeedOut":
        """The entry as it is written out."""
        return cls(
            number=entry.number,
            at=entry.at,
            by=entry.by,
            verb=entry.verb,
            subject=entry.subject,
            told=dict(entry.told),
        )


class DeedIn(BaseModel):
    """A verb of the saw with its fields, as the ledger has them: lengths in whole micrometres."""

    model_config = ConfigDict(extra="forbid")
    verb: Verb
    told: dict[str, Any] = Field(max_length=40)


class ReleaseIn(BaseModel):
    """The plan's group that is released to its saw."""

    model_config = ConfigDict(extra="forbid")
    group: str = Field(max_length=250)


class TokenIn(BaseModel):
    """Who a program is to be, what it is called, and how long it may enter."""

    model_config = ConfigDict(extra="forbid")
    person: str = Field(max_length=200)
    role: Role = Role.GUEST
    label: str = Field(min_length=1, max_length=120)
    days: int = Field(default=90, ge=1, le=366)


def routes(floor: FloorStage, programs: ProgramStage) -> APIRouter:
    """What is at the saws and was cut, under ``/api``."""
    router = APIRouter(prefix="/api", tags=["saws"])

    @router.get("/floor")
    def at_saws() -> list[SawOut]:
        """The shop's saws and what is on them."""
        return [SawOut.of(on) for on in floor.saws()]

    @router.get("/runs/{run_id}")
    def run(run_id: str) -> dict[str, Any]:
        """A run as its panel shows it: lines, setting, bars to load and in work, band, inspections."""
        found = floor.run(run_id)
        if found is None:
            raise HTTPException(404, "there is no such run")
        return document_of(found.sheet)

    @router.post("/runs")
    def release(request: Request, wanted: ReleaseIn) -> JSONResponse:
        """Release a group of the newest plan to its saw."""
        return answered(floor.release(wanted.group, by=person_of(request)))

    @router.post("/deeds")
    def deed(
        request: Request, wanted: DeedIn, idempotency_key: str = Header(default="", max_length=200)
    ) -> JSONResponse:
        """Record one thing done at a saw, as a panel would: a bar loaded, a cut, a stop, a band changed."""
        try:
            told = told_of(wanted.verb, wanted.told)
        except UntoldError as fault:
            return JSONResponse({"problem": str(fault), "remedy": "Look at the fields of the verb."}, 422)
        person = person_of(request)
        key = idempotency_key or secrets.token_hex(12)
        # Two people's keys are never one event.
        form = hashlib.sha256(f"{person.name}\n{key}".encode()).hexdigest()[:40]
        return answered(floor.do(told, form_id=form, by=person))

    @router.get("/pieces/{cut_id}")
    def piece(cut_id: str) -> dict[str, Any]:
        """All that led to one piece: bar, heat, certificates, band, saw, person."""
        found = floor.piece(cut_id)
        if found is None:
            raise HTTPException(404, "no piece was cut by that id")
        return document_of(found)

    @router.get("/heats/{number}")
    def heat(number: str) -> dict[str, Any]:
        """Every piece that a heat became, with its customer."""
        found = floor.heat(number)
        if found is None:
            raise HTTPException(404, "no such heat is on record")
        return document_of(found)

    @router.get("/feed")
    def feed(after: int = Query(default=0, ge=0, le=2**62), limit: Limit = 100) -> Page[FeedOut]:
        """What happened at the saws, oldest first; ask again with the last number seen."""
        entries = programs.feed(after, min(limit, MOST))
        full = len(entries) == limit
        last = entries[-1].number if entries else after
        return Page(
            items=[FeedOut.of(entry) for entry in entries],
            next=f"/api/feed?after={last}&limit={limit}" if full else None,
        )

    @router.post("/tokens")
    def token(request: Request, wanted: TokenIn) -> JSONResponse:
        """Give a program entry; the token is shown this once."""
        answer = programs.issue_token(
            wanted.person, wanted.role, wanted.label, wanted.days, by=person_of(request)
        )
        return answered(answer)

    return router
