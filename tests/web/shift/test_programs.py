"""Other programs: deeds done once by their key, lists in pages, a feed to follow, tokens with a role."""

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from tests.plans_here import PlansHere
from tests.web.shift.places import BASE, HERE, copied
from tests.web.shift.shop import PASSWORD, ShiftShop

from kerfsmith.cli.records import token
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.person import Person, Role
from kerfsmith.web.app import create_app
from kerfsmith.web.stages import Stages
from kerfsmith.wiring.backstage import ShopBackstage
from kerfsmith.wiring.program_stage import ShopProgramStage

LOAD = {"verb": "load bar", "told": {"bar_id": "bar-1", "run_id": "", "label": "A-1"}}


@pytest.fixture
def shop(tmp_path: Path) -> ShiftShop:
    return copied(tmp_path)


def app_of(shop: ShiftShop) -> FastAPI:
    backstage = ShopBackstage(shop.store, shop.catalog, PlansHere(shop.catalog))  # type: ignore[arg-type]  # stand-in
    return create_app(backstage, shop.floor, stages=Stages(programs=ShopProgramStage(shop.store)))


@pytest.fixture
def app(shop: ShiftShop) -> FastAPI:
    return app_of(shop)


def signed_in(app: FastAPI, name: str) -> TestClient:
    made = TestClient(app, base_url=BASE, client=HERE, raise_server_exceptions=False)
    made.post("/sign-in", data={"name": name, "password": PASSWORD})
    return made


@pytest.fixture
def omar(app: FastAPI) -> Iterator[TestClient]:
    with signed_in(app, "Omar") as made:
        yield made


def run_of(client: TestClient) -> str:
    run: str = next(saw["runs"][0] for saw in client.get("/api/floor").json() if saw["runs"])
    return run


def loaded(client: TestClient, key: str) -> Any:
    told = {**LOAD["told"], "run_id": run_of(client)}  # type: ignore[dict-item]  # a record of texts
    deed = {"verb": "load bar", "told": told}
    return client.post("/api/deeds", json=deed, headers={"Idempotency-Key": key})


def numbers(client: TestClient) -> list[int]:
    return [entry["number"] for entry in client.get("/api/feed?limit=500").json()["items"]]


def test_a_deed_sent_again_with_its_key_is_done_once(omar: TestClient) -> None:
    first, again = loaded(omar, "k-1"), loaded(omar, "k-1")
    assert (first.status_code, again.status_code) == (200, 200)
    assert first.json() == again.json()
    assert "idempotency-replayed" not in first.headers
    assert again.headers["idempotency-replayed"] == "true"
    assert [entry["verb"] for entry in omar.get("/api/feed").json()["items"]].count("load bar") == 1


def test_a_key_is_good_for_one_request_of_one_person(app: FastAPI, omar: TestClient) -> None:
    assert loaded(omar, "k-1").status_code == 200
    other = omar.post(
        "/api/deeds",
        json={"verb": "stop saw", "told": {"stop_id": "s1", "saw": "north", "reason": "fault"}},
        headers={"Idempotency-Key": "k-1"},
    )
    assert other.status_code == 422
    with signed_in(app, "Lea") as lea:
        assert loaded(lea, "k-1").status_code == 409, "the bar is at the saw: done anew, and refused"
    assert omar.post("/api/deeds", json={}, headers={"Idempotency-Key": "x" * 300}).status_code == 400


