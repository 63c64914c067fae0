"""Sentences that carry their quantities and fields, so that each reader has his own measure and language.

A quantity stands in a sentence between two marks, its figure unrounded: ``a wall of ⟨3.2 mm⟩`` or
``⟨45.0 to 64.0 cm2/min⟩``. A sentence with fields stands between two others, its wording first and each field
after its name: ``⟦{saw} has no {what}⟬saw⟭HBE 320⟬what⟭⟦coolant⟧⟧``; a field may be a sentence itself.
:class:`Told` is all that as an English reader of metric sees it and keeps the marks for any other reader and
for the records.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from functools import reduce
from typing import Protocol, TypeVar, cast

from kerfsmith.errors import InvalidValue
from kerfsmith.units.length import Measure
from kerfsmith.units.show import (
    show_area,
    show_area_rate,
    show_chip,
    show_feed,
    show_force,
    show_mass,
    show_power,
    show_size,
    show_specific_force,
    show_speed,
    show_stiffness,
    show_stress,
    show_unit_power,
)

Value = TypeVar("Value")
_SHOWN: dict[str, Callable[[float, Measure], str]] = {
    "mm": show_size,
    "um": show_chip,
    "m/min": show_speed,
    "mm/min": show_feed,
    "cm2": show_area,
    "cm2/min": show_area_rate,
    "kW": show_power,
    "kW/(cm3/s)": show_unit_power,
    "N": show_force,
    "N/mm": show_stiffness,
    "MPa": show_stress,
    "N/mm2": show_specific_force,
    "kg": show_mass,
}
_FIGURE = r"-?\d[\d.e+-]*"
_MARKED = re.compile(rf"⟨({_FIGURE})(?: to ({_FIGURE}))? ({'|'.join(map(re.escape, _SHOWN))})⟩")


_OPENED, _CLOSED = "⟦", "⟧"
_PARTS = re.compile(r"(⟦|⟧|⟬(?:#\d+|[a-z]\w*)⟭)")
_SPAN = "{low} to {high}"
_FIELD = re.compile(r"\{(\w+)(\^?)\}")


class Wording(Protocol):
    """A language: English wordings are its keys. What it doesn't know it gives back in English."""

    def gettext(self, message: str, /) -> str:
        """The wording in this language."""

    def ngettext(self, one: str, many: str, count: int, /) -> str:
        """The wording that fits a count."""


class Told(str):
    """A sentence: as text what an English reader of metric sees, ``marked`` keeps quantities and fields.

    Text made from it (joined, cut, formatted) is plain text; use :func:`sentence`, :func:`joined` or
    :func:`marked` to make one sentence of several and keep what they carry.
    """

    marked: str

    def __new__(cls, text: str = "") -> "Told":
        """A sentence of text with marked quantities; plain text is a sentence without any."""
        whole = text.marked if isinstance(text, Told) else text
        made = super().__new__(cls, _said(whole, Measure.METRIC))
        made.marked = whole
        return made

    def __getnewargs__(self) -> tuple[str]:
        return (self.marked,)

    def in_measure(self, measure: Measure) -> str:
        """The sentence as an English reader of ``measure`` is told it."""
        return str(self) if measure is Measure.METRIC else _said(self.marked, measure)


def sentence(wording: str, /, **fields: object) -> Told:
    """A sentence that can be told in any language: ``wording`` names in ``{braces}`` what ``fields`` fill in.

    A field may hold marked quantities or be a sentence itself; ``{name^}`` begins it with a capital.
    ``wording`` is written out where this is called, since languages are gathered from the code.
    """
    return Told(f"{_OPENED}{wording}{_written(fields)}{_CLOSED}")


def how_many(one: str, many: str, count: int, /, **fields: object) -> Told:
    """Of two sentences, for one and for many, that which fits ``count``; both may name it as ``{count}``."""
    return Told(f"{_OPENED}{one}⟬#{count}⟭{many}{_written({'count': count, **fields})}{_CLOSED}")


def _written(fields: dict[str, object]) -> str:
    return "".join(f"⟬{name}⟭{_as_part(value)}" for name, value in fields.items())


def _as_part(value: object) -> str:
    """A field as it stands in a sentence; a sentence or a name of ours is marked, to be looked up."""
    text = value.marked if isinstance(value, Told) else str(value)
    whole = isinstance(value, Told | Enum) and text and not (_OPENED in text or "⟨" in text)
    return f"{_OPENED}{text}{_CLOSED}" if whole else text


