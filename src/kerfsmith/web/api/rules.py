"""The shop's rules for other programs: read by all, set by a lead."""

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse

from kerfsmith.planning.document import finding_document
from kerfsmith.shop.rules import ShopRules
from kerfsmith.shop.rules_reading import READERS, read_rules
from kerfsmith.web.api.answers import answered
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.web.rules_stage import RulesStage
from kerfsmith.workflow.refusal import Refusal


def routes(stage: RulesStage) -> APIRouter:
    """The rules under ``/api``."""
    router = APIRouter(prefix="/api", tags=["rules"])

    @router.get("/rules")
    def rules() -> dict[str, Any]:
        """What the shop has decided, and what holds where nothing was set; lengths in whole micrometres."""
        return {"rules": _document(stage.rules()), "usual": _document(ShopRules())}

    @router.put("/rules")
    def set_rules(request: Request, table: dict[str, Any]) -> JSONResponse:
        """Set rules by name; those not named stay. All are set or none: findings say which can't be used."""
        told, findings = read_rules("the request", table, stage.rules())
        if findings:
            return JSONResponse({"findings": [finding_document(one) for one in findings]}, 422)
        answer = stage.set_rules(told, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        return JSONResponse({"rules": _document(answer)})

    return router


def _document(rules: ShopRules) -> dict[str, Any]:
    return {name: getattr(rules, name) for name in READERS}
