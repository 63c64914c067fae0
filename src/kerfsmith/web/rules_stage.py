"""What the page of the shop's rules needs from behind it; the wiring implements it."""

from typing import Protocol

from kerfsmith.shop.person import Person
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.refusal import Refusal


class RulesStage(Protocol):
    """Everything behind the page of the shop's rules."""

    def rules(self) -> ShopRules:
        """What the shop has decided for itself."""

    def set_rules(self, rules: ShopRules, *, by: Person) -> ShopRules | Refusal:
        """Keep the rules; factors stay as they were accepted."""
