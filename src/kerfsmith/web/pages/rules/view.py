"""The page of the shop's rules: each with what it means, what it is where nothing was set, and why."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kerfsmith.errors import Finding
from kerfsmith.shop.rules import NextAim, ShopRules
from kerfsmith.shop.rules_reading import LONGEST_NAME
from kerfsmith.web.pages.rules.told import AIM_FIELDS, CHOICES, LENGTHS, NO, YES, shown_texts
from kerfsmith.web.pages.rules.wording import AIM_WORDS, GROUPS, PLACES, Wording
from kerfsmith.web.reading import Reading
from kerfsmith.web.words import retell, say


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that may be chosen."""

    value: str
    words: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form: a text, or a choice where there are ``choices``."""

    name: str
    label: str
    value: str
    choices: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule: ``usual`` is what holds where nothing was set, "" where nothing is usual; ``is_usual`` says
    that it holds now. ``reads_figure``: a number pad helps who writes it."""

    key: str
    name: str
    meaning: str
    why: str
    fields: tuple[Field, ...]
    unit: str
    usual: str
    is_usual: bool
    reads_figure: bool
    longest: int
    fault: str


@dataclass(frozen=True, slots=True)
class RuleGroup:
    """Rules that speak of one thing."""

    name: str
    rows: tuple[RuleRow, ...]


@dataclass(frozen=True, slots=True)
class RulesPage:
    """All rules; ``may_set`` is whether the reader sets them."""

    groups: tuple[RuleGroup, ...]
    may_set: bool
    problem: str
    done: bool

    @property
    def faulty(self) -> tuple[RuleRow, ...]:
        """The rules told in a way that can't be used."""
        return tuple(row for group in self.groups for row in group.rows if row.fault)


def rules_page(
    rules: ShopRules,
    reading: Reading,
    *,
    may_set: bool,
    texts: Mapping[str, str] | None = None,
    faults: Sequence[Finding] = (),
    problem: str = "",
    done: bool = False,
) -> RulesPage:
    """The rules in the reader's measure; ``texts`` are what was written, where it couldn't be kept."""
    written = {**shown_texts(rules, reading), **(texts or {})}
    by_field = {
        finding.field or "": f"{_sentence(retell(finding.problem))} {_sentence(retell(finding.remedy))}"
        for finding in faults
    }
    groups = tuple(
        RuleGroup(
            say(name),
            tuple(_row(one, rules, written, reading, by_field.get(one.field, "")) for one in rows),
        )
        for name, rows in GROUPS
    )
    return RulesPage(groups, may_set, problem, done)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _row(one: Wording, rules: ShopRules, written: Mapping[str, str], reading: Reading, fault: str) -> RuleRow:
    own = ShopRules()
    usual = getattr(own, one.field)
    label = say(one.name)
    return RuleRow(
        key=one.field,
        name=label,
        meaning=say(one.meaning),
        why=_why(one, reading),
        fields=_fields(one.field, label, written),
        unit=_unit(one, reading),
        usual="" if one.field == "name" else _usual(one, own, reading),
        is_usual=getattr(rules, one.field) == usual,
        reads_figure=one.field not in ("name", "currency"),
        longest={"name": LONGEST_NAME, "currency": 3}.get(one.field, 30),
        fault=fault,
    )


def _fields(field: str, label: str, written: Mapping[str, str]) -> tuple[Field, ...]:
    if field == "next_aims":
        return tuple(
            Field(name, f"{label}: {say(place)}", written[name], _aim_choices(written[name]))
            for name, place in zip(AIM_FIELDS, PLACES, strict=True)
        )
    text = written[field]
    if field in CHOICES:
        both = ((YES, say("yes")), (NO, say("no")))
        return (
            Field(field, label, text, tuple(Choice(value, words, value == text) for value, words in both)),
        )
    return (Field(field, label, text),)


def _aim_choices(chosen: str) -> tuple[Choice, ...]:
    aims = tuple(Choice(aim.value, say(AIM_WORDS[aim]), aim.value == chosen) for aim in NextAim)
    return (Choice("", say("nothing more"), not chosen), *aims)


def _unit(one: Wording, reading: Reading) -> str:
    if one.field in LENGTHS:
        return reading.length_unit
    if one.field == "break_in_cm2":
        return "cm²" if reading.is_metric else "in²"
    return say(one.unit) if one.unit else ""


def _why(one: Wording, reading: Reading) -> str:
    if one.span is None:
        return say(one.why)
    show = reading.length if one.field in LENGTHS else reading.area
    low, high = (show(end) for end in one.span)
    return say(one.why, low=low, high=high)


def _usual(one: Wording, own: ShopRules, reading: Reading) -> str:
    """What holds where nothing was set."""
    if one.field == "next_aims":
        return say(", then ").join(say(AIM_WORDS[aim]) for aim in own.next_aims)
    if one.field in CHOICES:
        return say("yes") if getattr(own, one.field) else say("no")
    if one.field == "most_new_remnants":
        return say("any number")
    text, unit = shown_texts(own, reading)[one.field], _unit(one, reading)
    return f"{text} {unit}" if unit else text
