"""Money: an exact amount with its currency, rounded only where it is shown."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from kerfsmith.errors import InvalidValue

Factor = int | float | Decimal

_WHOLE_CURRENCIES = frozenset({"CLP", "ISK", "JPY", "KRW", "VND", "XAF", "XOF"})


def smallest_part(currency: str) -> Decimal:
    """The smallest part in which a currency is shown: a hundredth, or one where it has no parts."""
    return Decimal(1) if currency in _WHOLE_CURRENCIES else Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Money:
    """``amount`` in ``currency`` (three capital letters, ISO 4217). May be negative (a credit).

    Raises InvalidValue for an amount that is not a finite Decimal, for a currency of another form, and
    where two currencies meet in one sum.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not isinstance(self.amount, Decimal) or not self.amount.is_finite():
            raise InvalidValue(f"{self.amount!r} is not an exact, finite amount of money")
        if len(self.currency) != 3 or not (self.currency.isascii() and self.currency.isupper()):
            raise InvalidValue(f"{self.currency!r} is not a currency code of three capital letters")

    @classmethod
    def zero(cls, currency: str) -> "Money":
        """Nothing, in ``currency``."""
        return cls(Decimal(0), currency)

    @classmethod
    def total(cls, amounts: Iterable["Money"], currency: str) -> "Money":
        """Sum of ``amounts``, which must all be in ``currency``; zero where there is none."""
        result = cls.zero(currency)
        for amount in amounts:
            result = result + amount
        return result

    def __add__(self, other: "Money") -> "Money":
        return Money(self.amount + self._same(other), self.currency)

    def __sub__(self, other: "Money") -> "Money":
        return Money(self.amount - self._same(other), self.currency)

    def __neg__(self) -> "Money":
        return Money(-self.amount, self.currency)

    def __mul__(self, factor: Factor) -> "Money":
        return Money(self.amount * _exact(factor), self.currency)

    __rmul__ = __mul__

    def __truediv__(self, divisor: Factor) -> "Money":
        exact = _exact(divisor)
        if exact == 0:
            raise InvalidValue("money cannot be divided by zero")
        return Money(self.amount / exact, self.currency)

    def __lt__(self, other: "Money") -> bool:
        return self.amount < self._same(other)

    def __le__(self, other: "Money") -> bool:
        return self.amount <= self._same(other)

    def _same(self, other: "Money") -> Decimal:
        if other.currency != self.currency:
            raise InvalidValue(f"{self.currency} and {other.currency} do not add up without a rate")
        return other.amount


def _exact(factor: Factor) -> Decimal:
    """The factor as a Decimal; a float keeps its shortest decimal form, so that 0.1 means a tenth."""
    exact = Decimal(repr(factor)) if isinstance(factor, float) else Decimal(factor)
    if not exact.is_finite():
        raise InvalidValue(f"{factor!r} is not a finite factor")
    return exact
