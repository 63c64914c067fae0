"""A token of a lesser role than its person's own: every changing path asks the token's role.

Lea is a lead; her token is a guest's. Each changing path gets what it would need to do its work.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from tests.plans_here import PlansHere
from tests.web.shift.places import BASE, copied
from tests.web.shift.shop import PDF, ShiftShop

from kerfsmith.records.dump import dump
from kerfsmith.shop.person import HOUSE, Role
from kerfsmith.web.program_stage import IssuedToken
from kerfsmith.wiring.application import build_application
from kerfsmith.wiring.program_stage import ShopProgramStage

LIST = b"mark,grade,section,length mm,quantity\nX1,C45,round 100 mm,300,4\n"
ORDER = ("list.csv", LIST, "text/csv")
SAW_FILE = ("saw.toml", b"id = 'x'\n", "application/toml")
FAULT = {"saw": "north", "symptom": "chatter", "run_id": "r1"}
STOP = {"stop_id": "s1", "saw": "north", "reason": "fault"}
GROUP = "group"
"""Stands for the id of the plan's group."""

JSON: dict[str, Any] = {
    "/api/plan": {"orders": []},
    "/api/jobs/{job_id}/stop": {},
    "/api/runs": {"group": GROUP},
    "/api/deeds": {"verb": "stop saw", "told": STOP},
    "/api/tokens": {"person": "Lea", "role": "lead", "label": "more"},
    "/api/faults": FAULT,
    "/api/faults/{fault_id}/found": {"cause": "worn band"},
    "/api/saws/{saw_id}/standing": {"standing": "retired"},
    "/api/quotes": {"order": "o1", "customer": "Weir", "valid_until": "2030-01-01"},
    "/api/quotes/{number}/accept": {"revision": 1},
    "/api/quotes/{number}/decline": {"revision": 1},
    "/api/rates": {},
    "/api/learned": {"measure": "cut time", "decision": "accept"},
    "/api/week/accept": {"week": "w"},
    "/api/week/refuse": {"week": "w"},
    "/api/week/free": {"run": "r1"},
    "/api/week/pin": {"run": "r1"},
    "/api/week/move": {"run": "r1", "saw": "north", "place": 0},
    "/api/week/refuse-place": {"run": "r1", "saw": "north"},
    "/api/week/line-up": {},
    "/api/week/replan": {},
    "/api/week/jobs/{job_id}/stop": {},
    "/api/reckoning/{work_id}/stop": {},
    "/api/sections/rename": {"name": "Rail 7", "to": "Rail 8"},
    "/api/sections/drop": {"name": "Rail 7"},
    "/api/grade-names": {"word": "Mild 5", "grade": "S235JR"},
    "/api/grade-names/drop": {"word": "Mild 5"},
}
FORMS: dict[str, dict[str, str]] = {
    "/orders/plan": {"order": "o1"},
    "/orders/{order_id}/drop": {},
    "/planning/{job_id}/stop": {},
    "/begin": {},
    "/at-saw/release": {"group": GROUP},
    "/at-saw/run/{run_id}/act": {"verb": "stop saw", "form_id": "f1", **STOP},
    "/at-saw/band": {
        "label": "S-9",
        "kind": "bimetal 34 x 1.1",
        "run": "r1",
        "saw": "north",
        "form_id": "f2",
    },
    "/people": {"name": "New", "role": "lead", "password": "a long password"},
    "/people/change": {"name": "Lea", "role": "lead", "password": "another password"},
    "/people/revoke": {"name": "Omar"},
    "/faults": {"symptom": "chatter", "saw": "north"},
    "/week/accept": {"week": "w"},
    "/week/refuse": {"week": "w"},
    "/week/free": {"run": "r1"},
    "/week/pin": {"run": "r1"},
    "/week/move": {"run": "r1", "saw": "north", "place": "0"},
    "/week/refuse-place": {"run": "r1", "saw": "north"},
    "/week/line-up": {},
    "/week/replan": {},
    "/saws/{saw_id}/standing": {"standing": "retired"},
    "/drawings/{drawing_id}/keep": {"name": "Rail 7"},
    "/own-sections/rename": {"name": "Rail 7", "to": "Rail 8"},
    "/own-sections/drop": {"name": "Rail 7"},
    "/own-grades": {"word": "Mild 5", "grade": "S235JR"},
    "/own-grades/drop": {"word": "Mild 5"},
    "/faults/{fault_id}/found": {"cause": "worn band"},
    "/learned": {"measure": "cut time", "decision": "accept", "scope": "|||"},
}
FILES: dict[str, dict[str, Any]] = {
    "/api/uploads/{kind}": {"file": ORDER},
    "/trace/certificates/{number:path}": {"file": ("c.pdf", PDF, "application/pdf")},
    "/saws/file": {"file": SAW_FILE},
    "/drawings": {"file": ("rail.dxf", b"0", "image/vnd.dxf")},
}

