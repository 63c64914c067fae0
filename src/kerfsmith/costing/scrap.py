"""The risk of scrap: what is spent on pieces that must be cut again."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from kerfsmith.catalog.figure import Confidence
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Basis, Cause, Cost, Driver, Kind, Reckoning, Sway, reckoned
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence


def scrap_costs(making: Sequence[Cost], rates: Rates) -> Iterator[Cost]:
    """What making the lost pieces again costs: a line for each kind of cost and the rate it goes with.

    Of a share p lost, p / (1 - p) pieces are made again for each good one, since those made again may be lost
    too (mean of the geometric distribution). What a scrapped piece still fetches isn't counted.
    """
    span = rates.scrap
    again = _again(span.value)
    source = "shop" if rates.is_own("scrap") else "house"
    text = sentence(
        "{share} of pieces lost, between {low} and {high}: p/(1-p) made again",
        share=f"{span.value:.1%}",
        low=f"{span.low:.1%}",
        high=f"{span.high:.1%}",
    )
    basis = Basis(text, source, Confidence.COMMON_PRACTICE)
    for cost in making:
        for driver in cost.by_driver:
            leaves = [leaf for leaf in cost.leaves() if leaf.how and leaf.how.driver is driver]
            base = Money.total((leaf.amount for leaf in leaves), rates.currency)
            how = Reckoning(again, Told("times"), base, driver, (basis,))
            sways = [
                Sway(sway.cause, sway.down * again, sway.up * again) for leaf in leaves for sway in leaf.sways
            ]
            sways.append(
                Sway(
                    Cause.SCRAP_SHARE,
                    base.amount * (again - _again(span.low)),
                    base.amount * (_again(span.high) - again),
                )
            )
            yield reckoned(_again_of(cost, driver), Kind.SCRAP, how, sways)


def _again(lost: Decimal) -> Decimal:
    return lost / (1 - lost)


def _again_of(cost: Cost, driver: Driver) -> Told:
    """The cost's name, with the driver where its kind has several."""
    if cost.kind is Kind.BAND:
        return sentence("{cost} again ({driver})", cost=cost.name, driver=driver)
    return sentence("{cost} again", cost=cost.name)
