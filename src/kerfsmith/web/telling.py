"""Each request's sentences of the core are told in the measure that its reader asked for."""

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from kerfsmith.web.reading import reading_of
from kerfsmith.web.words import read_in


class InReadersMeasure:
    """Tells each request's sentences of the core in the measure of its cookie, metric without one."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Sets the measure for what runs inside this request."""
        if scope["type"] == "http":
            read_in(reading_of(Request(scope)).measure)
        await self._app(scope, receive, send)
