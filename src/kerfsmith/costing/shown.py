"""Money as it is shown, so that what stands on paper adds up.

Two rules. A price each is rounded half up to the currency's smallest part and the line's total is exactly
count x price each, so that whoever multiplies and adds what he reads finds what stands below the line. A sum
that is broken down is rounded first and its parts are made to fit it by the largest remainder.
"""

from collections.abc import Sequence
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

from kerfsmith.errors import InvalidValue
from kerfsmith.units.money import Money, smallest_part


def rounded(money: Money) -> Money:
    """To the smallest part, half up (a half goes away from zero)."""
    return Money(money.amount.quantize(smallest_part(money.currency), ROUND_HALF_UP), money.currency)


def rounded_down(money: Money) -> Money:
    """To the smallest part, downwards."""
    return Money(money.amount.quantize(smallest_part(money.currency), ROUND_FLOOR), money.currency)


def apportioned(total: Money, parts: Sequence[Money]) -> tuple[Money, ...]:
    """``parts`` rounded so that they add up to ``total``, which is in whole smallest parts.

    Each is rounded down; what is missing goes, one smallest part each, to those that lost most (the method of
    largest remainders; the first of equals first). Where the parts don't add up to about the total, the rest
    is handed round again, so that the sum is kept whatever the parts. Raises InvalidValue where there are no
    parts for a total that isn't zero, or the total isn't in whole smallest parts.
    """
    unit = smallest_part(total.currency)
    if rounded(total) != total or (not parts and total.amount != 0):
        raise InvalidValue(f"{total.amount} {total.currency} can't be handed out in whole parts")
    low = [rounded_down(part).amount for part in parts]
    missing = int((total.amount - sum(low, Decimal(0))) / unit)
    order = sorted(range(len(parts)), key=lambda place: low[place] - parts[place].amount)
    if missing < 0:
        order.reverse()
    step = unit if missing >= 0 else -unit
    for turn in range(abs(missing)):
        low[order[turn % len(order)]] += step
    return tuple(Money(amount, total.currency) for amount in low)
