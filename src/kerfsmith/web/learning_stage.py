"""What the pages of what was learned and of the charts need from behind them; the wiring implements it."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from kerfsmith.learning.log import Log
from kerfsmith.shop.factors import Decision, FactorDecided, Measure, Scope
from kerfsmith.shop.person import Person
from kerfsmith.workflow.learn import Lessons
from kerfsmith.workflow.refusal import Refusal


class LearningStage(Protocol):
    """Everything behind these pages."""

    def log(self) -> Log:
        """All there is to learn from."""

    def lessons(self) -> Lessons:
        """What it teaches."""

    def decisions(self) -> Sequence[FactorDecided]:
        """Every decision on a factor, oldest first."""

    def decide(
        self, measure: Measure, scope: Scope, decision: Decision, *, by: Person
    ) -> FactorDecided | Refusal:
        """Accept, freeze or forget the factor as it is learned now."""

    def names(self) -> Mapping[str, str]:
        """Saws' and bands' names by their ids."""
