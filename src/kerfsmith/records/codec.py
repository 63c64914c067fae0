"""Values to JSON documents and back, by the types of their dataclass fields."""

from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, cast

import cattrs
from cattrs.strategies import configure_tagged_union

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.pieces import Arc, Line
from kerfsmith.geometry.shapes import Shape
from kerfsmith.units.told import Told

Value = TypeVar("Value")


@cache
def _converter() -> cattrs.Converter:
    converter = cattrs.Converter()
    converter.register_unstructure_hook(date, lambda day: day.isoformat())
    converter.register_structure_hook(date, lambda text, _: date.fromisoformat(text))
    converter.register_unstructure_hook(datetime, lambda moment: moment.isoformat())
    converter.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    converter.register_unstructure_hook(Decimal, str)
    converter.register_structure_hook(Decimal, lambda text, _: Decimal(text))
    converter.register_unstructure_hook(Told, lambda text: text.marked)
    converter.register_structure_hook(Told, lambda text, _: Told(text))
    converter.register_structure_hook(float, lambda number, _: float(number))
    for union in (Line | Arc, Shape):
        configure_tagged_union(union, converter, tag_name="is")
    return converter


def to_document(value: object, of: Any) -> Any:
    """JSON-ready document of ``value``, whose type is ``of``."""
    return _converter().unstructure(value, unstructure_as=of)


def from_document(document: Any, of: type[Value]) -> Value:
    """Value of type ``of`` from what `to_document` made. Raises cattrs' errors on any other form."""
    return _converter().structure(document, of)


def section_document(section: Section) -> dict[str, Any]:
    """Document of a section."""
    return cast(dict[str, Any], to_document(section, Section))


def read_section_document(document: dict[str, Any]) -> Section:
    """Section of a document."""
    return from_document(document, Section)
