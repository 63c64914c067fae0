"""Saying what a line's pieces may be cut from instead: whoever speaks with the customer writes it down."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.reading import read_section
from kerfsmith.errors import InvalidValue, UnknownName, UnreadableText
from kerfsmith.shop.person import Person
from kerfsmith.units.told import Told, either, sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class AllowSubstitutes:
    """Each grade and section, as people write them, that may be taken instead; none: only what is ordered."""

    order_id: str
    line_id: str
    or_grades: tuple[str, ...] = ()
    or_sections: tuple[str, ...] = ()


def allow_substitutes(
    records: Records, told: AllowSubstitutes, catalog: Catalog, *, by: Person, at: datetime
) -> AllowSubstitutes | Refusal:
    """Keep what a line may be cut from instead, in place of what was said before; by the catalog's names.

    Plans made and runs released before stay as they are. Refused for a line that isn't on the book, a grade
    or section that can't be read, and one named twice or for itself.
    """

    def body(change: Change) -> AllowSubstitutes:
        order_id, line = change.floor.order_lines((told.line_id,)).get(told.line_id, ("", None))
        if line is None or order_id != told.order_id:
            raise Refused(
                "unknown-line",
                sentence(
                    "order {order_id} has no line {line_id} on the book",
                    order_id=told.order_id,
                    line_id=told.line_id,
                ),
            )
        grades = tuple(_read(text, lambda text: catalog.find_grade(text).name) for text in told.or_grades)
        sections = tuple(
            _read(text, lambda text: read_section(text, catalog, bare=None, decimal=None))
            for text in told.or_sections
        )
        try:
            allowed = replace(line, or_grades=grades, or_sections=sections)
        except InvalidValue as fault:
            raise Refused("named-twice", fault.said, "Name each other grade and section once") from fault
        change.put_substitutes(order_id, allowed)
        return replace(told, or_grades=grades, or_sections=tuple(section.name for section in sections))

    return act(
        records,
        Verb.ALLOW_SUBSTITUTES,
        body,
        answer_as=AllowSubstitutes,
        told=told,
        subject=told.line_id,
        by=by,
        at=at,
    )


def _read(text: str, read: Callable[[str], T]) -> T:
    try:
        return read(text)
    except UnreadableText as fault:
        raise Refused(
            "unreadable",
            sentence("{text} {problem}", text=f"{text!r}", problem=Told(fault.problem)),
            fault.remedy,
        ) from fault
    except UnknownName as fault:
        near = (
            sentence("Perhaps {near} is meant", near=either(fault.near))
            if fault.near
            else Told("Write it another way")
        )
        raise Refused(
            "unknown-name",
            sentence("no {kind} is called {text}", kind=Told(fault.kind), text=f"{text!r}"),
            near,
        ) from fault
