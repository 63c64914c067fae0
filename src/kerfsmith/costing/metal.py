"""What the metal of a plan costs: bars bought, bars and remnants off the rack, less what is put back."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade
from kerfsmith.costing.rates import Rates, Span
from kerfsmith.costing.reckoning import Basis, Cause, Cost, Driver, Kind, Reckoning, Sway, exact, reckoned
from kerfsmith.planning.plan import PlanGroup, PlannedBar
from kerfsmith.shop.rack import Bar, BarKind
from kerfsmith.units.length import UM_PER_MM
from kerfsmith.units.told import Told, how_many, sentence

_UM_PER_M = 1000 * UM_PER_MM
_WORDS = {
    BarKind.BAR: Told("from stock"),
    BarKind.REMNANT: Told("remnant from the rack"),
    BarKind.TO_BUY: Told("to be bought"),
}
_ORDER = (BarKind.TO_BUY, BarKind.BAR, BarKind.REMNANT)


@dataclass(frozen=True, slots=True)
class BarPrice:
    """What one bar is charged at, and its length of new bar at: ``per_m`` values what is put back."""

    price: Span
    per_m: Span
    basis: Basis


class Metal:
    """Prices of one group's bars, from the rack, else from the rates' price of metal by weight."""

    def __init__(self, group: PlanGroup, grade: Grade, rack: Sequence[Bar], rates: Rates) -> None:
        self._group, self._grade, self._rates = group, grade, rates
        alike = [bar for bar in rack if bar.grade == group.grade and bar.section.key == group.section.key]
        self._by_id = {bar.id: bar for bar in alike}
        whole = [bar for bar in alike if bar.kind is not BarKind.REMNANT and bar.price is not None]
        self._like = max(whole, key=lambda bar: (bar.length_um, bar.id), default=None)

    def price_of(self, bar: PlannedBar) -> BarPrice | None:
        """What a bar is charged at; None where nobody has said what it costs.

        Its own price on the rack; a bar to be bought by length as the longest priced one there; a remnant
        without a price at what it would be credited with when put back; else by weight.
        """
        kept = self._by_id.get(bar.bar_id)
        new = self._new_per_m(kept)
        if kept is not None and kept.price is not None:
            own = Span.sure(kept.price)
            per_m = _over(own, _m(kept.length_um) * self._worth(kept))
            text = sentence("price on the rack list, {bar}", bar=kept.id)
            return BarPrice(own, per_m, Basis(text, "shop", Confidence.SHOP))
        if new is None:
            return None
        whole = _scaled(new, _m(bar.length_um))
        if bar.kind is BarKind.REMNANT:
            share = self._rates.remnant.share(bar.length_um)
            text = sentence(
                "worth what it was put back at: {share} of its length of bar", share=f"{share:.0%}"
            )
            return BarPrice(_scaled(whole, share), new, Basis(text, "shop", Confidence.SHOP))
        return BarPrice(whole, new, self._new_basis())

    def _worth(self, kept: Bar) -> Decimal:
        """Share of new bar that a rack entry's price stands for.

        A remnant's price is taken to be its worth, so that what is left of it is never worth more than that.
        """
        if kept.kind is not BarKind.REMNANT:
            return Decimal(1)
        return self._rates.remnant.share(kept.length_um) or Decimal(1)

    def _new_per_m(self, kept: Bar | None) -> Span | None:
        """A metre of new bar."""
        if kept is not None and kept.price is not None and kept.kind is not BarKind.REMNANT:
            return _over(Span.sure(kept.price), _m(kept.length_um))
        if self._like is not None and self._like.price is not None:
            return _over(Span.sure(self._like.price), _m(self._like.length_um))
        per_kg = self._rates.metal_of(self._grade)
        return _scaled(per_kg, exact(self._group.mass_kg_per_m)) if per_kg is not None else None

    def _new_basis(self) -> Basis:
        if self._like is not None:
            text = sentence(
                "by length as {bar}, {price} for {metres} m",
                bar=self._like.id,
                price=self._like.price,
                metres=_m(self._like.length_um),
            )
            return Basis(text, "shop", Confidence.SHOP)
        per_kg = self._rates.metal_of(self._grade)
        assert per_kg is not None
        mass = sentence(
            "{mass} kg/m at {price} {currency}/kg",
            mass=f"{self._group.mass_kg_per_m:.2f}",
            price=per_kg.value,
            currency=self._rates.currency,
        )
        if self._rates.is_own("metal_per_kg"):
            return Basis(mass, "shop", Confidence.SHOP)
        return Basis(
            sentence("{mass}, a placeholder of the house", mass=mass), "house", Confidence.MEMORY_LOW
        )


def unpriced(metal: Metal, bars: Iterable[PlannedBar]) -> tuple[str, ...]:
    """Ids of the bars that have no price."""
    return tuple(dict.fromkeys(bar.bar_id for bar in bars if metal.price_of(bar) is None))


def metal_costs(
    metal: Metal, bars: Sequence[PlannedBar], rates: Rates, share: Decimal, share_text: Told
) -> list[Cost]:
    """A line for each kind of bar taken and one for each remnant put back, with their ``share`` of the group.

    Every bar must have a price.
    """
    together: dict[tuple[str, int], list[PlannedBar]] = {}
    for bar in bars:
        together.setdefault((bar.bar_id, bar.length_um), []).append(bar)
    ordered = sorted(together.values(), key=lambda alike: _ORDER.index(alike[0].kind))
    lines = [_taken(metal, alike, rates, share, share_text) for alike in ordered]
    return lines + [_credit(metal, bar, rates, share, share_text) for bar in bars if bar.keep]


def _taken(metal: Metal, alike: Sequence[PlannedBar], rates: Rates, share: Decimal, share_text: Told) -> Cost:
    first, count = alike[0], sum(bar.times for bar in alike)
    price = metal.price_of(first)
    assert price is not None
    name = sentence(
        "{bar}, {metres} m, {kind}",
        bar=first.bar_id,
        metres=f"{_m(first.length_um).normalize():f}",
        kind=_WORDS[first.kind],
    )
    how = Reckoning(
        Decimal(count),
        Told("bar"),
        rates.money(price.price.value),
        Driver.METAL,
        (price.basis,),
        share,
        share_text,
    )
    return reckoned(name, Kind.MATERIAL, how, _swayed(price.price, count * share))


def _credit(metal: Metal, bar: PlannedBar, rates: Rates, share: Decimal, share_text: Told) -> Cost:
    price = metal.price_of(bar)
    assert price is not None
    worth = rates.remnant.share(bar.remnant_um)
    metres = _m(bar.remnant_um) * bar.times
    text = sentence("worth {share} of its length of bar: the longer, the more use", share=f"{worth:.1%}")
    basis = Basis(text, "shop" if rates.is_own("remnant") else "house", Confidence.COMMON_PRACTICE)
    how = Reckoning(
        -metres, Told("m"), rates.money(price.per_m.value * worth), Driver.METAL, (basis,), share, share_text
    )
    name = how_many(
        "put back: {metres} m of {bar}",
        "put back: {count} x {metres} m of {bar}",
        bar.times,
        metres=f"{_m(bar.remnant_um).normalize():f}",
        bar=bar.bar_id,
    )
    # Dearer metal makes the credit larger, which brings the cost down: set against the bars' own sway.
    return reckoned(name, Kind.MATERIAL, how, _swayed(price.per_m, -metres * worth * share))


def _swayed(span: Span, factor: Decimal) -> list[Sway]:
    return [Sway(Cause.METAL_PRICE, (span.value - span.low) * factor, (span.high - span.value) * factor)]


def _scaled(span: Span, factor: Decimal) -> Span:
    return Span(span.low * factor, span.value * factor, span.high * factor)


def _over(span: Span, divisor: Decimal) -> Span:
    return Span(span.low / divisor, span.value / divisor, span.high / divisor)


def _m(length_um: int) -> Decimal:
    return Decimal(length_um) / _UM_PER_M
