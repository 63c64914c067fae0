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

DECIMALS = Decimal("0.0001")


@dataclass(frozen=True, slots=True)
class ReckoningRow:
    """One line of a cost unfolded: ``depth`` from 0, how it is reckoned, on what basis, and its amount."""

    depth: int
    name: str
    how: str
    basis: str
    amount: str


@dataclass(frozen=True, slots=True)
class Unfolded:
    """One line offered, unfolded into its reckoning."""

    title: str
    price: str
    shares: tuple[str, ...]
    """What the line's shares of the run are taken by."""
    rows: tuple[ReckoningRow, ...]
    causes: tuple[tuple[str, str, str], ...]
    """Cause, by how much it may bring the line down, and up."""
    ends: str


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
            (sway.cause.value, _signed(-sway.down, price), _signed(sway.up, price))
            for sway in price.reckoning.sways
        ),
        ends=f"together between {amount_words(span.low)} and {amount_words(span.high)}; "
        f"all at their ends at once between {amount_words(far.low)} and {amount_words(far.high)}",
    )


def between_words(price: Price) -> str:
    """The ends within which the price each may come out."""
    return f"between {amount_words(price.each_span.low)} and {amount_words(price.each_span.high)}"


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
        how = _how(part.how) if part.how is not None else ""
        basis = "; ".join(_based(one) for one in part.how.basis) if part.how is not None else ""
        name = "cost" if depth == 0 and part.parts else part.name
        yield ReckoningRow(depth, name, how, basis, amount_words(amount).replace("-", "−"))
        if part.parts:
            yield from _rows(part, amount, depth + 1)


def _based(basis: Basis) -> str:
    """A basis in words; what the shop hasn't set itself is told as the house's."""
    return f"{basis.text} (house figure)" if basis.source == "house" else basis.text


def _how(how: Reckoning) -> str:
    text = f"{_figure(how.quantity)} {how.unit} × {_figure(how.rate.amount)}"
    return text if how.share == 1 else f"{text} × {how.share:.1%}"


def _figure(value: Decimal) -> str:
    """To four places at most."""
    text = f"{value.quantize(DECIMALS):f}".rstrip("0").rstrip(".")
    return text.replace("-", "−") if text not in ("", "-0") else "0"
