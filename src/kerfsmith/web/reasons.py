"""Reasons and sources as pages show them: what set a number, its formula, where it stands, how sure."""

from collections.abc import Callable
from dataclasses import dataclass

from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.cutting.setting import Reason
from kerfsmith.web.reading import Reading
from kerfsmith.web.sheet import link
from kerfsmith.web.words import say, to_say

CONFIDENCE = {
    Confidence.READ: to_say("read in the source"),
    Confidence.ABSTRACT: to_say("from the source's abstract only"),
    Confidence.DERIVED: to_say("derived from the formula"),
    Confidence.MEMORY_GOOD: to_say("from memory, well known"),
    Confidence.MEMORY: to_say("from memory, to be checked"),
    Confidence.MEMORY_LOW: to_say("low: a placeholder until the shop has measured it"),
    Confidence.COMMON_PRACTICE: to_say("common practice, no published source"),
    Confidence.SHOP: to_say("the shop's own figure"),
}

SHORT = {
    Confidence.READ: to_say("read"),
    Confidence.ABSTRACT: to_say("abstract only"),
    Confidence.DERIVED: "derived",
    Confidence.MEMORY_GOOD: to_say("memory, good"),
    Confidence.MEMORY: "memory",
    Confidence.MEMORY_LOW: "low",
    Confidence.COMMON_PRACTICE: to_say("common practice"),
    Confidence.SHOP: to_say("shop's own"),
}


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """One reason, ready to be read."""

    about: str
    text: str
    formula: str
    source: str
    source_href: str
    where: str
    confidence: str
    is_low: bool


@dataclass(frozen=True, slots=True)
class FigureCell:
    """One sourced figure: its value, the range it lies in, and where it comes from."""

    value: str
    range: str
    source: str
    source_href: str
    where: str
    confidence: str
    short_confidence: str
    is_low: bool
    note: str


def reason_line(reason: Reason, reading: Reading) -> ReasonLine:
    """A reason of the engine as a page shows it to a reader."""
    return ReasonLine(
        about=say(reason.about),
        text=reading.told(reason.text),
        formula=reason.formula,
        source=reason.source,
        source_href=source_href(reason.source),
        where=say(reason.where),
        confidence=confidence_words(reason.confidence),
        is_low=reason.confidence.is_low,
    )


def figure_cell(figure: Figure, shown: str, low: str, high: str) -> FigureCell:
    """A figure with its value and range already in the reader's measure."""
    return FigureCell(
        value=shown,
        range=say("{low} to {high}", low=low, high=high) if figure.low < figure.high else "",
        source=figure.source,
        source_href=source_href(figure.source),
        where=say(figure.where),
        confidence=confidence_words(figure.confidence),
        short_confidence=say(SHORT[figure.confidence]),
        is_low=figure.confidence.is_low,
        note=say(figure.note),
    )


def source_href(key: str) -> str:
    """Where a source stands in the bibliography."""
    return f"/sources#{link(key)[1:]}" if key else ""


def confidence_steps() -> tuple[tuple[str, str], ...]:
    """Every short word of confidence with what it means, the surest first."""
    return tuple((say(SHORT[step]), say(CONFIDENCE[step])) for step in CONFIDENCE)


def confidence_words(confidence: Confidence) -> str:
    """How sure a figure is, in words."""
    return say(CONFIDENCE[confidence])


def shown_figure(figure: Figure, reading: Reading) -> FigureCell:
    """A figure in the reader's measure where its unit has another one, else as it stands."""
    show = _MEASURED.get(figure.unit)
    if show is not None:
        value, low, high = (show(reading, number) for number in (figure.value, figure.low, figure.high))
    else:
        unit = "" if figure.unit == "1" else f" {say(_UNIT_WORDS.get(figure.unit, figure.unit))}"
        value, low, high = (f"{number:.4g}{unit}" for number in (figure.value, figure.low, figure.high))
    return figure_cell(figure, value, low, high)


_MEASURED: dict[str, Callable[[Reading, float], str]] = {
    "m/min": Reading.speed,
    "cm2/min": Reading.area_rate,
    "cm2": Reading.area,
    "mm": Reading.size,
    "um": Reading.chip,
}
_UNIT_WORDS = {
    "kg/m3": "kg/m³",
    "N/mm2": "N/mm²",
    "kW/(cm3/s)": to_say("kW per cm³/s"),
    "currency/m": to_say("per metre"),
}
