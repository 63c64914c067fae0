"""The API. Plans, cuts and nesting answer with the very documents that the command line writes."""

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Form, HTTPException, Query, Request, Response, UploadFile
from fastapi.responses import JSONResponse

from kerfsmith.cutting.setting import CannotCut
from kerfsmith.errors import Finding
from kerfsmith.planning.document import cut_document, finding_document, plan_document
from kerfsmith.web.api.answers import answered
from kerfsmith.web.api.models import (
    BarOut,
    JobOut,
    Kept,
    NestIn,
    OrderOut,
    PlanIn,
    SubstitutesIn,
    UnknownGradeOut,
)
from kerfsmith.web.api.paging import After, Limit, Page, page_of
from kerfsmith.web.backstage import Backstage, CutQuestion, NestQuestion, UploadKind
from kerfsmith.web.pages.sign_in.gate import asker_of
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes
from kerfsmith.workflow.refusal import Refusal

BY = "program"
"""Who asks, where the face keeps no people."""
Text = Annotated[str, Query(max_length=120)]


def routes(backstage: Backstage) -> APIRouter:
    """All of the API under ``/api``."""
    router = APIRouter(prefix="/api", tags=["kerfsmith"])

    @router.get("/plan")
    def plan() -> dict[str, Any]:
        """The plan made last."""
        found = backstage.plan()
        if found is None:
            raise HTTPException(404, "there is no plan")
        return plan_document(found)

    @router.get("/orders")
    def orders(after: After = "", limit: Limit = 100) -> Page[OrderOut]:
        """Orders on the book, oldest first, a page at a time."""
        in_runs = backstage.pieces_in_runs()
        every = [OrderOut.of(order, in_runs) for order in backstage.orders()]
        return page_of(every, lambda order: order.id, "/api/orders", after, limit)

    @router.put("/orders/{order_id}/substitutes/{line_id:path}")
    def substitutes(request: Request, order_id: str, line_id: str, wanted: SubstitutesIn) -> JSONResponse:
        """Say what a line on the book may be cut from instead, in place of what was said before."""
        told = AllowSubstitutes(order_id, line_id, tuple(wanted.or_grades), tuple(wanted.or_sections))
        return answered(backstage.allow_substitutes(told, by=asker_of(request, BY)))

    @router.get("/rack")
    def rack(after: After = "", limit: Limit = 100) -> Page[BarOut]:
        """Bars and remnants, a page at a time."""
        every = [BarOut.of(bar) for bar in backstage.rack().bars]
        return page_of(every, lambda bar: bar.id, "/api/rack", after, limit)

    @router.post("/uploads/{kind}")
    def upload(
        request: Request,
        kind: UploadKind,
        file: UploadFile,
        grade: Annotated[list[str] | None, Form(max_length=200)] = None,
        whole: Annotated[bool, Form()] = False,
    ) -> Kept:
        """Read a cut list, NC files or a rack list and keep what is good of it, unless columns are unclear.

        ``grade`` says what names in it mean, each as NAME=GRADE. With ``whole`` nothing is kept where
        anything would be left out.
        """
        name = file.filename or "unnamed file"
        read = backstage.read_upload(kind, name, file.file.read(), grades=_told_grades(grade or ()))
        lines = len(read.order.lines) if read.order else len(read.rack.bars) if read.rack else 0
        good = read.sure and lines and not (whole and any(finding.is_error for finding in read.findings))
        kept = backstage.keep_upload(read.id, by=asker_of(request, BY)) if good else None
        if isinstance(kept, Refusal):
            raise HTTPException(409, str(kept))
        unknown = [UnknownGradeOut.of(one) for one in read.unknown_grades]
        return Kept(kept=kept, lines=lines, findings=_documents(read.findings), unknown_grades=unknown)

    @router.post("/plan")
    def start(request: Request, wanted: PlanIn) -> JobOut:
        """Begin to plan what no run has of these orders, or join the planning that is going on.

        Refused with 409 where runs have every piece.
        """
        begun = backstage.start_planning(wanted.orders, by=asker_of(request, BY))
        if isinstance(begun, Refusal):
            raise HTTPException(409, str(begun))
        return _job(begun)

    @router.get("/jobs/{job_id}")
    def job(job_id: str) -> JobOut:
        """How a planning job stands."""
        return _job(job_id)

    @router.post("/jobs/{job_id}/stop")
    def stop(job_id: str) -> JobOut:
        """End a planning job with the best it has."""
        backstage.stop_planning(job_id)
        return _job(job_id)

    def _job(job_id: str) -> JobOut:
        found = backstage.job(job_id)
        if found is None:
            raise HTTPException(404, "there is no such job")
        return JobOut.of(found)

    @router.get("/cut")
    def cut(
        response: Response,
        grade: Text,
        section: Text,
        saw: Text = "",
        band: Text = "",
        angle_deg: Annotated[float, Query(ge=0, lt=80)] = 0.0,
        bundle: Annotated[int, Query(ge=1, le=400)] = 1,
        coolant: bool = True,
        choose: Text = "",
        hb: Annotated[float | None, Query(gt=0, lt=1000)] = None,
        band_state: Text = "",
    ) -> dict[str, Any]:
        """One cut's setting with reasons, slices and what to choose from, or why not (``fits`` false).

        ``choose`` is quickest, cheapest, safest, or a place on the trade-off's front; ``band_state`` is
        "sound", "worn" or "new, being run in".
        """
        answer = backstage.cut(
            CutQuestion(grade, section, saw, band, angle_deg, bundle, coolant, choose, hb, band_state)
        )
        if answer.setting is not None:
            document = cut_document(answer.setting, offer=answer.trade_off, mechanics=answer.mechanics)
            document["currency"] = backstage.shop().currency
            return {**document, "findings": _documents(answer.findings)}
        if answer.cannot is None:
            response.status_code = 422
        return {"fits": False, "reasons": _refusals(answer.cannot), "findings": _documents(answer.findings)}

    @router.post("/nest")
    def nest(problem: NestIn, response: Response) -> dict[str, Any]:
        """A bare nesting problem; 422 with findings where the problem itself is at fault."""
        stated = problem.model_dump(exclude={"seconds"}, exclude_none=True)
        for stated_bar, bar in zip(stated["bars"], problem.bars, strict=True):
            stated_bar["count"] = bar.count
        code, document = backstage.nest(NestQuestion(stated, problem.seconds))
        if code == 2:
            response.status_code = 422
        return dict(document)

    return router


def _told_grades(told: Sequence[str]) -> dict[str, str]:
    """Names of grades as they were told. Raises HTTPException for one that isn't NAME=GRADE."""
    grades = {}
    for text in told:
        name, equals, grade = text.partition("=")
        if not equals or not grade.strip():
            raise HTTPException(422, f"a grade is told as NAME=GRADE, such as MS=S235JR, not {text!r}")
        grades[name.strip()] = grade.strip()
    return grades


def _documents(findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    return [finding_document(finding) for finding in findings]


def _refusals(cannot: CannotCut | None) -> list[dict[str, Any]]:
    if cannot is None:
        return []
    return [
        {
            "saw": saw,
            "dimension": misfit.dimension,
            "wanted": misfit.wanted,
            "limit": misfit.limit,
            "unit": misfit.unit,
            "text": misfit.text,
            "remedy": misfit.remedy,
        }
        for saw, misfits in cannot.misfits
        for misfit in misfits
    ]
