"""`kerfsmith learned`."""

import json as json_text
import sys
from dataclasses import dataclass

from rich.console import Console
from rich.table import Table

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT
from kerfsmith.planning.document import factor_document
from kerfsmith.shop.factors import Decision, Measure, Scope, in_force
from kerfsmith.shop.person import HOUSE
from kerfsmith.wiring.learning_stage import ShopLearningStage, learning_of
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class LearnedWish:
    """What was asked for on the command line."""

    records: str
    decide: str
    measure: str
    scope: Scope
    json: bool


def run_learned(wish: LearnedWish) -> int:
    """Print what the log teaches; with a decision, take it first."""
    stage = learning_of(wish.records)
    if wish.decide:
        if wish.decide not in (Decision.ACCEPT, Decision.FREEZE, Decision.FORGET):
            print("decide is accept, freeze or forget", file=sys.stderr)
            return INPUT_AT_FAULT
        if wish.measure not in list(Measure):
            print(f"measure is one of: {', '.join(Measure)}", file=sys.stderr)
            return INPUT_AT_FAULT
        answer = stage.decide(Measure(wish.measure), wish.scope, Decision(wish.decide), by=HOUSE)
        if isinstance(answer, Refusal):
            print(str(answer), file=sys.stderr)
            return CANNOT
    return _told(stage, wish.json)


def _told(stage: ShopLearningStage, as_json: bool) -> int:
    learned = stage.lessons().factors()
    used = in_force(stage.decisions()).accepted
    if as_json:
        document = {
            "learned": [factor_document(factor) for factor in learned],
            "in_plans": [factor_document(factor) for factor in used],
        }
        print(json_text.dumps(document, ensure_ascii=False))
        return DONE
    table = Table("measure", "work", "factor", "surely between", "records", "in plans")
    held = {(one.measure, one.scope): one for one in used}
    for factor in learned:
        own = held.get((factor.measure, factor.scope))
        table.add_row(
            factor.measure.value,
            ", ".join(filter(None, factor.scope.fields)) or "all work",
            f"{factor.value:.2f}",
            f"{factor.low:.2f} to {factor.high:.2f}",
            str(factor.count),
            "" if own is None else f"{own.value:.2f}{', frozen' if own.frozen else ''}",
        )
    Console(highlight=False).print(table)
    return DONE
