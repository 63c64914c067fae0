"""The shop's rules as its form shows them and sends them back, in the reader's measure."""

from collections.abc import Mapping
from decimal import Decimal

from kerfsmith.errors import Finding, UnreadableText
from kerfsmith.shop.rules import NextAim, ShopRules
from kerfsmith.shop.rules_reading import READERS, REMEDIES, finding, read_rules
from kerfsmith.units.length import UM_PER_INCH, UM_PER_MM, Unit
from kerfsmith.units.parse import parse_length, parse_number
from kerfsmith.units.show import CM2_PER_IN2
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import say

LENGTHS = ("least_remnant_um", "long_remnant_um", "stock_length_um", "bundle_tolerance_um")
COUNTS = ("long_remnant_percent", "most_new_remnants", "buying_weight", "most_at_once", "inspect_every")
CHOICES = ("keep_due_order", "one_heat_an_order")
AIM_FIELDS = tuple(f"next_aims.{place}" for place in range(1, len(NextAim) + 1))
YES, NO = "yes", "no"


def shown_texts(rules: ShopRules, reading: Reading) -> dict[str, str]:
    """What stands in each field of the form."""
    texts = {"name": rules.name, "currency": rules.currency}
    per = UM_PER_MM if reading.is_metric else UM_PER_INCH
    for field in LENGTHS:
        texts[field] = _plain(Decimal(getattr(rules, field)) / per)
    for field in COUNTS:
        count = getattr(rules, field)
        texts[field] = "" if count is None else str(count)
    for field in CHOICES:
        texts[field] = YES if getattr(rules, field) else NO
    area = rules.break_in_cm2 if reading.is_metric else rules.break_in_cm2 / CM2_PER_IN2
    texts["break_in_cm2"] = _plain(Decimal(area))
    aims = [aim.value for aim in rules.next_aims]
    texts.update(zip(AIM_FIELDS, [*aims, *[""] * len(AIM_FIELDS)], strict=False))
    return texts


def _plain(value: Decimal) -> str:
    text = f"{value.quantize(Decimal('0.001')):f}"
    return text.rstrip("0").rstrip(".")


def rules_told(
    texts: Mapping[str, str], now: ShopRules, reading: Reading
) -> tuple[ShopRules, tuple[Finding, ...]]:
    """The rules that a form sends over those that hold ``now``, and what of it can't be used.

    A field that stands as it was shown stays as it is to the micrometre, however it was rounded to be shown.
    """
    shown, table, faults = shown_texts(now, reading), {}, []
    told = {name: text.strip() for name, text in texts.items() if name in shown}
    changed = {name for name, text in told.items() if text != shown[name]}
    for field in READERS:
        if field not in changed:
            continue
        try:
            table[field] = _value(field, told[field], reading)
        except UnreadableText as unread:
            problem, remedy = unread.problem, unread.remedy
            faults.append(finding(say("the form"), field, told[field], problem, remedy))
    if changed & set(AIM_FIELDS):
        table["next_aims"] = [aim for one in AIM_FIELDS if (aim := told.get(one, shown[one]))]
    rules, findings = read_rules(say("the form"), table, now)
    return rules, (*faults, *findings)


def _value(field: str, text: str, reading: Reading) -> object:
    """The value of one field. Raises UnreadableText."""
    if field in LENGTHS:
        return parse_length(text, bare=Unit.MM if reading.is_metric else Unit.INCH).um
    if field in CHOICES:
        return {YES: True, NO: False}.get(text, text)
    if field == "break_in_cm2":
        area = float(parse_number(text))
        return area if reading.is_metric else area * CM2_PER_IN2
    if field == "most_new_remnants" and not text:
        return None
    if field in COUNTS:
        count = parse_number(text)
        if count.denominator != 1:
            raise UnreadableText(text, "is not a whole number", REMEDIES[field])
        return int(count)
    return text
