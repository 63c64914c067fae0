"""Costs and quotes as JSON-ready documents. Money is text, so that no digit of it is lost."""

from typing import Any

from kerfsmith.costing.plan_cost import LineCost, PlanCost
from kerfsmith.costing.price import Price
from kerfsmith.costing.quote import Quote, QuoteLine
from kerfsmith.costing.reckoning import Cost, Span3
from kerfsmith.costing.shown import rounded
from kerfsmith.units.length import um_to_mm
from kerfsmith.units.money import Money


def quote_document(quote: Quote) -> dict[str, Any]:
    """The whole quote; each line unfolds into its reckoning."""
    terms = quote.terms
    return {
        "quote": terms.number,
        "revision": terms.revision,
        "customer": terms.customer,
        "reference": terms.reference,
        "day": terms.day.isoformat(),
        "valid_until": terms.valid_until.isoformat(),
        "firm": terms.firm,
        "currency": quote.currency,
        "total": amount_text(quote.total),
        "cost": amount_text(quote.cost),
        "lines": [_line(line) for line in quote.lines],
        "not_offered": [
            {"line": one.line.id, "mark": one.line.mark, "count": one.count, "reason": one.reason}
            for one in quote.not_offered
        ],
        "assumptions": list(quote.assumptions),
        "exclusions": list(terms.exclusions),
        "notes": list(terms.notes),
        "inside": list(quote.inside),
    }


def _line(offered: QuoteLine) -> dict[str, Any]:
    line = offered.line
    return {
        "line": line.id,
        "mark": line.mark,
        "grade": line.grade,
        "section": line.section.name,
        "length_mm": um_to_mm(line.length_um),
        "quantity": line.quantity,
        "due": line.due.isoformat() if line.due else None,
        **_price(offered.price),
        "breaks": [_price(price) for price in offered.breaks],
        "reckoning": cost_document(offered.price.reckoning),
    }


def _price(price: Price) -> dict[str, Any]:
    return {
        "count": price.count,
        "each": amount_text(price.each),
        "each_between": [amount_text(rounded(end)) for end in (price.each_span.low, price.each_span.high)],
        "total": amount_text(rounded(price.total)),
    }


def cost_document(cost: Cost) -> dict[str, Any]:
    """One line of a cost with everything under it."""
    found: dict[str, Any] = {
        "name": cost.name,
        "kind": cost.kind.value,
        "amount": amount_text(cost.amount),
        "between": [amount_text(end) for end in _ends(cost.span)],
    }
    if cost.how is not None:
        how = cost.how
        found |= {
            "quantity": f"{how.quantity:f}",
            "unit": how.unit,
            "rate": amount_text(how.rate),
            "share": f"{how.share:f}",
            "share_of": how.share_text,
            "basis": [
                {"text": one.text, "source": one.source, "confidence": one.confidence.value}
                for one in how.basis
            ],
        }
    if cost.parts:
        found["parts"] = [cost_document(part) for part in cost.parts]
    return found


def plan_cost_document(cost: PlanCost) -> dict[str, Any]:
    """What a plan costs, order by order and line by line."""
    return {
        "currency": cost.currency,
        "total": amount_text(cost.total),
        "orders": {order: amount_text(money) for order, money in cost.of_orders().items()},
        "lines": [_line_cost(line) for line in cost.lines],
        "not_costed": [
            {"line": one.line.id, "mark": one.line.mark, "count": one.count, "reason": one.reason}
            for one in cost.uncosted
        ],
        "doubts": list(cost.doubts),
    }


def _line_cost(line: LineCost) -> dict[str, Any]:
    return {
        "line": line.line.id,
        "mark": line.line.mark,
        "order": line.line.order,
        "pieces": line.pieces,
        "missing": line.missing,
        "substitutes": list(line.substitutes),
        "saw": line.group.saw,
        "saw_seconds": line.seconds.total_s,
        "bands": list(line.bands) if line.bands else None,
        "cost": cost_document(line.cost),
    }


def amount_text(money: Money) -> str:
    """The amount in full, without needless zeros behind the cent."""
    text = f"{money.amount:f}"
    if "." not in text:
        return text
    whole, part = text.split(".")
    kept = part.rstrip("0")
    return f"{whole}.{kept.ljust(2, '0')}" if part else whole


def _ends(span: Span3) -> tuple[Money, Money]:
    return span.low, span.high