def test_two_that_come_at_once_do_it_once(app: FastAPI, omar: TestClient) -> None:
    run_of(omar)
    answers: list[int] = []
    cookies = dict(omar.cookies)

    def send() -> None:
        with TestClient(app, base_url=BASE, client=HERE, cookies=cookies) as client:
            answers.append(loaded(client, "k-9").status_code)

    threads = [threading.Thread(target=send) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(answers) <= {200, 409}
    assert 200 in answers
    assert [entry["verb"] for entry in omar.get("/api/feed").json()["items"]].count("load bar") == 1


def test_what_was_broken_off_is_not_done_twice(shop: ShiftShop, omar: TestClient) -> None:
    stage = ShopProgramStage(shop.store)
    told = {"verb": "stop saw", "told": {"stop_id": "s1", "saw": "north", "reason": "fault"}}
    first = omar.post("/api/deeds", json=told, headers={"Idempotency-Key": "k-2"})
    assert first.status_code == 200
    # As after a crash between the deed and the keeping of its answer.
    stage.answers.forget("Omar", "k-2")
    again = omar.post("/api/deeds", json=told, headers={"Idempotency-Key": "k-2"})
    assert again.json() == first.json(), "the deed's own event knows it"


def test_the_feed_tells_what_was_done_in_order_and_goes_on(omar: TestClient) -> None:
    before = numbers(omar)
    assert before == sorted(before)
    page = omar.get("/api/feed?limit=1").json()
    seen = [page["items"][0]["number"]]
    while page["next"]:
        page = omar.get(page["next"]).json()
        seen += [entry["number"] for entry in page["items"]]
    assert seen == before
    loaded(omar, "k-3")
    newest = omar.get(f"/api/feed?after={before[-1]}").json()["items"]
    assert [entry["verb"] for entry in newest] == ["load bar"]
    assert newest[0]["told"]["label"] == "A-1"
    told = omar.get("/api/feed").text
    assert "password" not in told
    assert "argon2" not in told


def test_lists_come_in_pages(omar: TestClient) -> None:
    whole = omar.get("/api/rack?limit=500").json()["items"]
    page, seen = omar.get("/api/rack?limit=2").json(), []
    while True:
        seen += page["items"]
        if not page["next"]:
            break
        page = omar.get(page["next"]).json()
    assert seen == whole
    assert len(whole) > 2
    assert omar.get("/api/rack?after=nothing").status_code == 404
    assert omar.get("/api/orders?limit=0").status_code == 422


def test_a_token_enters_with_its_role_and_no_more(app: FastAPI, omar: TestClient) -> None:
    assert omar.post("/api/tokens", json={"person": "Lea", "label": "scale"}).status_code == 403
    with signed_in(app, "Lea") as lea:
        issued = lea.post("/api/tokens", json={"person": "Omar", "role": "guest", "label": "labeller"})
    assert issued.status_code == 200
    head = {"Authorization": f"Bearer {issued.json()['token']}"}
    with TestClient(app, base_url=BASE, client=("10.1.2.3", 9), headers=head) as program:
        assert program.get("/api/rack").status_code == 200
        refused = loaded(program, "k-4")
        assert refused.status_code == 403
        assert "may not load bar" in refused.json()["problem"]
    with TestClient(app, base_url=BASE, client=("10.1.2.3", 9)) as nobody:
        assert nobody.get("/api/rack").status_code == 401


def test_a_new_band_is_broken_in_over_the_area_of_the_shops_rules(shop: ShiftShop) -> None:
    taken = shop.floor.take_band(ThisBand("S-99", "B34-3/4"), by=Person("Lea", Role.LEAD))
    assert isinstance(taken, ThisBand)
    assert taken.break_in_cm2 == shop.store.rules().break_in_cm2 > 0
    used = shop.floor.take_band(ThisBand("S-98", "B34-3/4", cut_before_cm2=9.0), by=Person("Lea", Role.LEAD))
    assert isinstance(used, ThisBand)
    assert used.break_in_cm2 == 0


def test_a_deed_that_cannot_be_read_is_told(omar: TestClient) -> None:
    wrong = omar.post("/api/deeds", json={"verb": "log cut", "told": {"cut_id": 7}})
    assert wrong.status_code == 422
    assert wrong.json()["problem"]
    assert omar.post("/api/deeds", json={"verb": "sign in", "told": {}}).status_code == 422
    assert omar.get("/api/runs/none").status_code == 404
    assert omar.get("/api/pieces/none").status_code == 404
    assert omar.get("/api/heats/none").status_code == 404


def test_a_token_is_issued_on_the_machine_of_the_records(
    shop: ShiftShop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    records = str(tmp_path / "shop.sqlite")
    assert token("Omar", label="scale", role=Role.OPERATOR, records=records) == 0
    head = {"Authorization": f"Bearer {capsys.readouterr().out.strip()}"}
    with TestClient(app_of(shop), base_url=BASE, client=("10.1.2.3", 9), headers=head) as program:
        assert loaded(program, "k-5").status_code == 200
    assert token("Nobody", label="scale", records=records) == 2
    assert token("Omar", label="scale", role=Role.LEAD, records=records) == 2
