"""Refusals in plain words: what is not here, what can't be done, what went wrong."""

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from kerfsmith.web.security import HEADERS
from kerfsmith.web.sheet import Sheets
from kerfsmith.web.words import say, to_say


class NotHereError(Exception):
    """A page that doesn't exist, or no longer: what, why perhaps, and where to go."""

    def __init__(self, what: str, why: str, href: str = "/", label: str = "") -> None:
        super().__init__(what)
        self.page = RefusalPage(what, why, href, label or say("To the plan"))


class RefusalPage:
    """What the page of a refusal shows."""

    def __init__(self, what: str, why: str, href: str, label: str) -> None:
        self.what, self.why, self.href, self.label = what, why, href, label


_WORDS = {
    404: (
        to_say("There is no such page."),
        to_say("The address may be mistyped, or what it led to is gone."),
    ),
    405: (
        to_say("That can't be done here."),
        to_say("The address exists, but not for this kind of request."),
    ),
    422: (
        to_say("Part of what was sent could not be read."),
        to_say("Go back and look at what was filled in."),
    ),
}


def refuse_in_words(app: FastAPI, sheets: Sheets) -> None:
    """Give every refusal its page; the API answers the same in JSON."""

    def page(request: Request, status: int, refusal: RefusalPage) -> Response:
        if request.url.path.startswith("/api/"):
            return JSONResponse({"problem": refusal.what, "remedy": refusal.why}, status)
        block = sheets.block(request, say("Not done"), refusal.what)
        return sheets.show("refusal.html", block, refusal, status=status)

    @app.exception_handler(NotHereError)
    def not_here(request: Request, refusal: NotHereError) -> Response:
        return page(request, 404, refusal.page)

    @app.exception_handler(HTTPException)
    def refused(request: Request, problem: HTTPException) -> Response:
        what, why = _WORDS.get(problem.status_code, (str(problem.detail), say("Go back and try otherwise.")))
        return page(request, problem.status_code, RefusalPage(say(what), say(why), "/", say("To the plan")))

    @app.exception_handler(RequestValidationError)
    def unreadable(request: Request, problem: RequestValidationError) -> Response:
        if request.url.path.startswith("/api/"):
            faults = [
                {"where": ".".join(map(str, fault["loc"])), "problem": fault["msg"]}
                for fault in problem.errors()
            ]
            return JSONResponse({"problem": _WORDS[422][0], "faults": faults}, 422)
        what, why = map(say, _WORDS[422])
        return page(request, 422, RefusalPage(what, why, request.url.path, say("Back")))

    @app.exception_handler(Exception)
    def broken(request: Request, _: Exception) -> Response:
        refusal = RefusalPage(
            say("Something in the program went wrong."),
            say("Nothing was half done: a change is kept whole or not at all. The server's log says more."),
            "/",
            say("To the plan"),
        )
        # This one answer is made outside of the guard, which could not have put its headers on.
        answer = page(request, 500, refusal)
        answer.headers.update(HEADERS)
        return answer