ASK_NO_ROLE = {
    "/reading", "/sign-in", "/sign-in/panel", "/sign-out", "/people/first", "/at-saw/saw", "/at-saw/events",
    "/api/nest", "/uploads", "/uploads/{upload_id}/columns", "/uploads/{upload_id}/grades", "/quotes/read",
    "/quotes/typed", "/drawings/{drawing_id}/unit",
}  # fmt: skip
"""What changes no records, or asks who somebody is by other means (a panel's events name their session)."""
VALUES = {"run_id": "r1", "order_id": "o1", "kind": "order", "saw_id": "north", "number": "H100"}
NOTED = {"ledger", "answers", "panel_events", "sessions", "tries"}
"""Tables that note that something was asked."""


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    return copied(tmp_path)


@pytest.fixture
def app(shop: ShiftShop, tmp_path: Path) -> FastAPI:
    return build_application(str(tmp_path / "shop.sqlite"), pool=PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in


def program(app: FastAPI, shop: ShiftShop, role: Role) -> TestClient:
    issued = ShopProgramStage(shop.store).issue_token("Lea", role, "less", 1, by=HOUSE)
    assert isinstance(issued, IssuedToken), issued
    head = {"Authorization": f"Bearer {issued.token}"}
    return TestClient(app, base_url=BASE, headers=head, follow_redirects=False, raise_server_exceptions=False)


def routes_of(routes: Iterable[Any]) -> Iterator[APIRoute]:
    """All routes, those of routers within routers too."""
    for route in routes:
        if isinstance(route, APIRoute):
            yield route
        elif hasattr(route, "original_router"):
            yield from routes_of(route.original_router.routes)


def changing(app: FastAPI) -> list[str]:
    """Every path that takes something in and asks a role."""
    changes = {"POST", "PUT", "PATCH", "DELETE"}
    return sorted(
        {route.path for route in routes_of(app.routes) if changes & (route.methods or set())} - ASK_NO_ROLE
    )


def sent(client: TestClient, path: str, group: str) -> int:
    filled = path.replace(":path", "")
    for name in ("run_id", "order_id", "kind", "saw_id", "number"):
        filled = filled.replace(f"{{{name}}}", VALUES[name])
    filled = filled.replace("{", "x").replace("}", "x")

    def named(told: dict[str, Any]) -> dict[str, Any]:
        return {name: group if value == GROUP else value for name, value in told.items()}

    if path in FILES:
        code: int = client.post(filled, files=FILES[path]).status_code
    elif path.startswith("/api/"):
        code = client.post(filled, json=named(JSON.get(path, {}))).status_code
    else:
        code = client.post(filled, data=named(FORMS.get(path, {}))).status_code
    return code


def kept(shop: ShiftShop) -> list[str]:
    """All records but those that note what was asked."""
    lines: list[str] = []
    with shop.store._engine.connect() as connection:
        dump(connection, lines.append)
    return [line for line in lines[1:-1] if line.split('"')[1] not in NOTED]


def test_a_guests_token_of_a_lead_changes_nothing_by_any_path(app: FastAPI, shop: ShiftShop) -> None:
    plan = shop.store.latest_plan()
    assert plan is not None
    group, before = plan.groups[0].id, kept(shop)
    codes: dict[str, int] = {}
    with program(app, shop, Role.GUEST) as guest:
        for path in changing(app):
            codes[path] = sent(guest, path, group)
            assert kept(shop) == before, path
    assert len(codes) > 40
    assert {path: code for path, code in codes.items() if code < 400} == {}
    told = {path for path in codes if path in JSON or path in FORMS or path in FILES}
    assert {path: codes[path] for path in told if codes[path] != 403} == {}


def test_a_leads_token_is_refused_by_the_shop_and_not_for_its_role(app: FastAPI, shop: ShiftShop) -> None:
    """The order is in work, so it stays; the page says why."""
    with program(app, shop, Role.LEAD) as lead:
        answer = lead.post("/orders/o1/drop")
        assert answer.status_code == 409
        assert "in run r1" in answer.text
        assert "Finish the run first" in answer.text
    assert "o1" in {order.id for order in shop.store.orders()}
