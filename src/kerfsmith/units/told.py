"""Sentences that carry quantities, so that each reader is told them in his own measure.

A quantity stands in a sentence between two marks, its figure unrounded: ``a wall of ⟨3.2 mm⟩`` or
``⟨45.0 to 64.0 cm2/min⟩``. :class:`Told` is that sentence as a metric reader sees it and keeps the marks for
any other reader and for the records.
"""

import re
from collections.abc import Callable, Iterable

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


class Told(str):
    """A sentence: as text it is what a metric reader sees, ``marked`` is the sentence with its quantities.

    Text made from it (joined, cut, formatted) is plain text; use :func:`marked` to make one sentence of
    several and keep their quantities.
    """

    marked: str

    def __new__(cls, text: str = "") -> "Told":
        """A sentence of text with marked quantities; plain text is a sentence without any."""
        whole = marked(text)
        made = super().__new__(cls, _said(whole, Measure.METRIC))
        made.marked = whole
        return made

    def __getnewargs__(self) -> tuple[str]:
        return (self.marked,)

    def in_measure(self, measure: Measure) -> str:
        """The sentence as a reader of ``measure`` is told it."""
        return str(self) if measure is Measure.METRIC else _said(self.marked, measure)


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
    """The sentence with its quantities marked, to be made part of another; plain text as it is."""
    return text.marked if isinstance(text, Told) else text


def joined(between: str, texts: Iterable[str]) -> Told:
    """Several sentences as one that keeps their quantities."""
    return Told(between.join(map(marked, texts)))


def in_measure(text: str, measure: Measure) -> str:
    """A sentence as a reader of ``measure`` is told it; plain text as it is."""
    return text.in_measure(measure) if isinstance(text, Told) else text


def _said(text: str, measure: Measure) -> str:
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
        return f"{figure if last.endswith(f' {named}') else first} to {last}"

    return _MARKED.sub(shown, text)
