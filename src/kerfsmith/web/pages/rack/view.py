"""What the rack's page shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import groupby

from markupsafe import Markup

from kerfsmith.shop.rack import Bar, BarKind, Rack
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_money
from kerfsmith.web.drawing.bar import stock_strip
from kerfsmith.web.drawing.section import section_drawing
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say, say_many


@dataclass(frozen=True, slots=True)
class StockRow:
    """Equal bars of the rack."""

    count: str
    id: str
    place: str
    picture: Markup


@dataclass(frozen=True, slots=True)
class StockGroup:
    """Bars of one grade and section."""

    anchor: str
    name: str
    words: str
    drawing: Markup
    rows: tuple[StockRow, ...]


@dataclass(frozen=True, slots=True)
class RackPage:
    """The whole rack."""

    words: str
    groups: tuple[StockGroup, ...]


def rack_page(rack: Rack, promised: Mapping[str, int], currency: str, reading: Reading) -> RackPage:
    """All bars, by grade and section, remnants first; ``promised`` says how many open runs will take."""
    ordered = sorted(rack.bars, key=lambda bar: (bar.grade, bar.section.key))
    groups = [tuple(found) for _, found in groupby(ordered, key=lambda bar: (bar.grade, bar.section.key))]
    bars = sum(bar.count or 0 for bar in rack.bars if bar.kind is BarKind.BAR)
    remnants = sum(bar.count or 0 for bar in rack.bars if bar.kind is BarKind.REMNANT)
    return RackPage(
        words=say("Nothing lies on the rack. Choose a rack list below; without it every bar is bought.")
        if not groups
        else say(
            "{bars} and {remnants} of {grades_and_sections}.",
            bars=say_many("1 bar", "{count} bars", bars),
            remnants=say_many("1 remnant", "{count} remnants", remnants),
            grades_and_sections=say_many("1 grade and section", "{count} grades and sections", len(groups)),
        ),
        groups=tuple(_group(rack, found, promised, at, currency, reading) for at, found in enumerate(groups)),
    )


def _group(
    rack: Rack, bars: tuple[Bar, ...], promised: Mapping[str, int], at: int, currency: str, reading: Reading
) -> StockGroup:
    first = bars[0]
    longest_um = max(bar.length_um for bar in bars)
    whole_um = sum((bar.count or 0) * bar.length_um for bar in bars)
    return StockGroup(
        anchor=f"s{at}",
        name=f"{first.grade} · {first.section.name}",
        words=say("{whole} in all", whole=reading.stretch(whole_um)) if whole_um else say("none on the rack"),
        drawing=section_drawing(
            first.section.shape.outline(),
            name=first.section.name,
            reading=reading,
            key=f"s{at}-section",
            width=150,
            height=130,
        ),
        rows=tuple(
            StockRow(
                _count(bar),
                bar.id,
                _place(bar, promised.get(bar.id, 0), currency, reading),
                stock_strip(bar, longest_um=longest_um, reading=reading, key=f"s{at}-b{n}"),
            )
            for n, bar in enumerate(rack.holding(first.grade, first.section))
        ),
    )


def _count(bar: Bar) -> str:
    return say("any number") if bar.count is None else f"{bar.count} ×"


def _place(bar: Bar, promised: int, currency: str, reading: Reading) -> str:
    parts = [
        reading.length(bar.length_um),
        "" if bar.kind is BarKind.BAR else say(str(bar.kind)),
        say("{count} promised to runs", count=promised) if promised else "",
        say("heat {heat}", heat=bar.heat) if bar.heat else "",
        say("at {place}", place=bar.place) if bar.place else "",
        say("far end good") if bar.end_is_good else "",
        say("{price} each", price=show_money(Money(bar.price, currency))) if bar.price is not None else "",
    ]
    return ", ".join(part for part in parts if part)
