"""A shop's rates as it writes them in a file, read field by field: what can't be used becomes a finding."""

from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation

from kerfsmith.costing.rates import Rates, RemnantRule, Span
from kerfsmith.errors import Finding, InvalidValue, Severity
from kerfsmith.units.told import Told, sentence

AMOUNTS = (
    "people_hour",
    "attendance",
    "hands_on",
    "set_up_s",
    "handling_per_bar",
    "handling_per_line",
    "certificate",
    "label",
    "margin",
)


def read_rates(
    file: str, table: Mapping[str, object], start: Rates | None = None
) -> tuple[Rates, tuple[Finding, ...]]:
    """``start`` (the house's placeholders) with every field of ``table`` that can be used, and findings on
    the others.

    A figure with a range is a number or ``{low, likely, high}``; ``remnant`` is ``{least_mm, full_mm,
    least_share, full_share}``; ``saw_hour``, ``band_price_per_m`` and ``metal_per_kg`` are tables by name.
    """
    rates = start or Rates()
    findings: list[Finding] = []
    for name, value in table.items():
        reader = _READERS.get(name)
        if reader is None:
            known = sentence("Use one of {known}", known=", ".join(_READERS))
            findings.append(_finding(file, name, value, "no rate has this name", known))
            continue
        try:
            rates = rates.setting(**{name: reader(value)})
        except (InvalidValue, TypeError, KeyError) as error:
            why = error.said if isinstance(error, InvalidValue) else Told("isn't written as this rate is")
            findings.append(_finding(file, name, value, why, "Write it as the example of rates shows"))
    return rates, tuple(findings)


def _number(value: object) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, int | float | str | Decimal):
        raise InvalidValue(sentence("{value} is no number", value=repr(value)))
    try:
        number = Decimal(str(value))
    except InvalidOperation as error:
        raise InvalidValue(sentence("{value} is no number", value=repr(value))) from error
    if not number.is_finite():
        raise InvalidValue(sentence("{value} is no number", value=repr(value)))
    return number


def _span(value: object) -> Span:
    if isinstance(value, Mapping):
        return Span(_number(value["low"]), _number(value["likely"]), _number(value["high"]))
    return Span.sure(_number(value))


def _table(value: object) -> Mapping[str, object]:
    if not isinstance(value, Mapping):
        raise InvalidValue(Told("this rate is a table: a name and a figure for each"))
    return value


def _remnant(value: object) -> RemnantRule:
    table, plain = _table(value), RemnantRule()
    return RemnantRule(
        least_um=int(1000 * _number(table.get("least_mm", plain.least_um // 1000))),
        full_um=int(1000 * _number(table.get("full_mm", plain.full_um // 1000))),
        least_share=_number(table.get("least_share", plain.least_share)),
        full_share=_number(table.get("full_share", plain.full_share)),
    )


def _currency(value: object) -> str:
    if not isinstance(value, str):
        raise InvalidValue(Told("a currency is its code of three capital letters"))
    return value


_READERS: Mapping[str, Callable[[object], object]] = {
    "currency": _currency,
    **dict.fromkeys(AMOUNTS, _number),
    "saw_hour": lambda value: {name: _number(one) for name, one in _table(value).items()},
    "band_price_per_m": lambda value: {name: _number(one) for name, one in _table(value).items()},
    "metal_per_kg": lambda value: {name: _span(one) for name, one in _table(value).items()},
    "scrap": _span,
    "remnant": _remnant,
}


def _finding(file: str, field: str, read: object, problem: str, remedy: str) -> Finding:
    return Finding("rate-unreadable", Severity.ERROR, file, None, field, str(read), problem, remedy)
