"""Factors that the shop's own records put on published figures, and what a person decided of each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class Measure(StrEnum):
    """What a factor multiplies."""

    CUT_TIME = "cut time"
    INDEX_TIME = "index time"
    BAND_LIFE = "band life"


class Decision(StrEnum):
    """What a person decided of a learned factor.

    Accepted: plans use it, and it follows the records. Frozen: plans use it as it was. Forgotten: plans use
    the published figure again, and what was recorded until then teaches nothing more. Followed: an accepted
    one was brought up to the records, which a new plan does.
    """

    ACCEPT = "accept"
    FREEZE = "freeze"
    FORGET = "forget"
    FOLLOW = "follow"


@dataclass(frozen=True, slots=True, order=True)
class Scope:
    """The work a factor is for; an empty field stands for any. ``band_kind`` is a band's id in the
    catalog.
    """

    grade: str = ""
    saw: str = ""
    section_kind: str = ""
    band_kind: str = ""

    @property
    def fields(self) -> tuple[str, ...]:
        """All four, in one order."""
        return self.grade, self.saw, self.section_kind, self.band_kind

    @property
    def narrowness(self) -> tuple[int, ...]:
        """How narrow it is: more fields first, then grade before saw before section before band."""
        named = tuple(int(bool(field)) for field in self.fields)
        return sum(named), *named

    def takes_in(self, work: "Scope") -> bool:
        """Whether ``work`` is of this scope."""
        return all(mine in ("", theirs) for mine, theirs in zip(self.fields, work.fields, strict=True))

    @property
    def key(self) -> str:
        """One text for it."""
        return "|".join(self.fields)


def scope_of(key: str) -> Scope:
    """The scope of a key. Raises InvalidValue for a text that is none."""
    fields = key.split("|")
    if len(fields) != 4:
        raise InvalidValue(f"{key!r} is no scope of a factor")
    return Scope(*fields)


@dataclass(frozen=True, slots=True)
class Factor:
    """What the published figure is multiplied with: its middle, and the interval that covers 90 %.

    ``count`` records stand behind it. ``frozen``: it doesn't follow the records.

    Raises InvalidValue for a factor that is not above zero or lies outside its interval.
    """

    measure: Measure
    scope: Scope
    value: float
    low: float
    high: float
    count: int
    frozen: bool = False

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.value <= self.high:
            raise InvalidValue(f"a factor of {self.value} lies outside {self.low} to {self.high}")


@dataclass(frozen=True, slots=True)
class FactorDecided:
    """One decision on a factor: what, of which measure and scope, by whom and when.

    ``factor`` is None for one that was forgotten.
    """

    measure: Measure
    scope: Scope
    decision: Decision
    factor: Factor | None
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Factors:
    """The factors that plans may use: those a person accepted or froze."""

    accepted: tuple[Factor, ...] = ()

    def for_work(self, measure: Measure, work: Scope) -> Factor | None:
        """The narrowest factor that takes ``work`` in, None where the published figure stands."""
        fitting = [one for one in self.accepted if one.measure is measure and one.scope.takes_in(work)]
        return max(fitting, key=lambda one: one.scope.narrowness, default=None)


NO_FACTORS = Factors()
"""Published figures alone."""


def forgotten(decisions: Iterable[FactorDecided]) -> Mapping[tuple[Measure, Scope], datetime]:
    """Until when the records of each forgotten scope teach nothing: its newest forgetting."""
    return {(one.measure, one.scope): one.at for one in decisions if one.decision is Decision.FORGET}


def in_force(decisions: Iterable[FactorDecided]) -> Factors:
    """The factors that hold after ``decisions``, oldest first."""
    held: dict[tuple[Measure, Scope], Factor | None] = {}
    for one in decisions:
        held[one.measure, one.scope] = one.factor
    kept = (factor for factor in held.values() if factor is not None)
    return Factors(tuple(sorted(kept, key=lambda one: (one.measure.value, one.scope))))
