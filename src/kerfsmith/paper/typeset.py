"""Ticket and label values to PDF bytes.

The values travel as JSON in typst's ``sys_inputs`` and the templates set them as text, so that no mark or
note can ever be read as a command. The same values, title and date give the same bytes: the fonts are
shipped, the system's are not looked at, and the document's date is an argument.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Literal

import typst

from kerfsmith.errors import InvalidValue
from kerfsmith.paper.labels import Label
from kerfsmith.paper.lettering import FONTS, printable
from kerfsmith.paper.qr import qr_svg
from kerfsmith.paper.stock import stock_named
from kerfsmith.paper.ticket_page import TicketPage

Paper = Literal["a4", "us-letter"]
_TEMPLATES = Path(__file__).parent / "templates"


def ticket_pdf(pages: Sequence[TicketPage], *, paper: Paper = "a4", title: str, date: date) -> bytes:
    """A PDF of the tickets, each beginning on a page of its own; ``date`` is the document's, from the caller.

    Raises InvalidValue where there is no ticket or the paper is neither a4 nor us-letter.
    """
    if not pages:
        raise InvalidValue("there is no ticket to print")
    if paper not in ("a4", "us-letter"):
        raise InvalidValue(f"paper is a4 or us-letter, not {paper!r}")
    tickets = [asdict(page) | {"qr": qr_svg(page.code)} for page in pages]
    return typeset("ticket.typ", {"tickets": tickets, "paper": paper}, title, date)


def labels_pdf(
    labels: Sequence[Label], *, stock: str = "a4-24", skip: int = 0, title: str, date: date
) -> bytes:
    """A PDF of the labels on ``stock``, the first ``skip`` places of the first sheet left empty (already
    used).

    Raises UnknownName for a stock that isn't known, InvalidValue where there is no label or ``skip`` is out
    of range.
    """
    sheet = stock_named(stock)
    if not labels:
        raise InvalidValue("there is no label to print")
    if not 0 <= skip < sheet.per_page:
        raise InvalidValue(f"{skip} places can't be skipped on a sheet of {sheet.per_page}")
    printed = [asdict(label) | {"qr": qr_svg(label.code)} for label in labels]
    return typeset("labels.typ", {"labels": printed, "stock": asdict(sheet), "skip": skip}, title, date)


def typeset(template: str, values: Mapping[str, object], title: str, day: date) -> bytes:
    """The PDF of one of the templates with ``values`` under ``sys.inputs.data``, its title and its date."""
    data = {**values, "title": title, "date": [day.year, day.month, day.day]}
    compiler = typst.Compiler(
        str(_TEMPLATES / template),
        root=str(_TEMPLATES),
        font_paths=_fonts(),
        sys_inputs={"data": json.dumps(_printable(data), ensure_ascii=False)},
    )
    made = compiler.compile(
        format="pdf",
        pdf_standards="a-2b",
        timestamp=int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()),
    )
    assert isinstance(made, bytes)
    return made


@cache
def _fonts() -> typst.Fonts:
    """The shipped fonts and those inside typst, never the machine's."""
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(FONTS)])


def _printable(value: object) -> object:
    """``value`` with every text in it made fit for paper."""
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, Mapping):
        return {key: _printable(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_printable(one) for one in value]
    return value
