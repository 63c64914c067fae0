"""Where the week is asked for, changed and decided on."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from kerfsmith.web.backstage import JobState
from kerfsmith.web.pages.sign_in.gate import person_of, refuse_role
from kerfsmith.web.pages.week.hours import hours_page, read_form
from kerfsmith.web.pages.week.make import WeekMaker
from kerfsmith.web.pages.week.view import JobPage, NoWeekPage
from kerfsmith.web.reading import seconds
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link, wants_fragment
from kerfsmith.web.week_stage import WeekJob, WeekStage
from kerfsmith.web.words import retell, say, to_say
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.refusal import Refusal

Field = Annotated[str, Form(max_length=250)]


async def _sent(request: Request) -> FormData:
    """The whole form, whose fields aren't known beforehand."""
    return await request.form()


Sent = Annotated[FormData, Depends(_sent)]
_QUESTION = to_say("Who saws what when, and what comes late?")
_LOOK_AGAIN_S = 2
MOST_MOVES = 100_000


def routes(sheets: Sheets, stage: WeekStage) -> APIRouter:
    """The week, its forms, its hours and weeks in the making."""
    router = APIRouter(include_in_schema=False)

    @router.get("/week", response_class=HTMLResponse)
    def week(request: Request, run: str = "", zoom: str = "") -> HTMLResponse:
        return _show(request, run, zoom, None)

    @router.post("/week/line-up")
    def line_up(request: Request) -> Response:
        return _job(request, stage.line_up(by=person_of(request)), Verb.LINE_UP)

    @router.post("/week/replan")
    def replan(request: Request, form: Sent) -> Response:
        moves = str(form.get("moves", ""))
        most = min(int(moves), MOST_MOVES) if moves.isdecimal() else None
        back = {
            name.removeprefix("back-"): moment
            for name, value in form.items()
            if name.startswith("back-") and (moment := _moment(str(value))) is not None
        }
        answer = stage.replan(most_moves=most, back=back, by=person_of(request))
        return _job(request, answer, Verb.REPLAN_WEEK)

    @router.post("/week/refuse-place")
    def refuse_place(request: Request, run: Field, saw: Field) -> Response:
        answer = stage.refuse_place(run, saw, by=person_of(request))
        return _job(request, answer, Verb.REFUSE_PLACE, run)

    @router.post("/week/move")
    def move(
        request: Request, run: Field, saw: Field, place: Annotated[int, Form(ge=0, le=MOST_MOVES)]
    ) -> Response:
        return _done(request, stage.move(run, saw, place, by=person_of(request)), Verb.MOVE_RUN, run)

    @router.post("/week/pin")
    def pin(request: Request, run: Field, time: Field = "") -> Response:
        answer = stage.pin(run, at_its_time=bool(time), by=person_of(request))
        return _done(request, answer, Verb.PIN_RUN, run)

    @router.post("/week/free")
    def free(request: Request, run: Field) -> Response:
        return _done(request, stage.free(run, by=person_of(request)), Verb.FREE_RUN, run)

    @router.post("/week/accept")
    def accept(request: Request, week: Field) -> Response:
        return _done(request, stage.accept(week, by=person_of(request)), Verb.ACCEPT_WEEK)

    @router.post("/week/refuse")
    def refuse(request: Request, week: Field) -> Response:
        return _done(request, stage.refuse(week, by=person_of(request)), Verb.REFUSE_WEEK)

    @router.get("/week/job/{job_id}", response_class=HTMLResponse)
    def watch(request: Request, job_id: str) -> Response:
        job = stage.job(job_id)
        if job is None:
            raise _gone()
        if job.state is JobState.DONE and not wants_fragment(request):
            return RedirectResponse("/week", status_code=303)
        page = job_page(job)
        if wants_fragment(request):
            return sheets.fragment("week/job_body.html", sheets.reading(request), page)
        refresh = _LOOK_AGAIN_S if page.goes_on else None
        block = sheets.block(
            request, say("Week"), say("How far is the week?"), under="/week", refresh_s=refresh
        )
        return sheets.show("week/job.html", block, page)

    @router.post("/week/job/{job_id}/stop")
    def stop(job_id: str) -> RedirectResponse:
        if not stage.stop(job_id):
            raise _gone()
        return RedirectResponse(link("week", "job", job_id), status_code=303)

    @router.get("/week/hours", response_class=HTMLResponse)
    def hours(request: Request) -> HTMLResponse:
        return _hours(request, {}, (), 200)

    @router.post("/week/hours")
    def set_hours(request: Request, form: Sent) -> Response:
        sent = {name: str(value)[:400] for name, value in form.items()}
        floor = stage.week()
        read, faults = read_form(sent, floor.hours, floor.saws, sheets.reading(request))
        if read is None:
            return _hours(request, sent, faults, 409)
        answer = stage.set_hours(read, by=person_of(request))
        if isinstance(answer, Refusal):
            return _refused(request, answer, Verb.SET_HOURS, "")
        return RedirectResponse("/week/hours?kept=yes", status_code=303)

    def _hours(request: Request, form: dict[str, str], faults: tuple[str, ...], status: int) -> HTMLResponse:
        floor = stage.week()
        kept = request.query_params.get("kept") == "yes"
        page = hours_page(floor.hours, floor.saws, form, faults, sheets.reading(request), kept=kept)
        block = sheets.block(
            request, say("Hours"), say("When may each saw run, and who is there?"), under="/week"
        )
        return sheets.show("week/hours.html", block, page, status=status)

    def _show(request: Request, run: str, zoom: str, refusal: Refusal | None) -> HTMLResponse:
        floor = stage.week()
        status = 409 if refusal is not None else 200
        block = sheets.block(request, say("Week"), say(_QUESTION), under="/week")
        if floor.working is None:
            job = link("week", "job", floor.job.id) if floor.job else ""
            told = (retell(refusal.reason), retell(refusal.remedy)) if refusal else ("", "")
            page = NoWeekPage(floor.plan is not None, job, *told)
            return sheets.show("week/none.html", block, page, status=status)
        reading = sheets.reading(request)
        made = WeekMaker(floor, floor.working, reading, chosen=run, zoom=zoom, refusal=refusal).page()
        if wants_fragment(request) or request.headers.get("x-week") == "board":
            return sheets.fragment("week/body.html", sheets.reading(request), made)
        return sheets.show("week/week.html", block, made, status=status)

    def _refused(request: Request, refusal: Refusal, verb: Verb, run: str) -> Response:
        if refusal.code == "role":
            return refuse_role(request, sheets, verb, person_of(request))
        return _show(request, run, "", refusal)

    def _done(request: Request, answer: object, verb: Verb, run: str = "") -> Response:
        if isinstance(answer, Refusal):
            return _refused(request, answer, verb, run)
        return RedirectResponse(f"/week?run={link(run)[1:]}#run" if run else "/week", status_code=303)

    def _job(request: Request, answer: str | Refusal, verb: Verb, run: str = "") -> Response:
        if isinstance(answer, Refusal):
            return _refused(request, answer, verb, run)
        return RedirectResponse(link("week", "job", answer), status_code=303)

    return router


def job_page(job: WeekJob) -> JobPage:
    """A week in the making as its page shows it."""
    words = {
        JobState.WAITING: say("Waiting to begin."),
        JobState.RUNNING: say("The week is being made."),
        JobState.STOPPING: say("Stopping with the best found so far."),
        JobState.DONE: say("The week is made and put forward: look at it, then accept or refuse it."),
        JobState.FAILED: say("No week came of it; the one in force stays."),
    }[job.state]
    href = link("week", "job", job.id)
    return JobPage(
        href=href,
        stop_href=f"{href}/stop",
        goes_on=not job.state.is_over,
        can_stop=job.state is JobState.RUNNING,
        words=words,
        told=retell(job.told) if not job.state.is_over else "",
        clock=seconds(job.seconds),
        problem=f"{retell(job.refusal.reason)}." if job.refusal else job.problem,
        remedy=retell(job.refusal.remedy) if job.refusal else "",
    )


def _moment(text: str) -> datetime | None:
    try:
        return datetime.fromisoformat(text).replace(tzinfo=None)
    except ValueError:
        return None


def _gone() -> NotHereError:
    return NotHereError(
        say("There is no such week in the making."),
        say("It ended before the program was last started."),
        "/week",
        say("To the week"),
    )
