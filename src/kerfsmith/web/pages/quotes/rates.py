"""The shop's rates as a form shows them and as it sends them back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.rates_reading import read_rates
from kerfsmith.errors import Finding
from kerfsmith.web.naming import band_words, pitch_words
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import retell, say, to_say

HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class RateRow:
    """One rate. ``is_own``: the shop has set it; else it is a placeholder that waits to be replaced."""

    name: str
    label: str
    unit: str
    value: str
    is_own: bool
    fault: str = ""


@dataclass(frozen=True, slots=True)
class SpanRow:
    """A rate with its ends."""

    name: str
    label: str
    low: str
    likely: str
    high: str
    is_own: bool
    fault: str = ""


@dataclass(frozen=True, slots=True)
class RatesPage:
    """All rates. ``may_set`` is whether the reader sets them."""

    currency: str
    plain: tuple[RateRow, ...]
    remnant: tuple[RateRow, ...]
    remnant_is_own: bool
    saws: tuple[RateRow, ...]
    bands: tuple[RateRow, ...]
    scrap: SpanRow
    metal: tuple[SpanRow, ...]
    may_set: bool
    faults: tuple[str, ...]
    done: bool

    @property
    def placeholders(self) -> int:
        """How many rows are marked as placeholders."""
        rows: list[RateRow | SpanRow] = [*self.plain, *self.saws, *self.bands, *self.remnant]
        rows += [self.scrap, *self.metal]
        return sum(not row.is_own for row in rows)


_PLAIN = (
    ("people_hour", to_say("An hour of people"), "{currency}/h", 1),
    ("attendance", to_say("Share of a person that a running saw takes"), "%", 100),
    ("hands_on", to_say("Share of a person that loading and set-up take"), "%", 100),
    ("set_up_s", to_say("Setting up a run"), "s", 1),
    ("handling_per_bar", to_say("Bringing a bar to the saw"), "{currency}", 1),
    ("handling_per_line", to_say("Packing and setting out an order line"), "{currency}", 1),
    ("certificate", to_say("Certificate, each heat"), "{currency}", 1),
    ("label", to_say("Label, each piece"), "{currency}", 1),
    ("margin", to_say("Margin, share of the price"), "%", 100),
)
_REMNANT = (
    ("least_mm", to_say("A remnant is worth something from")),
    ("full_mm", to_say("and is worth most from")),
    ("least_share", to_say("Its worth there, share of new bar by length")),
    ("full_share", to_say("Its worth at most")),
)


def rates_page(
    rates: Rates,
    saws: Sequence[SawSheet],
    bands: Sequence[Band],
    reading: Reading,
    *,
    may_set: bool,
    faults: Sequence[Finding] = (),
    problem: str = "",
    done: bool = False,
) -> RatesPage:
    """The rates in the reader's measure."""
    by_field = {finding.field: retell(finding.problem) for finding in faults}
    scrap = rates.scrap
    families = rates.metal_per_kg
    return RatesPage(
        currency=rates.currency,
        plain=tuple(
            RateRow(
                name,
                say(label),
                unit.format(currency=rates.currency),
                number(getattr(rates, name) * times),
                rates.is_own(name),
                by_field.get(name, ""),
            )
            for name, label, unit, times in _PLAIN
        ),
        remnant=_remnant(rates, reading),
        remnant_is_own=rates.is_own("remnant"),
        saws=tuple(
            RateRow(
                f"saw.{saw.id}",
                saw.name,
                f"{rates.currency}/h",
                number(rates.hour_of(saw)),
                saw.id in rates.saw_hour,
            )
            for saw in saws
        ),
        bands=tuple(
            RateRow(
                f"band.{band.id}",
                f"{band.id}: {band_words(band, reading)}, {pitch_words(band)}",
                f"{rates.currency}/m",
                number(rates.band_per_m(band).value),
                band.id in rates.band_price_per_m,
            )
            for band in bands
        ),
        scrap=SpanRow(
            "scrap",
            say("Pieces lost, share of them"),
            number(scrap.low * HUNDRED),
            number(scrap.value * HUNDRED),
            number(scrap.high * HUNDRED),
            rates.is_own("scrap"),
            by_field.get("scrap", ""),
        ),
        metal=tuple(
            SpanRow(
                f"metal.{family}",
                family,
                number(span.low),
                number(span.value),
                number(span.high),
                rates.is_own("metal_per_kg"),
            )
            for family, span in families.items()
        ),
        may_set=may_set,
        faults=tuple(
            f"{finding.field}: {finding.read!r} {retell(finding.problem)}. {retell(finding.remedy)}."
            for finding in faults
        )
        + ((problem,) if problem else ()),
        done=done,
    )


