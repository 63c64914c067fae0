"""What the verbs of learning ask of the records."""

from collections.abc import Sequence
from typing import Protocol

from kerfsmith.learning.log import BandStay, Log, SawnCut
from kerfsmith.shop.factors import FactorDecided


class LearningReading(Protocol):
    """What there is to learn from, and what was decided, to be read."""

    def log(self) -> Log:
        """All cuts, bands, stops and finished bars, work before these records among them."""

    def stamp(self) -> str:
        """A text that changes whenever the log or a decision does."""

    def decisions(self) -> tuple[FactorDecided, ...]:
        """Every decision on a factor, oldest first."""


class LearningBook(LearningReading, Protocol):
    """The same, to be added to."""

    def decide(self, decided: FactorDecided) -> None:
        """Keep a decision."""

    def keep_earlier(self, cuts: Sequence[SawnCut], stays: Sequence[BandStay], source: str) -> None:
        """Keep work that was done before these records."""
