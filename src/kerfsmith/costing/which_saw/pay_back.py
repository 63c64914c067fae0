"""How soon a saw pays for itself against the one there is, and what that hangs on."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.costing.rates import Rates
from kerfsmith.costing.reckoning import Cause, Driver, Sway, between, joined
from kerfsmith.costing.which_saw.saw_year import SawYear, YearCost
from kerfsmith.errors import InvalidValue
from kerfsmith.units.money import Money
from kerfsmith.units.told import NOTHING, Told, sentence

ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Offer:
    """What a saw costs to buy and put in place, less what the old one fetches.

    Raises InvalidValue for a price that isn't above zero.
    """

    saw: str
    price: Money

    def __post_init__(self) -> None:
        if self.price.amount <= 0:
            raise InvalidValue(f"saw {self.saw}: a price is above zero")


@dataclass(frozen=True, slots=True)
class Steps:
    """By how much each thing is moved to see what the pay-back hangs on (shares), and the share of a saw's
    hour that is its own price coming back (house placeholders): it is left out, or it would count twice."""

    rates: Decimal = Decimal("0.20")
    volume: Decimal = Decimal("0.20")
    price: Decimal = Decimal("0.10")
    capital_share: Decimal = Decimal("0.50")


@dataclass(frozen=True, slots=True)
class Case:
    """The pay-back with one thing moved to its worse and its better end for the new saw; None: never."""

    name: Told
    worse: Decimal | None
    better: Decimal | None


@dataclass(frozen=True, slots=True)
class PayBack:
    """A saw against the one there is, on the work that both cut.

    ``saving`` is money a year with its ends; ``years`` None where it never pays, with ``reason``.
    """

    saw: str
    against: str
    offer: Offer
    saving: Money
    saving_low: Money
    saving_high: Money
    years: Decimal | None
    reason: Told
    cases: tuple[Case, ...]


def pay_back(there: SawYear, new: SawYear, offer: Offer, steps: Steps | None = None) -> PayBack:
    """Years in which what the new saw saves on the common work adds up to its price (no interest).

    Both years must be costed at :func:`running_rates`, or the saw's own price is counted twice.
    """
    steps = steps or Steps()
    common = there.whole_lines & new.whole_lines
    old_cost, new_cost = there.year_cost(common), new.year_cost(common)
    price = offer.price.amount
    running = _Running(old_cost, new_cost)
    saving = running.saving()
    ends = between(Money(saving, offer.price.currency), running.sways)
    return PayBack(
        saw=new.saw.id,
        against=there.saw.id,
        offer=offer,
        saving=Money(saving, offer.price.currency),
        saving_low=ends.low,
        saving_high=ends.high,
        years=years(price, saving),
        reason=_reason(common, saving, there, new),
        cases=tuple(_cases(running, price, steps)),
    )


def running_rates(rates: Rates, saws: Iterable[SawSheet], steps: Steps) -> Rates:
    """The rates with each saw's hour less the share that pays the saw itself back."""
    kept = ONE - steps.capital_share
    return rates.setting(saw_hour={saw.id: rates.hour_of(saw) * kept for saw in saws})


def years(price: Decimal, saving: Decimal) -> Decimal | None:
    """Price over yearly saving; None where nothing is saved."""
    return price / saving if saving > 0 else None


@dataclass(frozen=True, slots=True)
class _Running:
    """Running costs of a year on both saws."""

    old: YearCost
    new: YearCost

    def saving(self, moved: Mapping[Driver, Decimal] | None = None) -> Decimal:
        """What the new saw saves, with some rates moved by a factor."""
        factors = moved or {}
        total = Decimal(0)
        for driver in Driver:
            difference = self.old.by_driver.get(driver, Decimal(0)) - self.new.by_driver.get(
                driver, Decimal(0)
            )
            total += difference * factors.get(driver, ONE)
        return total

    @property
    def sways(self) -> tuple[Sway, ...]:
        """What each cause does to the saving: it moves both saws at once, so that only the difference counts.

        At a cause's cheap end both costs fall, and the saving changes by (fall of the new - fall of the old).
        """
        old = {sway.cause: sway for sway in joined(self.old.sways)}
        new = {sway.cause: sway for sway in joined(self.new.sways)}
        zero = Decimal(0)
        found = []
        for cause in Cause:
            before = old.get(cause, Sway(cause, zero, zero))
            after = new.get(cause, Sway(cause, zero, zero))
            found.append(Sway(cause, before.down - after.down, before.up - after.up))
        return joined(found)


def _cases(running: _Running, price: Decimal, steps: Steps) -> Iterable[Case]:
    for driver in Driver:
        if driver is Driver.PRICE or not (
            running.old.by_driver.get(driver) or running.new.by_driver.get(driver)
        ):
            continue
        ends = [running.saving({driver: ONE + way * steps.rates}) for way in (-1, 1)]
        yield _case(_moved(Told(driver.value), steps.rates), [years(price, saving) for saving in ends])
    saving = running.saving()
    volume = [saving * (ONE + way * steps.volume) for way in (-1, 1)]
    yield _case(_moved(Told("volume"), steps.volume), [years(price, one) for one in volume])
    asked = [price * (ONE + way * steps.price) for way in (-1, 1)]
    yield _case(_moved(Told("price of the saw"), steps.price), [years(one, saving) for one in asked])
    for sway in running.sways:
        ends = [saving - sway.down, saving + sway.up]
        name = sentence("{cause}, its range", cause=sway.cause)
        yield _case(name, [years(price, one) for one in ends])


def _moved(name: Told, by: Decimal) -> Told:
    return sentence("{what} ±{share}", what=name, share=f"{by:.0%}")


def _case(name: Told, found: list[Decimal | None]) -> Case:
    """Worse is later, and never is latest."""
    ordered = sorted(found, key=lambda one: (one is None, one or Decimal(0)))
    return Case(name, worse=ordered[1], better=ordered[0])


def _reason(common: frozenset[str], saving: Decimal, there: SawYear, new: SawYear) -> Told:
    if not common:
        return sentence(
            "There is no line that both {there} and {new} cut.", there=there.saw.name, new=new.saw.name
        )
    if saving <= 0:
        return sentence(
            "On the work both cut, {new} costs no less a year than {there}.",
            new=new.saw.name,
            there=there.saw.name,
        )
    return NOTHING