def _remnant(rates: Rates, reading: Reading) -> tuple[RateRow, ...]:
    rule, own = rates.remnant, rates.is_own("remnant")
    unit = reading.length_unit
    per_um = Decimal(1000) if reading.is_metric else Decimal(25_400)
    values = (
        (number((rule.least_um / per_um).quantize(Decimal("0.001"))), unit),
        (number((rule.full_um / per_um).quantize(Decimal("0.001"))), unit),
        (number(rule.least_share * HUNDRED), "%"),
        (number(rule.full_share * HUNDRED), "%"),
    )
    return tuple(
        RateRow(f"remnant.{name}", say(label), unit, value, own)
        for (name, label), (value, unit) in zip(_REMNANT, values, strict=True)
    )


def rates_told(
    texts: Mapping[str, str],
    now: Rates,
    saws: Sequence[SawSheet],
    bands: Sequence[Band],
    reading: Reading,
) -> tuple[Rates, tuple[Finding, ...]]:
    """The rates that a form sends, over those that hold ``now``; and what of it can't be used.

    What was changed, or ticked as the shop's own, is the shop's own from now on.
    """
    shown = rates_page(now, saws, bands, reading, may_set=True)
    table: dict[str, object] = {}
    currency = texts.get("currency", "").strip().upper()
    if currency and currency != now.currency:
        table["currency"] = currency
    scale = {name: times for name, _, _, times in _PLAIN}
    for row in shown.plain:
        if _is_told(texts, row.name, row.value):
            table[row.name] = _over(texts[row.name], scale[row.name])
    if any(_is_told(texts, row.name, row.value) for row in shown.remnant) or texts.get("own.remnant"):
        per = Decimal(1) if reading.is_metric else Decimal("25.4")
        values = [texts.get(row.name, row.value) for row in shown.remnant]
        table["remnant"] = {
            "least_mm": _over(values[0], 1, per),
            "full_mm": _over(values[1], 1, per),
            "least_share": _over(values[2], 100),
            "full_share": _over(values[3], 100),
        }
    if _span_told(texts, shown.scrap):
        table["scrap"] = _span(texts, shown.scrap, 100)
    if any(_span_told(texts, row) for row in shown.metal) or texts.get("own.metal"):
        table["metal_per_kg"] = {row.label: _span(texts, row, 1) for row in shown.metal}
    for name, known, rows in (
        ("saw_hour", now.saw_hour, shown.saws),
        ("band_price_per_m", now.band_price_per_m, shown.bands),
    ):
        changed = {
            row.name.partition(".")[2]: texts[row.name]
            for row in rows
            if _is_told(texts, row.name, row.value)
        }
        if changed:
            table[name] = {**known, **changed}
    return read_rates(say("the form"), table, now)


def _is_told(texts: Mapping[str, str], name: str, shown: str) -> bool:
    text = texts.get(name)
    return text is not None and bool(text.strip() != shown or texts.get(f"own.{name}"))


def _span_told(texts: Mapping[str, str], row: SpanRow) -> bool:
    parts = (("low", row.low), ("likely", row.likely), ("high", row.high))
    changed = any(texts.get(f"{row.name}.{end}", shown).strip() != shown for end, shown in parts)
    return changed or bool(texts.get(f"own.{row.name}"))


def _span(texts: Mapping[str, str], row: SpanRow, over: int) -> dict[str, object]:
    parts = (("low", row.low), ("likely", row.likely), ("high", row.high))
    return {end: _over(texts.get(f"{row.name}.{end}", shown), over) for end, shown in parts}


def _over(text: str, over: int, times: Decimal = Decimal(1)) -> object:
    """The figure of a text over ``over``; the text itself where it is none, for a finding to show."""
    plain = text.strip().replace(",", ".")
    try:
        return Decimal(plain) * times / over
    except InvalidOperation:
        return text


def number(value: Decimal) -> str:
    """A figure without needless zeros."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
