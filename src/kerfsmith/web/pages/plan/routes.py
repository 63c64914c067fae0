"""Where the plan's pages and its papers are asked for."""

from collections.abc import Sequence
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.web.backstage import Paper
from kerfsmith.web.pages.plan.first_steps import first_steps
from kerfsmith.web.pages.plan.make import PlanMaker
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, wants_fragment
from kerfsmith.web.words import say, to_say

Sheet = Literal["a4", "us-letter"]
_QUESTION = to_say("What is cut on which saw, and how close is that to the best possible?")


def routes(sheets: Sheets) -> APIRouter:
    """The plan, one group of it, tickets and labels."""
    router = APIRouter(include_in_schema=False)
    backstage = sheets.backstage

    @router.get("/", response_class=HTMLResponse)
    def plan_page(request: Request) -> HTMLResponse:
        block = sheets.block(request, say("Plan"), say(_QUESTION))
        plan = backstage.plan()
        if plan is None or not plan.groups:
            return sheets.show("plan/none.html", block, first_steps(backstage))
        return sheets.show("plan/plan.html", block, _maker(request, plan).page())

    @router.get("/plan/{group_id:path}", response_class=HTMLResponse)
    def group_page(request: Request, group_id: str, rules: str = "") -> HTMLResponse:
        plan, group = _group(group_id)
        costs = backstage.what_if(group) if rules and group.bars else None
        maker = _maker(request, plan)
        if costs is not None and wants_fragment(request):
            return sheets.fragment("plan/rules.html", maker.reading, maker.rules(group, costs))
        name = f"{group.grade} · {group.section.name}"
        block = sheets.block(
            request, say("Plan, one group"), say("How is {name} cut, and why so?", name=name), under="/"
        )
        return sheets.show("plan/group.html", block, maker.group_page(group, costs))

    @router.get("/ticket.pdf")
    def ticket(request: Request, group: str = "", sheet: Sheet | None = None) -> Response:
        plan, groups = _wanted(group)
        pdf = backstage.ticket_pdf(plan, groups, _paper(request, sheet))
        return _pdf(pdf, "saw-tickets.pdf")

    @router.get("/labels.pdf")
    def labels(request: Request, group: str = "", sheet: Sheet | None = None) -> Response:
        plan, groups = _wanted(group)
        pdf = backstage.labels_pdf(plan, groups, _paper(request, sheet))
        return _pdf(pdf, "labels.pdf")

    def _paper(request: Request, sheet: Sheet | None) -> Paper:
        """The sheet asked for, else the one usual where the reader's measure is."""
        reading = sheets.reading(request)
        return Paper(reading.measure, sheet or ("a4" if reading.is_metric else "us-letter"))

    def _maker(request: Request, plan: Plan) -> PlanMaker:
        return PlanMaker(plan, backstage.catalog().saws, sheets.reading(request), backstage.today())

    def _group(group_id: str) -> tuple[Plan, PlanGroup]:
        plan = backstage.plan()
        group = plan.group(group_id) if plan else None
        if plan is None or group is None:
            raise NotHereError(
                say("The plan has no group {group_id}.", group_id=f"{group_id!r}"),
                say("It may have been planned anew since."),
                "/",
                say("To the plan"),
            )
        return plan, group

    def _wanted(group_id: str) -> tuple[Plan, Sequence[PlanGroup]]:
        if group_id:
            plan, group = _group(group_id)
            return plan, (group,)
        found = backstage.plan()
        if found is None:
            raise NotHereError(
                say("There is no plan to print."),
                say("Plan the orders first."),
                "/orders",
                say("To the orders"),
            )
        return found, tuple(one for one in found.groups if one.bars)

    return router


def _pdf(data: bytes, name: str) -> Response:
    return Response(
        data, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'}
    )