def quantity(value: float, unit: str, to: float | None = None) -> str:
    """A quantity marked for a sentence, or a span of it; ``unit`` as in the names of fields (cm2/min).

    Raises InvalidValue for a unit that has no form in both measures.
    """
    if unit not in _SHOWN:
        raise InvalidValue(f"no reader is shown quantities in {unit!r}")
    span = "" if to is None else f" to {float(to)!r}"
    return f"⟨{float(value)!r}{span} {unit}⟩"


def has_measures(unit: str) -> bool:
    """Whether a unit has a form in both measures."""
    return unit in _SHOWN


def marked(text: str) -> str:
    """The sentence with its quantities and fields marked, to be made part of another; plain text as it is."""
    return _as_part(text)


def joined(between: str, texts: Iterable[str]) -> Told:
    """Several sentences as one that keeps their quantities and fields."""
    return Told(between.join(map(marked, texts)))


def either(texts: Iterable[str]) -> Told:
    """Names or sentences of which one will do."""
    return Told(reduce(lambda these, one: sentence("{these} or {one}", these=these, one=one), texts))


def together(texts: Iterable[str]) -> Told:
    """Names or sentences that hold all at once."""
    return Told(reduce(lambda these, one: sentence("{these} and {one}", these=these, one=one), texts))


def with_capital(text: str) -> Told:
    """A sentence begun with a capital."""
    return sentence("{text^}", text=Told(text))


def in_measure(text: str, measure: Measure) -> str:
    """A sentence as an English reader of ``measure`` is told it; plain text as it is."""
    return text.in_measure(measure) if isinstance(text, Told) else text


def in_language(text: str, measure: Measure, language: Wording) -> str:
    """A sentence as a reader of ``measure`` and ``language`` is told it; plain text is looked up whole."""
    whole = text.marked if isinstance(text, Told) else text
    if whole and _OPENED not in whole:
        whole = language.gettext(whole)
    return _said(whole, measure, language) if isinstance(text, Told) else whole


def each_said(value: Value, say: Callable[[Told], str]) -> Value:
    """What is to be shown or printed with every sentence in it said: dataclasses, tuples and texts."""
    found: object = value
    if isinstance(value, Told):
        found = say(value)
    elif isinstance(value, tuple):
        found = tuple(each_said(one, say) for one in value)
    elif is_dataclass(value) and not isinstance(value, type):
        found = replace(
            value, **{one.name: each_said(getattr(value, one.name), say) for one in fields(value)}
        )
    return cast(Value, found)


def kept(text: str) -> str:
    """A text as it was kept: a sentence where it carries marks, else a person's own, told as it is."""
    return Told(text) if _OPENED in text or "⟨" in text else text


def _said(text: str, measure: Measure, language: Wording | None = None) -> str:
    if _OPENED in text:
        text = _worded(iter(_PARTS.split(text)), language)

    def shown(found: re.Match[str]) -> str:
        low, high, unit = found.groups()
        show = _SHOWN[unit]
        first = show(float(low), measure)
        if high is None:
            return first
        last = show(float(high), measure)
        if first == last:
            return last
        figure, _, named = first.rpartition(" ")
        ends = {"low": figure if last.endswith(f" {named}") else first, "high": last}
        wording = language.gettext(_SPAN) if language else _SPAN
        return _FIELD.sub(lambda name: ends.get(name[1], name[0]), wording)

    return _MARKED.sub(shown, text)


def _worded(parts: Iterator[str], language: Wording | None) -> str:
    """The text with every sentence in it worded; a mark that belongs to none is a person's own."""
    found = ""
    while True:
        text, mark = _up_to_mark(parts, language)
        found += text + mark
        if not mark:
            return found


def _up_to_mark(parts: Iterator[str], language: Wording | None) -> tuple[str, str]:
    """Text up to the next mark that opens no sentence, and that mark; none at the end."""
    found = ""
    for part in parts:
        if part == _OPENED:
            found += _one_worded(parts, language)
        elif _PARTS.fullmatch(part):
            return found, part
        else:
            found += part
    return found, ""


def _one_worded(parts: Iterator[str], language: Wording | None) -> str:
    """The sentence just opened, its fields filled in."""
    wording, mark = _up_to_mark(parts, language)
    fields: dict[str, str] = {}
    while mark not in (_CLOSED, ""):
        name = mark[1:-1]
        fields[name], mark = _up_to_mark(parts, language)
    counted = next((name for name in fields if name.startswith("#")), "")
    if counted:
        many, count = fields.pop(counted), int(counted[1:])
        wording = language.ngettext(wording, many, count) if language else wording if count == 1 else many
    elif language and wording:
        wording = language.gettext(wording)

    def filled(name: re.Match[str]) -> str:
        text = fields.get(name[1], name[0])
        return text[:1].upper() + text[1:] if name[2] else text

    return _FIELD.sub(filled, wording)


NOTHING = Told()
"""No sentence."""
