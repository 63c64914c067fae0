"""Where the panel is asked for, where its forms are sent, and where its queue arrives."""

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.units.length import Unit
from kerfsmith.web.floor_stage import FloorStage, RunOnFloor
from kerfsmith.web.pages.at_saw.answers import REFUSED, notice_of
from kerfsmith.web.pages.at_saw.choose import choose_page
from kerfsmith.web.pages.at_saw.cookies import SAW_COOKIE, YEAR_S
from kerfsmith.web.pages.at_saw.make import panel_page
from kerfsmith.web.pages.at_saw.script_words import panel_words
from kerfsmith.web.pages.at_saw.told import UntoldError, told_of_form
from kerfsmith.web.pages.at_saw.view import Notice
from kerfsmith.web.pages.sign_in.gate import entry_of, person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import retell, say
from kerfsmith.workflow.change_band import ChangeBand
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

_WORKER = Path(__file__).parents[2] / "static" / "panel-worker.js"
Field = Annotated[str, Form(max_length=200)]


@dataclass(frozen=True, slots=True)
class Crumbs:
    """What the panel's head says: saw, run, who."""

    saw: str
    run: str
    href: str
    person: str
    signed_in: bool


def routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """Choosing saw and run, the panel, its plain forms, its paper, its worker."""
    router = APIRouter(include_in_schema=False)

    @router.get("/at-saw", response_class=HTMLResponse)
    def choose(request: Request) -> HTMLResponse:
        return _choose(request)

    @router.post("/at-saw/saw")
    def bind(saw: Field = "") -> RedirectResponse:
        answer = RedirectResponse("/at-saw", status_code=303)
        if saw:
            answer.set_cookie(SAW_COOKIE, saw, max_age=YEAR_S, httponly=True, samesite="lax")
        else:
            answer.delete_cookie(SAW_COOKIE)
        return answer

    @router.post("/at-saw/release")
    def release(request: Request, group: Field) -> Response:
        person = person_of(request)
        answer = floor.release(group, by=person)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.RELEASE_RUN, person)
        if isinstance(answer, Refusal):
            return _choose(request, answer)
        return RedirectResponse(link("at-saw", "run", answer.id), status_code=303)

    @router.get("/at-saw/run/{run_id}", response_class=HTMLResponse)
    def panel(request: Request, run_id: str) -> HTMLResponse:
        return _panel(request, run_id)

    @router.post("/at-saw/run/{run_id}/act", response_class=HTMLResponse)
    async def act(request: Request, run_id: str) -> Response:
        async with request.form(max_fields=40) as form:
            fields = {name: value for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_act, request, run_id, fields)

    @router.post("/at-saw/band")
    def take_band(
        request: Request, label: Field, kind: Field, run: Field = "", saw: Field = "", form_id: Field = ""
    ) -> Response:
        """A new band into the crib; with ``saw``, it is on that saw already."""
        person = person_of(request)
        answer: object
        try:
            answer = floor.take_band(ThisBand(label.strip(), kind), by=person)
            if saw and form_id and not isinstance(answer, Refusal):
                on = ChangeBand(saw, f"{form_id[:60]}-on", label.strip())
                answer = floor.do(on, form_id=f"{form_id[:60]}-on", by=person)
        except InvalidValue as fault:
            answer = Refusal("band", str(fault))
        if isinstance(answer, Refusal) and answer.code == "role":
            verb = Verb.CHANGE_BAND if may(person.role, Verb.ADD_BAND) else Verb.ADD_BAND
            return refuse_role(request, sheets, verb, person)
        if isinstance(answer, Refusal):
            return _panel(request, run, (_refused(answer),), 409)
        return RedirectResponse(link("at-saw", "run", run) if run else "/at-saw", status_code=303)

    @router.get("/at-saw/label.pdf")
    def label(request: Request, bar: str, label: str) -> Response:
        reading = sheets.reading(request)
        paper = "a4" if reading.is_metric else "us-letter"
        pdf = floor.remnant_label_pdf(bar[:80], label[:80], reading.measure, paper)
        if pdf is None:
            raise NotHereError(
                say("There is no such bar."), say("Its loading may not have been sent yet."), "/at-saw"
            )
        head = {"Content-Disposition": 'inline; filename="remnant.pdf"'}
        return Response(pdf, media_type="application/pdf", headers=head)

    @router.get("/at-saw/worker.js")
    def worker() -> Response:
        head = {"Service-Worker-Allowed": "/at-saw", "Cache-Control": "no-cache"}
        return Response(_WORKER.read_bytes(), media_type="text/javascript", headers=head)

    def _act(request: Request, run_id: str, fields: dict[str, str]) -> Response:
        person = person_of(request)
        unit = Unit.MM if sheets.reading(request).is_metric else Unit.INCH
        form_id = fields.pop("form_id", "")[:60]
        try:
            verb = Verb(fields.pop("verb", ""))
            told = told_of_form(verb, fields, unit)
            if not form_id:
                raise UntoldError("the form has no id")
        except ValueError as fault:
            what = Notice(REFUSED, say("That could not be read"), (str(fault),))
            return _panel(request, run_id, (what,), 422)
        answer = floor.do(told, form_id=form_id, by=person)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, verb, person)
        notice = notice_of(answer, sheets.reading(request))
        if notice is None:
            return RedirectResponse(link("at-saw", "run", run_id), status_code=303)
        return _panel(request, run_id, (notice,), 409 if isinstance(answer, Refusal) else 200)

    def _refused(answer: Refusal) -> Notice:
        reason = retell(answer.reason)
        return Notice(REFUSED, f"{reason[:1].upper()}{reason[1:]}", (retell(answer.remedy),))

    def _choose(request: Request, refusal: Refusal | None = None) -> HTMLResponse:
        notices = (_refused(refusal),) if refusal else ()
        bound = request.cookies.get(SAW_COOKIE, "")
        page = choose_page(floor.saws(), bound, person_of(request), notices)
        name = page.saws[0].name if page.bound else ""
        return _show(request, "at_saw/choose.html", page, Crumbs(name, "", "", *_who(request)), refusal)

    def _panel(
        request: Request, run_id: str, notices: tuple[Notice, ...] = (), status: int = 200
    ) -> HTMLResponse:
        found = floor.run(run_id)
        if found is None:
            raise NotHereError(
                say("There is no such run."), say("Choose one."), "/at-saw", say("To the runs")
            )
        values = part_values(request, sheets, floor, found, notices)
        if request.headers.get("x-panel"):
            return HTMLResponse(sheets.fill("at_saw/part.html", values), status_code=status)
        run = found.sheet.run
        crumbs = Crumbs(
            run.saw_name, f"{run.grade} · {run.section.name}", link("at-saw", "run", run.id), *_who(request)
        )
        block = sheets.block(request, say("At the saw"), values["page"].question)  # type: ignore[attr-defined]
        whole = {**values, "block": block, "crumbs": crumbs, "rack": rack_data(floor), "words": panel_words()}
        return HTMLResponse(sheets.fill("at_saw/panel.html", whole), status_code=status)

    def _show(
        request: Request, template: str, page: object, crumbs: Crumbs, refusal: Refusal | None
    ) -> HTMLResponse:
        block = sheets.block(request, say("At the saw"), say("Which run is cut?"))
        values = {"page": page, "block": block, "crumbs": crumbs, "words": panel_words()}
        return HTMLResponse(sheets.fill(template, values), status_code=409 if refusal else 200)

    return router


def part_values(
    request: Request, sheets: Sheets, floor: FloorStage, found: RunOnFloor, notices: tuple[Notice, ...] = ()
) -> dict[str, object]:
    """What the panel's own part of the page is filled with."""
    entry = entry_of(request)
    page = panel_page(
        found,
        sheets.reading(request),
        now=floor.now(),
        session=entry.session if entry else None,
        role=entry.person.role if entry else None,
        notices=notices,
    )
    kinds = sorted(band.id for band in sheets.backstage.catalog().bands)
    return {"page": page, "kinds": kinds, "rack": ""}


def rack_data(floor: FloorStage) -> str:
    """The rack for the panel's script while there is no network: label to grade, section, heat, length."""
    rack = {bar.id: [bar.grade, bar.section.name, bar.heat, bar.length_um] for bar in floor.rack()}
    return json.dumps(rack, separators=(",", ":"))


def _who(request: Request) -> tuple[str, bool]:
    entry = entry_of(request)
    return (entry.person.name, entry.session is not None) if entry else ("", False)
