"""A cost as a tree: each line is either reckoned (quantity x rate) or the sum of the lines under it.

Amounts are held to a quadrillionth of the currency's unit, so that they add up to the same sum in whatever
order they are taken: the room that whole micrometres give to lengths.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from kerfsmith.catalog.figure import Confidence
from kerfsmith.errors import InvalidValue
from kerfsmith.units.money import Money
from kerfsmith.units.told import NOTHING, Told

FINEST = Decimal("1e-15")
_LARGEST = Decimal("1e12")


class Kind(StrEnum):
    """What a cost is for."""

    MATERIAL = "material"
    SAW = "saw time"
    PEOPLE = "people"
    BAND = "band"
    HANDLING = "handling"
    PAPERS = "certificate and labels"
    SCRAP = "scrap risk"
    MARGIN = "margin"
    ROUNDING = "rounding"


class Driver(StrEnum):
    """The rate that a cost goes up and down with."""

    METAL = "metal"
    SAW_HOUR = "saw hour"
    PEOPLE_HOUR = "people hour"
    BAND = "band price"
    HANDLING = "handling"
    PAPERS = "papers"
    PRICE = "price"


class Cause(StrEnum):
    """Why a cost may come out otherwise. One cause moves everything it touches together."""

    SAWING_TIME = "sawing time"
    BAND_LIFE = "band life"
    BAND_PRICE = "price of bands"
    METAL_PRICE = "price of metal"
    SCRAP_SHARE = "share scrapped"


@dataclass(frozen=True, slots=True)
class Sway:
    """By how much an amount falls when ``cause`` alone is at its cheap end, and rises at its dear end.

    Both are below zero for a credit, which rises and falls against what it is credited for.
    """

    cause: Cause
    down: Decimal
    up: Decimal

    @property
    def lowest(self) -> Decimal:
        """How far the cause may bring the amount below its likely value, from zero."""
        return max(self.down, -self.up, Decimal(0))

    @property
    def highest(self) -> Decimal:
        """How far the cause may bring the amount above its likely value, from zero."""
        return max(self.up, -self.down, Decimal(0))


@dataclass(frozen=True, slots=True)
class Basis:
    """Where a figure comes from: ``text`` in plain words, ``source`` a key of the bibliography or empty."""

    text: Told
    source: str = ""
    confidence: Confidence = Confidence.DERIVED


@dataclass(frozen=True, slots=True)
class Reckoning:
    """How an amount comes about: ``quantity`` (in ``unit``) x ``rate`` (money for one unit) x ``share``.

    ``share`` is the part that falls on this line of something it shares with others, ``share_text`` why.
    """

    quantity: Decimal
    unit: Told
    rate: Money
    driver: Driver
    basis: tuple[Basis, ...] = ()
    share: Decimal = Decimal(1)
    share_text: Told = NOTHING

    @property
    def amount(self) -> Money:
        """Quantity x rate x share."""
        return held(self.rate * (self.quantity * self.share))


@dataclass(frozen=True, slots=True)
class Span3:
    """An amount with the ends between which it may come out."""

    low: Money
    likely: Money
    high: Money


@dataclass(frozen=True, slots=True)
class Cost:
    """One line of a cost: reckoned itself, or the sum of its ``parts``.

    Use :func:`reckoned` and :func:`summed`. Raises InvalidValue when the amount isn't exactly that.
    """

    name: Told
    kind: Kind
    amount: Money
    how: Reckoning | None
    parts: tuple["Cost", ...]
    own_sways: tuple[Sway, ...] = ()

    def __post_init__(self) -> None:
        if (self.how is None) == (not self.parts) and self.amount.amount != 0:
            raise InvalidValue(f"{self.name}: a cost is either reckoned or the sum of its parts")
        if self.how is not None and self.how.amount != self.amount:
            raise InvalidValue(f"{self.name}: {self.amount.amount} isn't what its reckoning gives")
        if self.parts and Money.total((part.amount for part in self.parts), self.currency) != self.amount:
            raise InvalidValue(f"{self.name}: {self.amount.amount} isn't the sum of its parts")
        if self.parts and self.own_sways:
            raise InvalidValue(f"{self.name}: a sum sways as its parts do")

    @property
    def currency(self) -> str:
        """Currency of the amount."""
        return self.amount.currency

    def leaves(self) -> Iterator["Cost"]:
        """The lines that are reckoned, top down."""
        if self.how is not None:
            yield self
        for part in self.parts:
            yield from part.leaves()

    def part(self, kind: Kind) -> Money:
        """Sum of the direct parts of one kind."""
        return Money.total((part.amount for part in self.parts if part.kind is kind), self.currency)

    @property
    def by_driver(self) -> dict[Driver, Decimal]:
        """The amount split by the rate it goes with."""
        found: dict[Driver, Decimal] = {}
        for leaf in self.leaves():
            assert leaf.how is not None
            found[leaf.how.driver] = found.get(leaf.how.driver, Decimal(0)) + leaf.amount.amount
        return found

    @property
    def sways(self) -> tuple[Sway, ...]:
        """How far each cause may move the amount: a cause moves all lines it touches together."""
        if not self.parts:
            return self.own_sways
        return joined(sway for part in self.parts for sway in part.sways)

    @property
    def span(self) -> Span3:
        """The likely amount and its ends: see :func:`between`."""
        return between(self.amount, self.sways)

    @property
    def extremes(self) -> Span3:
        """The ends when every cause is at its cheap, or at its dear, end at once."""
        zero = Decimal(0)
        down = sum((sway.lowest for sway in self.sways), zero)
        up = sum((sway.highest for sway in self.sways), zero)
        return _ends(self.amount, down, up)


def between(amount: Money, sways: Iterable[Sway]) -> Span3:
    """The likely amount and its ends: causes are taken as independent of one another, so that their sways are
    put together as the root of the sum of squares, the downward and the upward ones apart.

    Source: law of propagation for uncorrelated inputs, with full correlation inside one cause
    (JCGM 100:2008, 5.1.2 and 5.2.2). The ends are as wide as the figures' own ranges, which are not standard
    deviations: they are no promise of a share of cases.
    """
    every = joined(sways)
    down = sum((sway.lowest**2 for sway in every), Decimal(0)).sqrt()
    up = sum((sway.highest**2 for sway in every), Decimal(0)).sqrt()
    return _ends(amount, down, up)


def _ends(amount: Money, down: Decimal, up: Decimal) -> Span3:
    low, high = (held(Money(one, amount.currency)) for one in (amount.amount - down, amount.amount + up))
    return Span3(low, amount, high)


def held(money: Money) -> Money:
    """The amount as it is kept: to a quadrillionth. Raises InvalidValue beyond a million million."""
    if abs(money.amount) >= _LARGEST:
        raise InvalidValue(f"{money.amount} {money.currency} is no amount of a saw room")
    return Money(money.amount.quantize(FINEST), money.currency)


def exact(figure: float) -> Decimal:
    """A float as the decimal it is written as, so that 0.1 means a tenth."""
    return Decimal(repr(float(figure)))


def reckoned(name: Told, kind: Kind, how: Reckoning, sways: Iterable[Sway] = ()) -> Cost:
    """A line that is reckoned."""
    return Cost(name, kind, how.amount, how, (), joined(sways))


def summed(name: Told, kind: Kind, parts: Iterable[Cost], currency: str) -> Cost:
    """A line that is the sum of others; those of nothing are left out."""
    kept = tuple(part for part in parts if part.amount.amount != 0 or part.sways)
    return Cost(name, kind, Money.total((part.amount for part in kept), currency), None, kept)


def of_kind(kind: Kind, parts: Iterable[Cost], currency: str) -> Cost:
    """The sum of all costs of a kind, called as the kind is."""
    return summed(Told(kind.value), kind, parts, currency)


def joined(sways: Iterable[Sway]) -> tuple[Sway, ...]:
    """Sways of the same cause added up, in the order of the causes; those of nothing are left out."""
    found: dict[Cause, tuple[Decimal, Decimal]] = {}
    for sway in sways:
        down, up = found.get(sway.cause, (Decimal(0), Decimal(0)))
        found[sway.cause] = down + sway.down, up + sway.up
    return tuple(
        Sway(cause, *found[cause])
        for cause in Cause
        if cause in found and any(value for value in found[cause])
    )
