"""The HTTP interface attacked from its own description: no 500, no partial write (schemathesis)."""

import os
import time
from typing import Any

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.library.load import load_catalog
from kerfsmith.planning.lay_group import Effort
from kerfsmith.planning.make_plan import GroupRunner, in_turn
from kerfsmith.shop.rules import ShopRules
from kerfsmith.web.app import create_app
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.records import open_demo_at_first_start, open_store

EXAMPLES = int(os.environ.get("KERFSMITH_ATTACKS", "25"))
"""Requests an operation of each kind; more by hand, for a long attack."""


class PoolHere:
    """A planning pool that works in this process and gives each group a tenth of a second."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = catalog

    def runner(self, rules: ShopRules, *, seconds: float, seed: int) -> GroupRunner:
        return in_turn(self._catalog, rules, Effort(min(seconds, 0.1), seed, time.monotonic, lambda: False))

    def stop(self) -> None:
        """Nothing runs elsewhere."""

    def clear(self) -> None:
        """Nothing to make ready."""


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    catalog = load_catalog()
    store = open_store(str(tmp_path_factory.mktemp("attack") / "shop.sqlite"))
    open_demo_at_first_start(store, catalog)
    return create_app(ShopBackstage(store, catalog, PoolHere(catalog)))  # type: ignore[arg-type]


def test_no_request_of_the_description_breaks_the_server(app: FastAPI) -> None:
    description = schemathesis.openapi.from_asgi("/api/openapi.json", app)
    operations = [found.ok() for found in description.get_all_operations() if isinstance(found, Ok)]
    assert len(operations) > 8
    for operation in operations:
        attack(operation)


def attack(operation: schemathesis.APIOperation[Any, Any, Any, Any]) -> None:
    """Cases as described and cases at odds with the description; a refusal is fine, a broken server isn't."""

    @settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
    @given(case=operation.as_strategy() | operation.as_strategy(GenerationMode.NEGATIVE))
    def one(case: schemathesis.Case[Any]) -> None:
        case.call_and_validate(checks=[not_a_server_error])

    one()
