"""What each rule of a group costs, in words."""

from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.planning.what_if import WhatIf
from kerfsmith.web.pages.plan.words import cost_words
from kerfsmith.web.reading import Reading, hours
from kerfsmith.web.words import say, say_many

_NOTHING = 5e-3
"""A difference in cost below this shows as 0.00."""


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One change to the rules and what it would do; ``kind`` is saves, costs, same or none."""

    change: str
    kind: str
    outcome: str
    sure: str
    is_sure: bool


@dataclass(frozen=True, slots=True)
class RulesView:
    """The block: empty of rows until it was asked for, ``href`` asks."""

    href: str
    asked: bool
    rows: tuple[RuleRow, ...]


def rules_view(href: str, answers: Sequence[WhatIf] | None, reading: Reading) -> RulesView:
    """The answers as rows, what saves most first; None where nobody has asked yet."""
    if answers is None:
        return RulesView(href, False, ())
    rows = tuple(_row(answer, reading) for answer in sorted(answers, key=_saved))
    return RulesView(href, True, rows)


def _saved(answer: WhatIf) -> tuple[bool, float, float]:
    return answer.cost is None, answer.cost or 0.0, answer.hours


def _row(answer: WhatIf, reading: Reading) -> RuleRow:
    if answer.bars is None or answer.cost is None:
        reason = reading.told(answer.reason)
        sure = say("proven") if answer.is_proven else say("not proven: none was found in the time given")
        return RuleRow(
            reading.told(answer.change),
            "none",
            say("leaves no plan: {reason}", reason=reason),
            sure,
            answer.is_proven,
        )
    if answer.hours:
        kind = "saves" if answer.hours < 0 else "costs"
        outcome = say("the same bars, {hours}", hours=hours_words(answer.hours))
        sure = say("as reckoned for these bars")
        return RuleRow(reading.told(answer.change), kind, outcome, sure, is_sure=False)
    kind = (
        "same"
        if abs(answer.cost) < _NOTHING and answer.bars == 0
        else "saves"
        if answer.cost < 0
        else "costs"
    )
    sure = (
        say("proven")
        if answer.is_proven
        else say("not proven: the best found in the time given, on one side or both")
    )
    outcome = outcome_words(answer.bars, answer.cost, answer.cost_unit)
    if answer.to_buy > 0:
        bars = say_many("1 bar", "{count} bars", answer.to_buy)
        outcome = say("{outcome}; {bars} more to buy", outcome=outcome, bars=bars)
    return RuleRow(answer.change, kind, outcome, sure, answer.is_proven)


def hours_words(more: float) -> str:
    """``1.2 h of the saw saved``."""
    shown = hours(abs(more))
    return (
        say("{hours} more of the saw", hours=shown)
        if more > 0
        else say("{hours} of the saw saved", hours=shown)
    )


def outcome_words(bars: int, cost: float, unit: str) -> str:
    """``1 bar less, 32.00 EUR saved``: what a change would do to bars and cost."""
    if bars == 0 and abs(cost) < _NOTHING:
        return say("changes nothing")
    counted = say("as many bars")
    if bars:
        counted = (
            say_many("{count} bar more", "{count} bars more", bars)
            if bars > 0
            else say_many("{count} bar less", "{count} bars less", -bars)
        )
    if unit.startswith("bars"):
        return counted
    if abs(cost) < _NOTHING:
        return say("{counted}, at the same cost", counted=counted)
    amount = cost_words(abs(cost), unit)
    if cost > 0:
        return say("{bars}, {amount} more", bars=counted, amount=amount)
    return say("{bars}, {amount} saved", bars=counted, amount=amount)
