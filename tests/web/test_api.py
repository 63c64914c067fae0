"""The API: the same answers as the pages, as JSON, and nothing that a strange request can break."""

import json

from fastapi.testclient import TestClient
from tests.web.memory import MemoryBackstage

PROBLEM = {
    "kerf_mm": 1.8,
    "front_trim_mm": 5,
    "grip_mm": 80,
    "bars": [{"id": "A", "length_mm": 6000, "count": 12, "cost": 100.0}],
    "pieces": [{"id": "P1", "length_mm": 1190, "count": 20}],
}


def test_plan_is_the_document_that_the_command_writes(client: TestClient) -> None:
    document = client.get("/api/plan").json()
    assert len(document["groups"]) == 10
    assert {"grade", "section", "saw", "status", "cost", "lower_bound", "bars"} <= set(document["groups"][0])
    assert {"file", "row", "field", "read", "problem", "remedy"} <= set(document["findings"][0])


def test_no_plan_is_said_in_words(client: TestClient, shop: MemoryBackstage) -> None:
    shop.made = None
    answer = client.get("/api/plan")
    assert answer.status_code == 404
    assert answer.json()["problem"]


def test_orders_and_rack(client: TestClient) -> None:
    orders = client.get("/api/orders").json()["items"]
    assert orders[0]["lines"][0]["length_mm"] == 314.325
    rack = client.get("/api/rack").json()["items"]
    assert {one["kind"] for one in rack} == {"bar", "remnant", "to buy"}
    assert next(one for one in rack if one["kind"] == "to buy")["count"] is None


def test_cut(client: TestClient) -> None:
    answer = client.get("/api/cut", params={"grade": "4140", "section": "round 100"}).json()
    assert answer["fits"] is True
    assert {"depth_mm", "contact_mm", "feed_mm_per_min", "limit"} <= set(answer["slices"][0])
    refused = client.get("/api/cut", params={"grade": "4140", "section": "round 500"}).json()
    assert refused["fits"] is False
    assert refused["reasons"][0]["limit"] == 432
    unknown = client.get("/api/cut", params={"grade": "xyz", "section": "round 100"})
    assert unknown.status_code == 422
    assert unknown.json()["findings"][0]["field"] == "grade"


def test_nest_hands_the_problem_on_unchanged(client: TestClient) -> None:
    answer = client.post("/api/nest", json={**PROBLEM, "seconds": 3}).json()
    assert answer["asked"] == PROBLEM
    assert answer["seconds"] == 3
    endless = {**PROBLEM, "bars": [{"id": "A", "length_mm": 6000, "count": None}]}
    assert client.post("/api/nest", json=endless).json()["asked"]["bars"] == [
        {"id": "A", "length_mm": 6000, "count": None}
    ]


def test_a_list_is_kept_unless_its_columns_are_unclear(client: TestClient, shop: MemoryBackstage) -> None:
    sure = client.post("/api/uploads/order", files={"file": ("list.csv", b"Pos;Mat")}).json()
    assert (sure["kept"], sure["lines"]) == ("O-new", 2)
    assert sure["findings"][0]["row"] == 4
    assert ("keep", "program") in shop.told
    unclear = client.post("/api/uploads/order", files={"file": ("list.csv", b"Pos;Mat?")}).json()
    assert unclear["kept"] is None
    assert client.post("/api/uploads/quilt", files={"file": ("list.csv", b"")}).status_code == 422


def test_planning_by_program(client: TestClient, shop: MemoryBackstage) -> None:
    job = client.post("/api/plan", json={"orders": ["O-1"]}).json()
    assert (job["state"], job["groups"], job["groups_done"]) == ("running", 10, 1)
    assert shop.planned == ("O-1",)
    assert client.post(f"/api/jobs/{job['id']}/stop").json()["state"] == "stopping"
    assert client.get("/api/jobs/none").status_code == 404


def test_nonsense_is_refused_field_by_field(client: TestClient) -> None:
    faults: list[dict[str, object]] = [
        {"kerf_mm": -1},
        {"pieces": []},
        {"kerf_mm": 1e400},
        {"surplus": 1},
        {"seconds": 1e9},
    ]
    for fault in faults:
        answer = client.post("/api/nest", content=_json({**PROBLEM, **fault}))
        assert answer.status_code == 422, fault
        assert answer.json()["faults"], fault
    assert client.post("/api/nest", content=b"{").status_code == 422


def test_the_api_describes_itself(client: TestClient) -> None:
    paths = client.get("/api/openapi.json").json()["paths"]
    assert set(paths) == {
        "/api/plan",
        "/api/orders",
        "/api/orders/{order_id}/substitutes/{line_id}",
        "/api/rack",
        "/api/uploads/{kind}",
        "/api/jobs/{job_id}",
        "/api/jobs/{job_id}/stop",
        "/api/cut",
        "/api/nest",
    }


def _json(value: object) -> bytes:
    return json.dumps(value).encode()


def test_orders_tell_how_many_pieces_runs_have(client: TestClient, shop: MemoryBackstage) -> None:
    first = shop.book[0].lines[0]
    shop.in_runs = {first.id: 3}
    lines = client.get("/api/orders").json()["items"][0]["lines"]
    assert [line["in_runs"] for line in lines] == [3, 0, 0, 0]
