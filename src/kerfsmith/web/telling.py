"""Sentences of the core as the reader of the page in hand is told them, where no reading is at hand."""

from contextvars import ContextVar

from starlette.requests import Request
from starlette.types import ASGIApp, Receive, Scope, Send

from kerfsmith.units.length import Measure
from kerfsmith.units.told import Told, in_language
from kerfsmith.web.reading import reading_of
from kerfsmith.web.words import catalog_of, language

_MEASURE: ContextVar[Measure] = ContextVar("measure", default=Measure.METRIC)


def retell(text: str) -> str:
    """A sentence of the core in the reader's measure and language."""
    return in_language(text, _MEASURE.get(), catalog_of(language()))


def retold(value: object) -> object:
    """What a template shows: sentences of the core as their reader is told them, all else as it is."""
    return retell(value) if isinstance(value, Told) else value


class InReadersMeasure:
    """Tells each request's sentences of the core in the measure of its cookie, metric without one."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Sets the measure for what runs inside this request."""
        if scope["type"] == "http":
            _MEASURE.set(reading_of(Request(scope)).measure)
        await self._app(scope, receive, send)
