"""Where quotes are made, looked through, accepted and declined."""

import csv
import io
import re
from datetime import timedelta
from typing import Annotated, Literal

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.web.backstage import Paper, UploadKind
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.quotes.ask import TermsForm, wish_of
from kerfsmith.web.pages.quotes.view import QuotesPage, head_row, new_page, quote_page
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.quote_stage import QuoteSource, QuoteStage
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import say
from kerfsmith.workflow.accept_quote import AcceptQuote, DeclineQuote
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

USUAL_DAYS = 30
"""A quote is usually open for so many days (common practice)."""
TYPED = ("mark", "grade", "section", "length", "quantity", "tolerance", "due")
_CELL = re.compile(r"(mark|grade|section|length|quantity|tolerance|due)(\d{1,2})")
Text = Annotated[str, Form(max_length=250)]


def routes(sheets: Sheets, stage: QuoteStage) -> APIRouter:
    """The list of quotes, a new one, one with its reckoning, its papers and what becomes of it."""
    router = APIRouter(include_in_schema=False)

    @router.get("/quotes", response_class=HTMLResponse)
    def quotes(request: Request) -> HTMLResponse:
        rows = tuple(head_row(one, stage.today()) for one in stage.quotes())
        page = QuotesPage(rows, may(person_of(request).role, Verb.KEEP_QUOTE))
        block = sheets.block(request, say("Quotes"), say("What was offered, to whom, and until when?"))
        return sheets.show("quotes/quotes.html", block, page)

    @router.get("/quotes/new", response_class=HTMLResponse)
    def new(request: Request, order: str = "", upload: str = "", renews: str = "") -> HTMLResponse:
        return _new(request, QuoteSource(order, upload, renews))

    @router.post("/quotes/read")
    def read(file: Annotated[UploadFile, File()], renews: Text = "") -> RedirectResponse:
        return _read(file.filename or "unnamed file", file.file.read(), renews)

    @router.post("/quotes/typed")
    async def typed(request: Request) -> RedirectResponse:
        async with request.form(max_files=0, max_fields=120) as form:
            cells = {name: value[:200] for name, value in form.items() if isinstance(value, str)}
        unit = "in" if cells.get("measure") == "inch" else "mm"
        file, data = say("Typed lines"), typed_list(cells)
        return await run_in_threadpool(_read, file, data, cells.get("renews", ""), unit)

    @router.post("/quotes")
    def begin(request: Request, form: Annotated[TermsForm, Form()]) -> Response:
        source = QuoteSource(form.order, form.upload, form.renews)
        wish = wish_of(form, source)
        if isinstance(wish, str):
            return _new(request, source, wish)
        answer = stage.begin(wish, by=person_of(request))
        if isinstance(answer, Refusal):
            if answer.code == "role":
                return refuse_role(request, sheets, Verb.KEEP_QUOTE, person_of(request))
            return _new(request, source, problem_words(answer))
        return RedirectResponse(link("reckoning", answer), status_code=303)

    @router.get("/quotes/{number}", response_class=HTMLResponse)
    def one(request: Request, number: str, revision: int | None = None) -> HTMLResponse:
        return _one(request, number, revision)

    @router.get("/quotes/{number}/quote.pdf")
    def paper(
        request: Request,
        number: str,
        revision: int,
        inside: str = "",
        sheet: Literal["a4", "us-letter"] | None = None,
    ) -> Response:
        reader = person_of(request)
        if inside and not may(reader.role, Verb.KEEP_QUOTE):
            return refuse_role(request, sheets, Verb.KEEP_QUOTE, reader)
        reading = sheets.reading(request)
        wanted = Paper(reading.measure, sheet or ("a4" if reading.is_metric else "us-letter"))
        pdf = stage.pdf(number, revision, wanted, inside=bool(inside))
        if pdf is None:
            raise _gone(number)
        name = re.sub(r"[^A-Za-z0-9._-]", "-", f"{number}-{revision}{'-inside' if inside else ''}.pdf")
        return Response(
            pdf,
            media_type="application/pdf",
            headers={"Content-Disposition": f'inline; filename="{name}"'},
        )

    @router.post("/quotes/{number}/accept")
    async def accept(request: Request, number: str) -> Response:
        async with request.form(max_files=0, max_fields=5000) as form:
            told = {name: value for name, value in form.items() if isinstance(value, str)}
        return await run_in_threadpool(_accept, request, number, told)

    def _accept(request: Request, number: str, told: dict[str, str]) -> Response:
        kept = stage.quote(number, _whole(told.get("revision", "")))
        if kept is None:
            raise _gone(number)
        quantities = tuple(
            (line.line.id, count)
            for at, line in enumerate(kept.quote.lines, start=1)
            if (count := _whole(told.get(f"line{at}", ""))) is not None
        )
        wish = AcceptQuote(number, kept.quote.terms.revision, "", stage.today(), quantities)
        answer = stage.accept(wish, by=person_of(request))
        if isinstance(answer, Refusal):
            return _refused(request, answer, Verb.ACCEPT_QUOTE, number, kept.quote.terms.revision)
        return RedirectResponse(f"/orders#{link(answer.order_id)[1:]}", status_code=303)

    @router.post("/quotes/{number}/decline")
    def decline(request: Request, number: str, revision: Annotated[int, Form()]) -> Response:
        answer = stage.decline(DeclineQuote(number, revision), by=person_of(request))
        if isinstance(answer, Refusal):
            return _refused(request, answer, Verb.DECLINE_QUOTE, number, revision)
        return RedirectResponse(link("quotes", number), status_code=303)

    def _refused(
        request: Request, refusal: Refusal, verb: Verb, number: str, revision: int | None
    ) -> Response:
        if refusal.code == "role":
            return refuse_role(request, sheets, verb, person_of(request))
        return _one(request, number, revision, problem_words(refusal))

    def _one(request: Request, number: str, revision: int | None, problem: str = "") -> HTMLResponse:
        kept = stage.quote(number, revision)
        if kept is None:
            raise _gone(number)
        page = quote_page(
            kept,
            stage.revisions(number),
            person_of(request),
            stage.today(),
            sheets.reading(request),
            problem,
        )
        question = say("What does it come to, and why?")
        block = sheets.block(request, say("Quote {number}", number=number), question, under="/quotes")
        return sheets.show("quotes/quote.html", block, page, status=409 if problem else 200)

    def _new(request: Request, source: QuoteSource, problem: str = "") -> HTMLResponse:
        named = source.order_id or source.upload_id or source.renews
        found = stage.lines_of(source) if named else None
        if named and found is None and not problem:
            problem = say("Its lines are no longer there. Choose them again.")
        until = stage.today() + timedelta(days=USUAL_DAYS)
        held = sheets.backstage.upload(source.upload_id) if source.upload_id else None
        page = new_page(
            stage.orders(),
            source,
            found,
            until,
            sheets.reading(request),
            problem=problem,
            findings=held.findings if held else (),
        )
        question = say("What is to be priced?") if found is None else say("For whom, and until when?")
        block = sheets.block(request, say("A new quote"), question, under="/quotes")
        return sheets.show("quotes/new.html", block, page, status=409 if problem else 200)

    def _read(file: str, data: bytes, renews: str, unit: str = "") -> RedirectResponse:
        """Read a list, bare numbers in ``unit``; where something about it is open it is looked at first."""
        found = sheets.backstage.read_upload(UploadKind.ORDER, file, data)
        if unit:
            found = sheets.backstage.read_again(found.id, {}, unit) or found
        usable = found.order is not None and bool(found.order.lines)
        open_questions = any(finding.is_error for finding in found.findings) or found.needs_unit
        if not usable or not found.sure or open_questions:
            return RedirectResponse(link("uploads", found.id), status_code=303)
        more = f"&renews={link(renews)[1:]}" if renews else ""
        return RedirectResponse(f"/quotes/new?upload={found.id}{more}", status_code=303)

    return router


def typed_list(cells: dict[str, str]) -> bytes:
    """The lines typed into the form, as the list that the same lines would be in a file."""
    rows: dict[int, dict[str, str]] = {}
    for name, value in cells.items():
        found = _CELL.fullmatch(name)
        if found and value.strip():
            rows.setdefault(int(found[2]), {})[found[1]] = value.strip()
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(TYPED)
    for _, row in sorted(rows.items()):
        writer.writerow([row.get(name, "") for name in TYPED])
    return out.getvalue().encode()


def _whole(text: str) -> int | None:
    return int(text) if text.isdecimal() and len(text) < 10 else None


def _gone(number: str) -> NotHereError:
    return NotHereError(
        say("There is no quote {number}.", number=number),
        say("Its number may be mistyped, or that revision was never made."),
        "/quotes",
        say("To the quotes"),
    )
