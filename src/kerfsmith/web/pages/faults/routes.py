"""Where faults are told, judged and settled."""

from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.errors import Finding, Severity
from kerfsmith.faults.table import Symptom
from kerfsmith.web.fault_stage import FaultStage, FaultTold
from kerfsmith.web.findings import finding_rows
from kerfsmith.web.pages.faults.questions import read_seen
from kerfsmith.web.pages.faults.view import ask_page, fault_page, faults_page
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

_MOST = 200


def routes(sheets: Sheets, stage: FaultStage) -> APIRouter:
    """The list, the questions, a fault with its causes, and the word on what it was."""
    router = APIRouter(include_in_schema=False)

    @router.get("/faults", response_class=HTMLResponse)
    def faults(request: Request, saw: str = "") -> HTMLResponse:
        page = faults_page(stage.faults(), stage.saws(), saw[:_MOST])
        block = sheets.block(request, say("Faults"), say("What is wrong at the saw?"))
        return sheets.show("faults/faults.html", block, page)

    @router.get("/faults/ask", response_class=HTMLResponse)
    def ask(request: Request, symptom: str = "", saw: str = "") -> HTMLResponse:
        return _ask(request, _symptom(symptom), {"saw": saw[:_MOST]})

    @router.post("/faults", response_class=HTMLResponse)
    async def report(request: Request) -> Response:
        form = await request.form(max_files=0, max_fields=60)
        texts = {name: value[:_MOST] for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_report, request, texts)

    def _report(request: Request, texts: dict[str, str]) -> Response:
        symptom, person = _symptom(texts.get("symptom", "")), person_of(request)
        if not may(person.role, Verb.REPORT_FAULT):
            return refuse_role(request, sheets, Verb.REPORT_FAULT, person)
        seen, findings = read_seen(texts, sheets.reading(request))
        if findings:
            return _ask(request, symptom, texts, findings)
        saws = {saw.saw: saw for saw in stage.saws()}
        grade, section = texts.get("grade", "").strip(), texts.get("section", "").strip()
        at_work = saws.get(texts.get("saw", ""))
        told = FaultTold(
            saw=texts.get("saw", ""),
            symptom=symptom,
            seen=seen,
            run_id=at_work.run_id if at_work and not (grade or section) else None,
            grade=grade,
            section=section,
            other_bars_fine={"yes": True, "no": False}.get(texts.get("other_bars_fine", "")),
            note=texts.get("note", ""),
        )
        answer = stage.report(told, by=person)
        if isinstance(answer, Refusal):
            problem, remedy = answer.reason, answer.remedy
            return _ask(request, symptom, texts, (_refused(problem, remedy),))
        if isinstance(answer, tuple):
            return _ask(request, symptom, texts, answer)
        return RedirectResponse(link("faults", answer.id), status_code=303)

    def _ask(
        request: Request, symptom: Symptom, texts: dict[str, str], findings: tuple[Finding, ...] = ()
    ) -> HTMLResponse:
        page = ask_page(
            symptom, stage.table(), stage.saws(), texts, sheets.reading(request), finding_rows(findings)
        )
        question = say("{symptom}: what do you know of it?", symptom=say(symptom.value).capitalize())
        block = sheets.block(request, say("A fault"), question, under="/faults")
        return sheets.show("faults/ask.html", block, page, status=422 if findings else 200)

    @router.get("/faults/{fault_id}", response_class=HTMLResponse)
    def fault(request: Request, fault_id: str) -> HTMLResponse:
        return _fault(request, fault_id)

    @router.post("/faults/{fault_id}/found", response_class=HTMLResponse)
    def found(
        request: Request,
        fault_id: str,
        cause: Annotated[str, Form(max_length=120)] = "",
        note: Annotated[str, Form(max_length=400)] = "",
    ) -> Response:
        person = person_of(request)
        answer = stage.settle(fault_id, cause, note.strip(), by=person)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.SETTLE_FAULT, person)
        if isinstance(answer, Refusal):
            return _fault(request, fault_id, status=409)
        return RedirectResponse(link("faults", fault_id), status_code=303)

    def _fault(request: Request, fault_id: str, status: int = 200) -> HTMLResponse:
        one = stage.fault(fault_id)
        if one is None:
            raise NotHereError(
                say("No fault is on record as {fault_id}.", fault_id=f"{fault_id!r}"),
                say("Choose one from the list."),
                "/faults",
                say("To the faults"),
            )
        allowed = may(person_of(request).role, Verb.SETTLE_FAULT)
        page = fault_page(one, stage.table(), stage.saws(), sheets.reading(request), may_settle=allowed)
        symptom = say(one.fault.symptom.value).capitalize()
        question = say("{symptom}: what is likely behind it?", symptom=symptom)
        block = sheets.block(request, say("A fault"), question, under="/faults")
        return sheets.show("faults/fault.html", block, page, status=status)

    return router


def _symptom(text: str) -> Symptom:
    try:
        return Symptom(text)
    except ValueError:
        raise NotHereError(
            say("{text} is no symptom that is known here.", text=f"{text!r}"),
            say("Choose one from the list."),
            "/faults",
            say("To the faults"),
        ) from None


def _refused(problem: str, remedy: str) -> Finding:
    return Finding("form", Severity.ERROR, "the form", None, "", "", problem, remedy)
