"""The shop's rules as they are told by name, read field by field: what can't be used becomes a finding."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from kerfsmith.errors import Finding, InvalidValue, Severity
from kerfsmith.shop.rules import NextAim, ShopRules
from kerfsmith.units.length import LONGEST_UM
from kerfsmith.units.told import Told, sentence

LONGEST_NAME = 80
MOST_WEIGHT = 1_000
"""So many metres off the rack for one bought are as good as all of them."""
MOST_COUNT = 1_000_000
MOST_AREA_CM2 = 100_000.0
MOST_AT_ONCE = 60
MOST_TOLERANCE_UM = 100_000


def read_rules(
    file: str, table: Mapping[str, object], start: ShopRules
) -> tuple[ShopRules, tuple[Finding, ...]]:
    """``start`` with every field of ``table`` that can be used, and findings on the others.

    Fields are those of `ShopRules` without ``factors``, which are accepted one by one; lengths are whole
    micrometres, ``next_aims`` a list of the aims by their words, ``most_new_remnants`` None for any number.
    """
    read: dict[str, Any] = {}
    findings: list[Finding] = []
    for name, value in table.items():
        reader = READERS.get(name)
        if reader is None:
            known = f"Use one of {', '.join(READERS)}"
            findings.append(finding(file, name, value, "no rule has this name", known))
            continue
        try:
            read[name] = reader(value)
        except InvalidValue as error:
            findings.append(finding(file, name, value, str(error), REMEDIES[name]))
    told = replace(start, **read)
    clash = _clash(file, told)
    if clash is not None and {"least_remnant_um", "stock_length_um"} & read.keys():
        return replace(
            told, least_remnant_um=start.least_remnant_um, stock_length_um=start.stock_length_um
        ), (
            *findings,
            clash,
        )
    return told, tuple(findings)


def finding(file: str, field: str, read: object, problem: str, remedy: str) -> Finding:
    """What is wrong with one rule."""
    shown = "" if read is None else str(read)[:LONGEST_NAME]
    return Finding("rule-unreadable", Severity.ERROR, file, None, field, shown, problem, remedy)


def _clash(file: str, rules: ShopRules) -> Finding | None:
    if rules.least_remnant_um < rules.stock_length_um:
        return None
    return finding(
        file,
        "least_remnant_um",
        None,
        "the least remnant is as long as a bought bar, so nothing cut from one could ever be kept",
        "Make it shorter than the stock length",
    )


def _name(value: object) -> str:
    text = value.strip() if isinstance(value, str) else ""
    if not 0 < len(text) <= LONGEST_NAME or not text.isprintable():
        raise InvalidValue(sentence("a shop's name is a line of 1 to {most} characters", most=LONGEST_NAME))
    return text


def _currency(value: object) -> str:
    # As ISO 4217 writes codes; which of them are in use is not for a saw room to say.
    if not (isinstance(value, str) and len(value) == 3 and value.isascii() and value.isalpha()):
        raise InvalidValue(Told("a currency is its code of three letters"))
    return value.upper()


def _whole(least: int, most: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise InvalidValue(Told("this is a whole number"))
        if not least <= value <= most:
            raise InvalidValue(sentence("this lies between {least} and {most}", least=least, most=most))
        return value

    return read


def _length(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InvalidValue(Told("this is a length in whole micrometres"))
    if not 0 < value <= LONGEST_UM:
        raise InvalidValue(Told("this length is longer than nothing and at most 1 km"))
    return value


def _tolerance(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise InvalidValue(Told("this is a length in whole micrometres"))
    if not 0 <= value <= MOST_TOLERANCE_UM:
        raise InvalidValue(Told("this tolerance is nothing or more, and at most 100 mm"))
    return value


def _count_or_any(value: object) -> int | None:
    return None if value is None else _whole(0, MOST_COUNT)(value)


def _area(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InvalidValue(Told("this is an area in square centimetres"))
    if not 0 <= value <= MOST_AREA_CM2:
        raise InvalidValue(Told("this area is nothing or more, and at most 10 square metres"))
    return float(value)


def _yes(value: object) -> bool:
    if not isinstance(value, bool):
        raise InvalidValue(Told("this is yes or no"))
    return value


def _aims(value: object) -> tuple[NextAim, ...]:
    if isinstance(value, str) or not isinstance(value, Sequence):
        raise InvalidValue(Told("these are aims in their order"))
    words = [str(one) for one in value]
    unknown = [word for word in words if word not in list(NextAim)]
    if unknown:
        raise InvalidValue(sentence("no aim is called {name}", name=repr(unknown[0][:LONGEST_NAME])))
    if len(set(words)) < len(words):
        raise InvalidValue(Told("an aim is named twice"))
    return tuple(NextAim(word) for word in words)


READERS: Mapping[str, Callable[[object], object]] = {
    "name": _name,
    "currency": _currency,
    "least_remnant_um": _length,
    "long_remnant_um": _length,
    "long_remnant_percent": _whole(0, 100),
    "most_new_remnants": _count_or_any,
    "stock_length_um": _length,
    "buying_weight": _whole(1, MOST_WEIGHT),
    "next_aims": _aims,
    "keep_due_order": _yes,
    "one_heat_an_order": _yes,
    "most_at_once": _whole(1, MOST_AT_ONCE),
    "bundle_tolerance_um": _tolerance,
    "inspect_every": _whole(1, MOST_COUNT),
    "break_in_cm2": _area,
}
"""Every rule that a person sets, and how it is read."""

REMEDIES: Mapping[str, str] = {
    "name": "Write what the shop is called",
    "currency": "Write a code such as EUR or USD",
    "least_remnant_um": "Write a length such as 300 mm or 12 in",
    "long_remnant_um": "Write a length such as 1000 mm or 40 in",
    "long_remnant_percent": "Write whole percent from 0 to 100",
    "most_new_remnants": "Write a whole number, or nothing for any number",
    "stock_length_um": "Write a length such as 6 m or 20 ft",
    "buying_weight": f"Write a whole number from 1 to {MOST_WEIGHT}",
    "next_aims": f"Name each at most once of: {', '.join(NextAim)}",
    "keep_due_order": "Write yes or no",
    "one_heat_an_order": "Write yes or no",
    "most_at_once": f"Write a whole number from 1 to {MOST_AT_ONCE}; 1 cuts each bar alone",
    "bundle_tolerance_um": "Write a length such as 1 mm or 1/32 in",
    "inspect_every": "Write a whole number of pieces, 1 or more",
    "break_in_cm2": "Write an area from 0 up",
}
