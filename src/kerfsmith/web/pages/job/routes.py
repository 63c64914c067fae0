"""Where a planning job is watched and stopped."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse

from kerfsmith.web.pages.job.view import job_page
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link, wants_fragment
from kerfsmith.web.words import say

_LOOK_AGAIN_S = 2


def routes(sheets: Sheets) -> APIRouter:
    """The page of a job and its stop button."""
    router = APIRouter(include_in_schema=False)
    backstage = sheets.backstage

    @router.get("/planning/{job_id}", response_class=HTMLResponse)
    def watch(request: Request, job_id: str) -> HTMLResponse:
        job = backstage.job(job_id)
        if job is None:
            raise _gone()
        page = job_page(job)
        if wants_fragment(request):
            return sheets.fragment("job/progress.html", sheets.reading(request), page)
        refresh = _LOOK_AGAIN_S if page.goes_on else None
        block = sheets.block(
            request, say("Planning"), say("How far is the plan?"), under="/", refresh_s=refresh
        )
        return sheets.show("job/job.html", block, page)

    @router.post("/planning/{job_id}/stop")
    def stop(job_id: str) -> RedirectResponse:
        if not backstage.stop_planning(job_id):
            raise _gone()
        return RedirectResponse(link("planning", job_id), status_code=303)

    return router


def _gone() -> NotHereError:
    return NotHereError(
        say("There is no such planning job."), say("It ended before the program was last started.")
    )
