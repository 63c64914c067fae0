"""Where something that takes longer than a request is watched and stopped."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from kerfsmith.units.told import Told
from kerfsmith.web.backstage import JobState
from kerfsmith.web.drawing.svg import element, percent
from kerfsmith.web.reading import seconds
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets, link, wants_fragment
from kerfsmith.web.underway import Bench, Underway
from kerfsmith.web.words import retell, say

_LOOK_AGAIN_S = 2


@dataclass(frozen=True, slots=True)
class UnderwayPage:
    """What is being done; ``result`` leads to what came of it."""

    href: str
    name: Told
    words: str
    clock: str
    meter: Markup
    goes_on: bool
    can_stop: bool
    result: str
    problem: Told


def routes(sheets: Sheets, bench: Bench) -> APIRouter:
    """The page of what is underway, and its stop button."""
    router = APIRouter(include_in_schema=False)

    @router.get("/reckoning/{work_id}", response_class=HTMLResponse)
    def watch(request: Request, work_id: str) -> Response:
        found = bench.underway(work_id)
        if found is None:
            raise _gone()
        page = underway_page(found)
        if wants_fragment(request):
            return sheets.fragment("underway/progress.html", sheets.reading(request), page)
        if page.result and "stay" not in request.query_params:
            return RedirectResponse(page.result, status_code=303)
        block = sheets.block(
            request,
            say("Reckoning"),
            say("How far is it?"),
            refresh_s=_LOOK_AGAIN_S if page.goes_on else None,
        )
        return sheets.show("underway/underway.html", block, page)

    @router.post("/reckoning/{work_id}/stop")
    def stop(work_id: str) -> RedirectResponse:
        if not bench.stop(work_id):
            raise _gone()
        return RedirectResponse(link("reckoning", work_id), status_code=303)

    return router


def underway_page(found: Underway) -> UnderwayPage:
    """What is underway as it stands."""
    words = {
        JobState.WAITING: say("It waits for its turn."),
        JobState.STOPPING: say("It is being stopped."),
        JobState.DONE: say("Done."),
        JobState.FAILED: say("It came to nothing."),
    }.get(found.state, _doing(found))
    share = min(found.done / found.of, 1.0) if found.of else 0.0
    return UnderwayPage(
        href=link("reckoning", found.id),
        name=found.name,
        words=words,
        clock=seconds(found.seconds),
        meter=_meter(1.0 if found.state is JobState.DONE else share),
        goes_on=not found.state.is_over,
        can_stop=found.state in (JobState.WAITING, JobState.RUNNING),
        result=found.result,
        problem=found.problem,
    )


def _doing(found: Underway) -> str:
    if not found.of:
        return retell(found.words)
    return say("{words}: {done} of {all}", words=found.words, done=found.done, all=found.of)


def _meter(share: float) -> Markup:
    """A strip that fills, beside the words that say the same."""
    return element(
        "svg",
        element("rect", x=1, y=1, width="99.8%", height=16, class_="whole"),
        element("rect", x=1, y=1, width=percent(0.998 * share), height=16, class_="done"),
        class_="meter",
        aria_hidden="true",
    )


def _gone() -> NotHereError:
    return NotHereError(
        say("Nothing of that kind is underway."), say("It ended before the program was last started.")
    )
