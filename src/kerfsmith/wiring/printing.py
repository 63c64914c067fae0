"""Tickets and labels of a plan as PDF."""

from collections.abc import Iterable, Sequence
from datetime import date

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.errors import InvalidValue
from kerfsmith.paper.labels import piece_labels, remnant_labels
from kerfsmith.paper.ticket import ticket
from kerfsmith.paper.typeset import labels_pdf, ticket_pdf
from kerfsmith.planning.plan import Plan, PlanGroup
from kerfsmith.shop.order import OrderLine
from kerfsmith.units.length import Measure

LABEL_STOCK = {"a4": "a4-24", "us-letter": "letter-30"}


def print_tickets(
    plan: Plan,
    groups: Sequence[PlanGroup],
    catalog: Catalog,
    lines: Iterable[OrderLine],
    *,
    measure: Measure,
    paper: str,
    day: date,
) -> bytes:
    """A ticket for each of ``groups`` that can be cut. ``paper`` is ``a4`` or ``us-letter``.

    Raises InvalidValue where none of them can.
    """
    wanted = tuple(lines)
    pages = [
        ticket(
            plan,
            group,
            catalog.find_saw(group.saw),
            catalog.find_grade(group.grade),
            measure=measure,
            lines=wanted,
        )
        for group in groups
        if group.settings and group.bars
    ]
    if paper not in LABEL_STOCK:
        raise InvalidValue(f"paper is {' or '.join(LABEL_STOCK)}, not {paper}")
    return ticket_pdf(
        pages, paper="a4" if paper == "a4" else "us-letter", title=f"Saw tickets: {plan.name}", date=day
    )


def print_labels(
    plan: Plan,
    groups: Sequence[PlanGroup],
    lines: Iterable[OrderLine],
    *,
    measure: Measure,
    paper: str,
    day: date,
) -> bytes:
    """A label for each piece and each remnant of ``groups``, on the sheet usual for ``paper``.

    Raises InvalidValue where there is nothing to label.
    """
    wanted = tuple(lines)
    labels = [
        label
        for group in groups
        for label in (
            *piece_labels(plan, group, measure=measure, lines=wanted),
            *remnant_labels(plan, group, measure=measure),
        )
    ]
    if paper not in LABEL_STOCK:
        raise InvalidValue(f"paper is {' or '.join(LABEL_STOCK)}, not {paper}")
    return labels_pdf(labels, stock=LABEL_STOCK[paper], title=f"Labels: {plan.name}", date=day)
