"""The HTTP interface attacked from its own description: no 500, no partial write (schemathesis)."""

import os
from datetime import UTC, datetime
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from tests.plans_here import PlansHere
from tests.tables import package_tables

from kerfsmith.records.hashing import Argon2Hasher
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.web.program_stage import IssuedToken
from kerfsmith.wiring.application import build_application
from kerfsmith.wiring.program_stage import ShopProgramStage
from kerfsmith.wiring.records import open_store
from kerfsmith.workflow.keep_people import NewSecrets, add_person

EXAMPLES = int(os.environ.get("KERFSMITH_ATTACKS", "12"))
"""Requests an operation of each kind; more by hand, for a long attack."""


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("attack") / "shop.sqlite")


@pytest.fixture(scope="module")
def app(records: str) -> FastAPI:
    return build_application(records, pool=PlansHere(package_tables(), 0.1))  # type: ignore[arg-type]  # stand-in


@pytest.fixture(scope="module")
def as_lead(app: FastAPI, records: str) -> dict[str, str]:
    """The head of a program that may do everything."""
    store, at = open_store(records), datetime.now(UTC)
    lead = Person("Lea", Role.LEAD)
    add_person(store, Argon2Hasher(), lead, NewSecrets("correct horse staple"), by=HOUSE, at=at)
    issued = ShopProgramStage(store).issue_token("Lea", Role.LEAD, "attack", 1, by=HOUSE)
    assert isinstance(issued, IssuedToken)
    return {"Authorization": f"Bearer {issued.token}"}


def test_no_request_of_the_description_breaks_the_server(app: FastAPI, as_lead: dict[str, str]) -> None:
    description = schemathesis.openapi.from_asgi("/api/openapi.json", app, headers=as_lead)
    operations = [found.ok() for found in description.get_all_operations() if isinstance(found, Ok)]
    assert len(operations) > 50
    broken: dict[str, str] = {}
    for operation in operations:
        try:
            attack(operation, as_lead)
        except Exception as fault:
            broken[operation.label] = str(fault)[-600:]
    assert broken == {}


def attack(operation: schemathesis.APIOperation[Any, Any, Any, Any], head: dict[str, str]) -> None:
    """Cases as described and cases at odds with the description; a refusal is fine, a broken server isn't."""

    @settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
    @given(case=operation.as_strategy() | operation.as_strategy(GenerationMode.NEGATIVE))
    def one(case: schemathesis.Case[Any]) -> None:
        case.call_and_validate(checks=[not_a_server_error], headers=head)

    one()
