"""How the interface answers: values as they are, refusals in words with what to do."""

from typing import Any

from fastapi.encoders import jsonable_encoder
from fastapi.responses import JSONResponse

from kerfsmith.workflow.refusal import Refusal


def document_of(value: object) -> dict[str, Any]:
    """A value as JSON has it."""
    told: dict[str, Any] = jsonable_encoder(value)
    return told


def answered(answer: object) -> JSONResponse:
    """The answer of a verb: 403 where the role may not, 409 for another refusal."""
    if isinstance(answer, Refusal):
        told = {"problem": str(answer.reason), "remedy": str(answer.remedy), "code": answer.code}
        return JSONResponse(told, 403 if answer.code == "role" else 409)
    return JSONResponse(jsonable_encoder(answer))
