"""What stands behind the page of the shop's rules."""

from datetime import UTC, datetime

from kerfsmith.shop.person import Person
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.begin_shop import set_rules
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal


class ShopRulesStage:
    """`web.rules_stage.RulesStage` over one shop's records."""

    def __init__(self, records: Records) -> None:
        self._records = records

    def rules(self) -> ShopRules:
        """What the shop has decided for itself."""
        return self._records.rules()

    def set_rules(self, rules: ShopRules, *, by: Person) -> ShopRules | Refusal:
        """Keep the rules."""
        return set_rules(self._records, rules, by=by, at=datetime.now(UTC))
