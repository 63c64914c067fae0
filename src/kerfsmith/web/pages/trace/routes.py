"""Where traces are asked for, and certificates fetched and put on file."""

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from kerfsmith.shop.heat import MOST_CERTIFICATE_BYTES
from kerfsmith.shop.trace import HeatTrace
from kerfsmith.web.floor_stage import FloorStage
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.pages.trace.view import AskPage, chain_page, heat_page, pieces_page
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link
from kerfsmith.web.words import retell, say, to_say
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.refusal import Refusal

_QUESTION = to_say("What was this piece made from, and where did that heat go?")


def routes(sheets: Sheets, floor: FloorStage) -> APIRouter:
    """The question, a piece's chain, the lists of a heat, a bar and a mark, and the files."""
    router = APIRouter(include_in_schema=False)

    @router.get("/trace", response_class=HTMLResponse)
    def ask(request: Request, q: str = "") -> Response:
        wanted = q.strip()[:200]
        if not wanted.isprintable():
            wanted = ""
        where = _where(wanted) if wanted else None
        if where is not None:
            return RedirectResponse(where, status_code=303)
        block = sheets.block(request, say("Trace"), say(_QUESTION))
        page = AskPage(wanted, bool(wanted))
        return sheets.show("trace/ask.html", block, page, status=404 if wanted else 200)

    def _where(wanted: str) -> str | None:
        """The page that answers: code, heat, bar and mark are told apart by being on record."""
        cut_id = floor.piece_of_label(wanted)
        if cut_id is not None:
            return link("trace", "piece", cut_id)
        if floor.heat(wanted) is not None:
            return link("trace", "heat", wanted)
        if floor.pieces_of_bar(wanted):
            return link("trace", "bar", wanted)
        pieces = floor.pieces_marked(wanted)
        if len(pieces) == 1:
            return link("trace", "piece", pieces[0].cut_id)
        if pieces:
            return link("trace", "mark", wanted)
        return link("trace", "piece", wanted) if floor.piece(wanted) is not None else None

    @router.get("/trace/piece/{cut_id}", response_class=HTMLResponse)
    def piece(request: Request, cut_id: str) -> HTMLResponse:
        found = floor.piece(cut_id)
        if found is None:
            raise _unknown(say("No piece was cut as {cut_id}.", cut_id=f"{cut_id!r}"))
        page = chain_page(found, sheets.reading(request))
        block = sheets.block(
            request,
            say("Trace, one piece"),
            say("Where does {title} come from?", title=page.title),
            under="/trace",
        )
        return sheets.show("trace/chain.html", block, page)

    @router.get("/trace/heat/{number:path}", response_class=HTMLResponse)
    def heat(request: Request, number: str) -> HTMLResponse:
        return _heat(request, number)

    @router.get("/trace/bar/{label:path}", response_class=HTMLResponse)
    def bar(request: Request, label: str) -> HTMLResponse:
        found = floor.pieces_of_bar(label)
        if not found:
            raise _unknown(say("Nothing was cut from a bar labelled {label}.", label=f"{label!r}"))
        page = pieces_page("bar", label, found, sheets.reading(request))
        block = sheets.block(
            request, say("Trace, one bar"), say("What was cut from bar {label}?", label=label), under="/trace"
        )
        return sheets.show("trace/list.html", block, page)

    @router.get("/trace/mark/{mark:path}", response_class=HTMLResponse)
    def mark(request: Request, mark: str) -> HTMLResponse:
        found = floor.pieces_marked(mark)
        if not found:
            raise _unknown(say("No piece marked {mark} was cut.", mark=f"{mark!r}"))
        page = pieces_page("mark", mark, found, sheets.reading(request))
        block = sheets.block(
            request, say("Trace, one mark"), say("Which pieces are marked {mark}?", mark=mark), under="/trace"
        )
        return sheets.show("trace/list.html", block, page)

    @router.get("/certificates/{certificate_id}")
    def certificate(certificate_id: str) -> Response:
        found = floor.certificate(certificate_id)
        if found is None:
            raise _unknown(say("There is no such certificate."))
        # As an attachment, its kind told by its content: a browser stores it and runs nothing of it.
        name = quote(found.certificate.name, safe="")
        head = {"Content-Disposition": f"attachment; filename*=UTF-8''{name}"}
        return Response(found.content, media_type=found.certificate.kind.value, headers=head)

    @router.post("/trace/certificates/{number:path}")
    def attach(request: Request, number: str, file: Annotated[UploadFile, File()]) -> Response:
        person = person_of(request)
        content = file.file.read(MOST_CERTIFICATE_BYTES + 1)
        answer = floor.attach(number, file.filename or "certificate", content, by=person)
        if isinstance(answer, Refusal) and answer.code == "role":
            return refuse_role(request, sheets, Verb.ATTACH_CERTIFICATE, person)
        if isinstance(answer, Refusal):
            return _heat(request, number, f"{retell(answer.reason)}. {retell(answer.remedy)}.", 409)
        return RedirectResponse(link("trace", "heat", number), status_code=303)

    def _heat(request: Request, number: str, problem: str = "", status: int = 200) -> HTMLResponse:
        found = floor.heat(number)
        if found is None and any(bar.heat == number for bar in floor.rack()):
            found = HeatTrace(number, (), ())
        if found is None:
            raise _unknown(say("No heat {number} is on record.", number=f"{number!r}"))
        page = heat_page(found, sheets.reading(request), problem)
        question = say("Where did heat {number} go?", number=number)
        block = sheets.block(request, say("Trace, one heat"), question, under="/trace")
        return sheets.show("trace/list.html", block, page, status=status)

    return router


def _unknown(what: str) -> NotHereError:
    return NotHereError(
        what, say("Key it again, or look by heat, bar or mark."), "/trace", say("To the trace")
    )
