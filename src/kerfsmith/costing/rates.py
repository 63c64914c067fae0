"""The shop's rates: what an hour, a bar moved, a label or a band is charged at. Every one of them is the
shop's to set; those it has not set are the house's placeholders, and are told apart."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import InvalidValue
from kerfsmith.units.money import Money
from kerfsmith.units.told import Told, sentence


@dataclass(frozen=True, slots=True)
class Span:
    """A figure with the ends between which it may lie. Raises InvalidValue unless low <= value <= high."""

    low: Decimal
    value: Decimal
    high: Decimal

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise InvalidValue(
                sentence(
                    "{value} lies outside {low} to {high}", value=self.value, low=self.low, high=self.high
                )
            )

    @classmethod
    def sure(cls, value: Decimal) -> "Span":
        """One figure, without a range."""
        return cls(value, value, value)


@dataclass(frozen=True, slots=True)
class RemnantRule:
    """What a remnant put back is worth, as a share of what its length of bar costs.

    Below ``least_um`` nothing; from there the share rises evenly from ``least_share`` to ``full_share`` at
    ``full_um``, and stays: a longer remnant is of more use, and none is worth more than the bar it came from.

    Raises InvalidValue for shares that fall, or lie outside nothing to all.
    """

    least_um: int = 300_000
    full_um: int = 3_000_000
    least_share: Decimal = Decimal("0.30")
    full_share: Decimal = Decimal("0.90")

    def __post_init__(self) -> None:
        if not 0 < self.least_um < self.full_um:
            raise InvalidValue(Told("a remnant's useful lengths must rise from above zero"))
        if not 0 <= self.least_share <= self.full_share <= 1:
            raise InvalidValue(
                Told("a remnant's worth must rise, between nothing and all of its length of bar")
            )

    def share(self, length_um: int) -> Decimal:
        """Share of the bar's price per length that a remnant of this length is worth."""
        if length_um < self.least_um:
            return Decimal(0)
        way = Decimal(min(length_um, self.full_um) - self.least_um) / (self.full_um - self.least_um)
        return self.least_share + (self.full_share - self.least_share) * way


def _house_metal() -> dict[str, Span]:
    """Price of bar by family, per kg: placeholders from memory (low confidence), each with a wide range."""
    rows = {
        "steel": ("1.00", "1.40", "2.00"),
        "stainless": ("3.20", "4.50", "6.50"),
        "cast iron": ("2.00", "3.00", "4.50"),
        "aluminium": ("3.80", "5.00", "6.50"),
        "copper": ("8.00", "11.00", "14.00"),
        "magnesium": ("8.00", "12.00", "18.00"),
        "titanium": ("30.00", "45.00", "70.00"),
        "nickel": ("25.00", "40.00", "60.00"),
        "cobalt": ("50.00", "70.00", "100.00"),
        "non-metal": ("3.00", "8.00", "20.00"),
    }
    return {family: Span(*(Decimal(one) for one in row)) for family, row in rows.items()}


@dataclass(frozen=True, slots=True)
class Rates:
    """What the shop reckons with. Money is in ``currency``; ``own`` names the fields the shop has set itself.

    ``saw_hour``: saw id -> an hour of that saw without the person at it; a saw that isn't named has its
    sheet's rate. ``attendance``: share of a person that a saw ties up while it saws and feeds; loading,
    unloading and set-up take ``hands_on`` of one. ``set_up_s``: seconds of each run before its first bar.
    ``handling_per_bar`` is for each bar brought to the saw, ``handling_per_line`` for each order line packed
    and set out. ``certificate`` is for each heat that an order gets pieces of, ``label`` for each piece.
    ``band_price_per_m``: band id -> price; a band that isn't named has the catalog's. ``scrap``: share of
    pieces lost. ``metal_per_kg``: grade or family -> price of bar for which the rack has no price.
    ``margin`` is the share of the price that isn't cost.

    House placeholders are from common practice or memory, low confidence: they keep the sum whole until the
    shop enters its own. Raises InvalidValue for a rate below zero or a share outside nothing to all.
    """

    currency: str = "EUR"
    saw_hour: Mapping[str, Decimal] = field(default_factory=dict)
    people_hour: Decimal = Decimal("42.00")
    attendance: Decimal = Decimal("0.40")
    hands_on: Decimal = Decimal("1.00")
    set_up_s: Decimal = Decimal(600)
    handling_per_bar: Decimal = Decimal("3.50")
    handling_per_line: Decimal = Decimal("4.00")
    certificate: Decimal = Decimal("12.00")
    label: Decimal = Decimal("0.10")
    band_price_per_m: Mapping[str, Decimal] = field(default_factory=dict)
    scrap: Span = Span(Decimal("0.00"), Decimal("0.01"), Decimal("0.03"))
    metal_per_kg: Mapping[str, Span] = field(default_factory=_house_metal)
    remnant: RemnantRule = RemnantRule()
    margin: Decimal = Decimal("0.20")
    own: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        Money.zero(self.currency)
        amounts = [self.people_hour, self.set_up_s, self.handling_per_bar, self.handling_per_line]
        amounts += [self.certificate, self.label, *self.saw_hour.values(), *self.band_price_per_m.values()]
        amounts += [span.low for span in self.metal_per_kg.values()]
        if not all(amount.is_finite() and amount >= 0 for amount in amounts):
            raise InvalidValue(Told("no rate is below zero"))
        if not (0 <= self.attendance <= 1 and 0 <= self.hands_on <= 1):
            raise InvalidValue(Told("a saw ties up between none and one person"))
        if not (self.scrap.low >= 0 and self.scrap.high < 1 and 0 <= self.margin < 1):
            raise InvalidValue(Told("scrap and margin are shares from nothing to less than all"))
        unknown = self.own - {each.name for each in fields(self)}
        if unknown:
            raise InvalidValue(sentence("no rate is called {names}", names=", ".join(sorted(unknown))))

    def setting(self, **changes: object) -> "Rates":
        """The same rates with ``changes`` set by the shop."""
        return replace(self, **changes, own=self.own | changes.keys())  # type: ignore[arg-type]  # real fields

    def is_own(self, name: str) -> bool:
        """Whether the shop has set this rate itself."""
        return name in self.own

    def money(self, amount: Decimal) -> Money:
        """An amount in the rates' currency."""
        return Money(amount, self.currency)

    def hour_of(self, saw: SawSheet) -> Decimal:
        """An hour of the saw: the shop's, else its sheet's."""
        own = self.saw_hour.get(saw.id)
        return own if own is not None else Decimal(repr(float(saw.rate_per_hour)))

    def band_per_m(self, band: Band) -> Span:
        """A metre of the band: the shop's price, else the catalog's with its range."""
        own = self.band_price_per_m.get(band.id)
        if own is not None:
            return Span.sure(own)
        price = band.price_per_m
        return Span(*(Decimal(repr(float(one))) for one in (price.low, price.value, price.high)))

    def metal_of(self, grade: Grade) -> Span | None:
        """A kilogram of bar of this grade: by its name, else its family; None where neither has a price."""
        return self.metal_per_kg.get(grade.name) or self.metal_per_kg.get(grade.family)
