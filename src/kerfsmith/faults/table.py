"""Symptoms, causes and which causes are usual: the table that a search for a fault starts from."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.figure import Confidence
from kerfsmith.errors import InvalidValue, UnknownName


class Symptom(StrEnum):
    """What a person sees at the saw."""

    CROOKED = "crooked"
    STRIPPED = "stripped teeth"
    DULL_EARLY = "dull early"
    BROKE = "band broke"
    CHATTER = "chatter"
    WELDED = "chips welded"
    SLOW = "slow"
    STALLS = "stalls"
    ROUGH = "rough face"
    OUT_OF_LENGTH = "out of length"


@dataclass(frozen=True, slots=True)
class Cause:
    """What can be wrong: how to check it and what to do. ``isolate``: the check wants hands near the band."""

    name: str
    check: str
    cure: str
    isolate: bool = False


@dataclass(frozen=True, slots=True)
class Usual:
    """A cause that is usual behind a symptom; ``rank`` 1 is the likeliest, in the order of its source."""

    cause: str
    rank: int
    source: str
    where: str
    confidence: Confidence


@dataclass(frozen=True)
class FaultTable:
    """Causes by name, and for each symptom its usual causes, likeliest first.

    Raises InvalidValue where a symptom has no causes or names one that isn't there.
    """

    causes: Mapping[str, Cause]
    usual: Mapping[Symptom, tuple[Usual, ...]]

    def __post_init__(self) -> None:
        for symptom in Symptom:
            if not self.usual.get(symptom):
                raise InvalidValue(f"no cause is told for {symptom}")
        unknown = {one.cause for row in self.usual.values() for one in row} - set(self.causes)
        if unknown:
            raise InvalidValue(f"causes without check and cure: {', '.join(sorted(unknown))}")

    def cause(self, name: str) -> Cause:
        """The cause of that name. Raises UnknownName."""
        if name not in self.causes:
            raise UnknownName("cause", name)
        return self.causes[name]
