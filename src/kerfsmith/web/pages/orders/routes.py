"""Taking orders and racks: upload, look, name the columns, keep; and planning what is on the book."""

from typing import Annotated

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.web.backstage import UploadKind, UploadRead
from kerfsmith.web.pages.orders.view import InsteadPage, instead_page, orders_page, parted, upload_page
from kerfsmith.web.pages.people.view import problem_words
from kerfsmith.web.pages.sign_in.gate import asker_of
from kerfsmith.web.refusal import NotHereError, RefusalPage
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import retell, say
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

MOST_FILES = 1000
"""Files sent at once: as many as a form may have parts; more go into an archive."""
BY = "desk"
"""Who asks, where the face keeps no people."""


def routes(sheets: Sheets) -> APIRouter:
    """The book, uploads, and the button that plans."""
    router = APIRouter(include_in_schema=False)
    backstage = sheets.backstage

    @router.get("/orders", response_class=HTMLResponse)
    def orders(request: Request) -> HTMLResponse:
        plan = backstage.plan()
        findings = plan.findings if plan else ()
        page = orders_page(backstage.orders(), findings, sheets.reading(request), backstage.pieces_in_runs())
        return sheets.show(
            "orders/orders.html",
            sheets.block(request, say("Orders"), say("What is wanted, and by when?")),
            page,
        )

    @router.post("/uploads")
    def upload(
        kind: Annotated[UploadKind, Form()], file: Annotated[list[UploadFile], File(max_length=MOST_FILES)]
    ) -> RedirectResponse:
        first, *others = [(each.filename or "unnamed file", each.file.read()) for each in file]
        read = backstage.read_upload(kind, *first, others)
        return RedirectResponse(link("uploads", read.id), status_code=303)

    @router.get("/uploads/{upload_id}", response_class=HTMLResponse)
    def look(request: Request, upload_id: str) -> HTMLResponse:
        return _look(request, _held(backstage.upload(upload_id)))

    def _look(request: Request, read: UploadRead, problem: str = "") -> HTMLResponse:
        under = "/orders" if read.kind is UploadKind.ORDER else "/rack"
        page = upload_page(
            read,
            sheets.reading(request),
            priced=sheets.has("quotes"),
            grades=tuple(grade.name for grade in backstage.catalog().grades),
            may_name=sheets.has("sections") and may(asker_of(request, BY).role, Verb.NAME_GRADE),
            problem=problem,
        )
        block = sheets.block(request, say("File {file}", file=read.file), page.question, under=under)
        return sheets.show("orders/upload.html", block, page, status=409 if problem else 200)

    @router.post("/uploads/{upload_id}/columns")
    async def name_columns(request: Request, upload_id: str) -> RedirectResponse:
        async with request.form(max_fields=200) as form:
            named = {key: value for key, value in form.items() if isinstance(value, str)}
        fields = {
            int(key[1:]): value for key, value in named.items() if key[:1] == "c" and key[1:].isdecimal()
        }
        read = _held(backstage.read_again(upload_id, fields, named.get("unit", "")))
        return RedirectResponse(link("uploads", read.id), status_code=303)

    @router.post("/uploads/{upload_id}/grades")
    async def name_grades(request: Request, upload_id: str) -> Response:
        async with request.form(max_files=0, max_fields=1000) as form:
            names = [name for name in form.getlist("name") if isinstance(name, str)]
            told = [grade for grade in form.getlist("grade") if isinstance(grade, str)]
            keep = bool(form.get("keep"))
        grades = {name: grade for name, grade in zip(names, told, strict=False) if grade}
        by = asker_of(request, BY)
        read = await run_in_threadpool(backstage.name_grades, upload_id, grades, keep=keep, by=by)
        if isinstance(read, Refusal):
            return await run_in_threadpool(
                _look, request, _held(backstage.upload(upload_id)), problem_words(read)
            )
        return RedirectResponse(link("uploads", _held(read).id), status_code=303)

    @router.post("/uploads/{upload_id}/keep")
    def keep(request: Request, upload_id: str) -> Response:
        read = _held(backstage.upload(upload_id))
        kept = backstage.keep_upload(upload_id, by=asker_of(request, BY))
        if kept is None:
            _held(None)
        if isinstance(kept, Refusal):
            return _not_done(request, kept, link("uploads", upload_id), say("To the file"))
        at = f"/orders#{link(kept or '')[1:]}" if read.kind is UploadKind.ORDER else "/rack"
        return RedirectResponse(at, status_code=303)

    @router.post("/orders/plan")
    def plan_orders(request: Request, order: Annotated[list[str] | None, Form()] = None) -> Response:
        if not order:
            what = say("No order is ticked, so there is nothing to plan.")
            page = RefusalPage(
                what, say("Tick the orders that are to be planned together."), "/orders", say("To the orders")
            )
            return sheets.show("refusal.html", sheets.block(request, say("Not done"), what), page, status=422)
        begun = backstage.start_planning(order, by=asker_of(request, BY))
        if isinstance(begun, Refusal):
            return _not_done(request, begun, "/orders", say("To the orders"))
        return RedirectResponse(link("planning", begun), status_code=303)

    @router.get("/orders/{order_id}/instead/{line_id:path}", response_class=HTMLResponse)
    def instead(request: Request, order_id: str, line_id: str) -> HTMLResponse:
        return _instead(request, instead_page(*_on_book(order_id, line_id)))

    @router.post("/orders/{order_id}/instead/{line_id:path}")
    def keep_instead(
        request: Request,
        order_id: str,
        line_id: str,
        or_grades: Annotated[str, Form(max_length=400)] = "",
        or_sections: Annotated[str, Form(max_length=400)] = "",
    ) -> Response:
        order, line = _on_book(order_id, line_id)
        told = AllowSubstitutes(order.id, line.id, parted(or_grades), parted(or_sections))
        kept = backstage.allow_substitutes(told, by=asker_of(request, BY))
        if isinstance(kept, Refusal):
            return _instead(request, instead_page(order, line, told, problem_words(kept)), status=409)
        return RedirectResponse(f"/orders#{link(order.id)[1:]}", status_code=303)

    def _on_book(order_id: str, line_id: str) -> tuple[Order, OrderLine]:
        for order in backstage.orders():
            for line in order.lines:
                if (order.id, line.id) == (order_id, line_id):
                    return order, line
        raise NotHereError(
            say("That line is not on the book."),
            say("Its order was taken off before."),
            "/orders",
            say("To the orders"),
        )

    def _instead(request: Request, page: InsteadPage, status: int = 200) -> HTMLResponse:
        question = say("What may {mark} be cut from instead?", mark=page.mark)
        block = sheets.block(request, say("Orders"), question, under="/orders")
        return sheets.show("orders/instead.html", block, page, status=status)

    @router.post("/orders/{order_id}/drop")
    def drop(request: Request, order_id: str) -> Response:
        dropped = backstage.drop_order(order_id, by=asker_of(request, BY))
        if isinstance(dropped, Refusal):
            return _not_done(request, dropped, "/orders", say("To the orders"))
        if not dropped:
            raise NotHereError(
                say("That order is not on the book."),
                say("It was taken off before."),
                "/orders",
                say("To the orders"),
            )
        return RedirectResponse("/orders", status_code=303)

    def _not_done(request: Request, refusal: Refusal, back: str, back_words: str) -> HTMLResponse:
        reason, remedy = retell(refusal.reason), retell(refusal.remedy)
        what = f"{reason[:1].upper()}{reason[1:]}."
        page = RefusalPage(what, f"{remedy}." if remedy else "", back, back_words)
        return sheets.show("refusal.html", sheets.block(request, say("Not done"), what), page, status=409)

    return router


def _held(read: UploadRead | None) -> UploadRead:
    if read is None:
        raise NotHereError(
            say("That file is no longer held."),
            say("Files wait an hour to be kept; send it again."),
            "/orders",
            say("To the orders"),
        )
    return read
