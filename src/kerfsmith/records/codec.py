"""Values to JSON documents and back, by the types of their dataclass fields."""

from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, cast

import cattrs
from cattrs.gen import make_dict_unstructure_fn
from cattrs.strategies import configure_tagged_union

from kerfsmith.catalog.section import Section
from kerfsmith.costing.reckoning import Basis, Cost, Kind, Reckoning, Sway
from kerfsmith.geometry.pieces import Arc, Line
from kerfsmith.geometry.shapes import Shape
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told

Value = TypeVar("Value")


@cache
def _converter() -> cattrs.Converter:
    converter = cattrs.Converter(unstruct_collection_overrides={frozenset: sorted})
    converter.register_unstructure_hook(date, lambda day: day.isoformat())
    converter.register_structure_hook(date, lambda text, _: date.fromisoformat(text))
    converter.register_unstructure_hook(datetime, lambda moment: moment.isoformat())
    converter.register_structure_hook(datetime, lambda text, _: datetime.fromisoformat(text))
    converter.register_unstructure_hook(time, lambda clock: clock.isoformat())
    converter.register_structure_hook(time, lambda text, _: time.fromisoformat(text))
    # JSON knows text alone as a key.
    converter.register_unstructure_hook_func(_is_by_pair, lambda by: [[*pair, n] for pair, n in by.items()])
    converter.register_structure_hook_func(
        _is_by_pair, lambda rows, _: {(before, after): n for before, after, n in rows}
    )
    converter.register_unstructure_hook(Decimal, str)
    converter.register_structure_hook(Decimal, lambda text, _: Decimal(text))
    converter.register_unstructure_hook(Told, lambda text: text.marked)
    converter.register_structure_hook(Told, lambda text, _: Told(text))
    converter.register_structure_hook(float, lambda number, _: float(number))
    for union in (Line | Arc, Shape):
        configure_tagged_union(union, converter, tag_name="is")
    _know_costs(converter)
    return converter


def _know_costs(converter: cattrs.Converter) -> None:
    """A cost holds costs, which cattrs doesn't follow by itself. What is as by default is left out."""
    for of in (Basis, Reckoning):
        short = make_dict_unstructure_fn(of, converter, _cattrs_omit_if_default=True)
        converter.register_unstructure_hook(of, short)

    def told(cost: Cost) -> dict[str, Any]:
        found: dict[str, Any] = {"name": cost.name.marked, "kind": cost.kind.value}
        found["amount"] = converter.unstructure(cost.amount, Money)
        if cost.how is not None:
            found["how"] = converter.unstructure(cost.how, Reckoning)
        if cost.parts:
            found["parts"] = [told(part) for part in cost.parts]
        if cost.own_sways:
            found["own_sways"] = converter.unstructure(cost.own_sways, tuple[Sway, ...])
        return found

    def read(document: dict[str, Any], _: object = None) -> Cost:
        how = document.get("how")
        return Cost(
            Told(document["name"]),
            Kind(document["kind"]),
            converter.structure(document["amount"], Money),
            None if how is None else converter.structure(how, Reckoning),
            tuple(read(part) for part in document.get("parts", ())),
            converter.structure(document.get("own_sways", ()), tuple[Sway, ...]),
        )

    converter.register_unstructure_hook(Cost, told)
    converter.register_structure_hook(Cost, read)


def _is_by_pair(of: Any) -> bool:
    return bool(of == Mapping[tuple[str, str], int])


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
