"""Quotes and rates for other programs: read, begin, accept, decline. Only the office is told costs."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.costing.document import amount_text, quote_document
from kerfsmith.costing.kept_quote import KeptQuote, QuoteHead
from kerfsmith.costing.rates_reading import read_rates
from kerfsmith.planning.document import finding_document
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.quotes.ask import MOST_BREAKS, MOST_PIECES
from kerfsmith.web.pages.quotes.view import sees_cost
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.quote_stage import QuoteSource, QuoteStage, QuoteWish
from kerfsmith.workflow.accept_quote import AcceptQuote, DeclineQuote
from kerfsmith.workflow.refusal import Refusal

_INSIDE = frozenset({"cost", "inside", "reckoning"})


class QuoteIn(BaseModel):
    """A quote to be made of an order on the book, or as the next revision of the quote ``renews``."""

    model_config = ConfigDict(extra="forbid")
    order: str = Field("", max_length=80)
    renews: str = Field("", max_length=40)
    customer: str = Field("renewed", min_length=1, max_length=200)
    valid_until: date
    reference: str = Field("", max_length=200)
    firm: bool = False
    certificates: bool = True
    quantities: list[int] = Field(default_factory=list, max_length=MOST_BREAKS)


class AcceptIn(BaseModel):
    """The revision accepted, and other offered quantities of lines by their ids (0: left out)."""

    model_config = ConfigDict(extra="forbid")
    revision: int = Field(ge=1, le=10_000)
    quantities: dict[str, int] = Field(default_factory=dict)


class DeclineIn(BaseModel):
    """The revision declined."""

    model_config = ConfigDict(extra="forbid")
    revision: int = Field(ge=1, le=10_000)


def routes(stage: QuoteStage) -> APIRouter:
    """Quotes and rates under ``/api``."""
    router = APIRouter(prefix="/api", tags=["quotes"])

    @router.get("/quotes")
    def quotes() -> list[dict[str, Any]]:
        """The newest revision of each quote, newest first."""
        return [_head(head, stage.today()) for head in stage.quotes()]

    @router.get("/quotes/{number}")
    def quote(request: Request, number: str, revision: int | None = None) -> dict[str, Any]:
        """One revision of a quote, the newest where none is named."""
        kept = stage.quote(number, revision)
        if kept is None:
            raise HTTPException(404, "there is no such quote")
        return _quote(kept, stage.today(), inside=sees_cost(person_of(request)))

    @router.post("/quotes", status_code=202)
    def begin(request: Request, wish: QuoteIn) -> JSONResponse:
        """Begin to plan and price; ask ``/api/reckoning/{id}`` how far it is."""
        if any(not 0 < one <= MOST_PIECES for one in wish.quantities):
            raise HTTPException(422, "a break point is a number of pieces above zero")
        told = QuoteWish(
            source=QuoteSource(order_id=wish.order, renews=wish.renews),
            customer=wish.customer,
            valid_until=wish.valid_until,
            reference=wish.reference,
            firm=wish.firm,
            certificates=wish.certificates,
            quantities=tuple(sorted(set(wish.quantities))),
        )
        answer = stage.begin(told, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse({"id": answer}, 202)

    @router.post("/quotes/{number}/accept")
    def accept(request: Request, number: str, told: AcceptIn) -> JSONResponse:
        """Make an order of a quote."""
        wish = AcceptQuote(number, told.revision, "", stage.today(), tuple(told.quantities.items()))
        answer = stage.accept(wish, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        value = {"value": amount_text(answer.value), "currency": answer.value.currency}
        return JSONResponse({"order": answer.order_id, "pieces": answer.pieces, **value})

    @router.post("/quotes/{number}/decline")
    def decline(request: Request, number: str, told: DeclineIn) -> JSONResponse:
        """Close a quote without an order."""
        answer = stage.decline(DeclineQuote(number, told.revision), by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse({"declined": number})

    @router.post("/rates")
    def set_rates(request: Request, table: dict[str, Any]) -> JSONResponse:
        """Set rates by name, as a file of rates has them; the others stay."""
        rates, findings = read_rates("the request", table, stage.rates())
        if findings:
            return JSONResponse({"findings": [finding_document(one) for one in findings]}, 422)
        answer = stage.set_rates(rates, by=person_of(request))
        return answered(answer) if isinstance(answer, Refusal) else JSONResponse({"own": sorted(answer.own)})

    return router


def _head(head: QuoteHead, today: date) -> dict[str, Any]:
    return {
        "number": head.number,
        "revision": head.revision,
        "customer": head.customer,
        "reference": head.reference,
        "valid_until": head.valid_until.isoformat(),
        "lines": head.lines,
        "total": amount_text(head.total),
        "currency": head.total.currency,
        "state": head.state(today).value,
        "order": head.settlement.order_id if head.settlement else "",
    }


def _quote(kept: KeptQuote, today: date, *, inside: bool) -> dict[str, Any]:
    document = quote_document(kept.quote)
    if not inside:
        document = _without_cost(document)
    order = kept.settlement.order_id if kept.settlement else ""
    return {**document, "state": kept.state(today).value, "order": order}


def _without_cost(document: Mapping[str, Any]) -> dict[str, Any]:
    plain = {key: value for key, value in document.items() if key not in _INSIDE}
    plain["lines"] = [
        {key: value for key, value in line.items() if key not in _INSIDE} for line in document["lines"]
    ]
    return plain
