"""Where control charts are looked at."""

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from kerfsmith.learning.charts.subgroup_limits import Spread
from kerfsmith.learning.log import Log
from kerfsmith.learning.series import Charted, watched
from kerfsmith.learning.subgroups import Grouping
from kerfsmith.web.learning_stage import LearningStage
from kerfsmith.web.pages.charts.view import charts_page
from kerfsmith.web.refusal import NotHereError
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say


def routes(sheets: Sheets, stage: LearningStage) -> APIRouter:
    """The page."""
    router = APIRouter(include_in_schema=False)

    @router.get("/charts", response_class=HTMLResponse)
    def charts(request: Request, saw: str = "", of: str = "", by: str = "", spread: str = "") -> HTMLResponse:
        log = stage.log()
        saws = sorted({cut.saw for cut in log.cuts})
        known = all(
            not word or word in list(words)
            for word, words in ((of, Charted), (by, Grouping), (spread, Spread))
        )
        if (saw and saw not in saws) or not known:
            raise NotHereError(
                say("No such chart"),
                say("No such saw or figure was measured."),
                "/charts",
                say("To the charts"),
            )
        chosen, charted = _first_to_look_at(log, saws, saw, of)
        page = charts_page(
            log,
            stage.names(),
            chosen,
            charted,
            sheets.reading(request),
            grouping=Grouping(by) if by else None,
            spread=Spread(spread) if spread else None,
        )
        block = sheets.block(
            request, say("Charts"), say("What moved at the saws, and since when?"), under="/charts"
        )
        return sheets.show("charts/charts.html", block, page)

    return router


def _first_to_look_at(log: Log, saws: list[str], saw: str, of: str) -> tuple[str, Charted]:
    """What was asked for; where nothing was, what has moved, so that it is seen first."""
    if saw or of or not saws:
        return saw or (saws[0] if saws else ""), Charted(of) if of else Charted.LENGTH
    for one in saws:
        for charted in Charted:
            if watched(log, charted, one).lasting is not None:
                return one, charted
    return saws[0], Charted.LENGTH
