"""A price unfolded line by line, as it is read: each part with how it is reckoned, on what basis, and what it
comes to, made to fit the sum above it."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.costing.price import Price
from kerfsmith.costing.reckoning import Basis, Cost, Reckoning
from kerfsmith.costing.shown import apportioned, rounded
from kerfsmith.units.money import Money
from kerfsmith.units.show import show_money
from kerfsmith.units.told import NOTHING, Told, joined, sentence

DECIMALS = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class ReckoningRow:
    """One line of a cost unfolded: ``depth`` from 0, how it is reckoned, on what basis, and its amount."""

    depth: int
    name: Told
    how: Told
    basis: Told
    amount: str


@dataclass(frozen=True, slots=True)
class Unfolded:
    """One line offered, unfolded into its reckoning."""

    title: str
    price: str
    shares: tuple[Told, ...]
    """What the line's shares of the run are taken by."""
    rows: tuple[ReckoningRow, ...]
    causes: tuple[tuple[Told, str, str], ...]
    """Cause, by how much it may bring the line down, and up."""
    ends: Told


def unfold(title: str, price: Price) -> Unfolded:
    """The whole reckoning under a price."""
    span, far = price.reckoning.span, price.reckoning.extremes
    return Unfolded(
        title=title,
        price=f"{price.count} × {amount_words(price.each)} = {amount_words(price.total)}",
        shares=tuple(
            dict.fromkeys(
                leaf.how.share_text
                for leaf in price.reckoning.leaves()
                if leaf.how is not None and leaf.how.share_text
            )
        ),
        rows=tuple(_rows(price.reckoning, rounded(price.total), 0)),
        causes=tuple(
            (Told(sway.cause.value), _signed(-sway.down, price), _signed(sway.up, price))
            for sway in price.reckoning.sways
        ),
        ends=sentence(
            "together between {low} and {high}; all at their ends at once between {lowest} and {highest}",
            low=amount_words(span.low),
            high=amount_words(span.high),
            lowest=amount_words(far.low),
            highest=amount_words(far.high),
        ),
    )


def between_words(price: Price) -> Told:
    """The ends within which the price each may come out."""
    low, high = amount_words(price.each_span.low), amount_words(price.each_span.high)
    return sentence("between {low} and {high}", low=low, high=high)


def amount_words(money: Money) -> str:
    """The amount rounded, without its currency, which a heading names."""
    return show_money(rounded(money)).rsplit(" ", 1)[0]


def _signed(amount: Decimal, price: Price) -> str:
    text = amount_words(Money(amount, price.total.currency))
    return text.replace("-", "−") if amount < 0 else f"+{text}"


def _rows(cost: Cost, shown: Money, depth: int) -> Iterator[ReckoningRow]:
    """The parts under a cost, each made to fit the sum above it (largest remainder)."""
    amounts = apportioned(shown, [part.amount for part in cost.parts])
    for part, amount in zip(cost.parts, amounts, strict=True):
        how = _how(part.how) if part.how is not None else NOTHING
        basis = joined("; ", map(_based, part.how.basis)) if part.how is not None else NOTHING
        name = Told("cost") if depth == 0 and part.parts else part.name
        yield ReckoningRow(depth, name, how, basis, amount_words(amount).replace("-", "−"))
        if part.parts:
            yield from _rows(part, amount, depth + 1)


def _based(basis: Basis) -> Told:
    """A basis in words; what the shop hasn't set itself is told as the house's."""
    return sentence("{basis} (house figure)", basis=basis.text) if basis.source == "house" else basis.text


def _how(how: Reckoning) -> Told:
    quantity, rate = _figure(how.quantity), _figure(how.rate.amount)
    if how.share == 1:
        return sentence("{quantity} {unit} × {rate}", quantity=quantity, unit=how.unit, rate=rate)
    return sentence(
        "{quantity} {unit} × {rate} × {share}",
        quantity=quantity,
        unit=how.unit,
        rate=rate,
        share=f"{how.share:.1%}",
    )


def _figure(value: Decimal) -> str:
    """To four places at most."""
    text = f"{value.quantize(DECIMALS):f}".rstrip("0").rstrip(".")
    return text.replace("-", "−") if text not in ("", "-0") else "0"
