"""Bars cut together at the panel and by other programs: laid in, cut through, undone, finished."""

import json
import re
from collections.abc import Iterator
from datetime import timedelta
from html import unescape
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.shift.loads import RUN, with_loads
from tests.web.shift.places import BASE, HERE, shift
from tests.web.shift.shop import PASSWORD, ShiftShop
from tests.web.shift.test_programs import app_of
from tests.web.test_at_saw_queue import event, key_of, send

__all__ = ["shift"]

ABC = ("b1", "b2", "b3")


@pytest.fixture
def shop(shift: ShiftShop) -> ShiftShop:
    return with_loads(shift)


@pytest.fixture
def operator(shop: ShiftShop) -> Iterator[TestClient]:
    """Omar, signed in where programs are heard too."""
    with TestClient(app_of(shop), base_url=BASE, client=HERE, follow_redirects=False) as made:
        made.post("/sign-in", data={"name": "Omar", "password": PASSWORD})
        yield made


def panel(client: TestClient) -> dict[str, Any]:
    """What the panel's page gives its script."""
    page = client.get(f"/at-saw/run/{RUN}")
    assert page.status_code == 200, page.text
    found = re.search(r'data-sheet="([^"]*)"', page.text)
    assert found is not None
    told: dict[str, Any] = json.loads(unescape(found.group(1))) | {
        "scene": re.search(r'data-scene="(\w+)"', page.text).group(1)  # type: ignore[union-attr]
    }
    return told


def do(client: TestClient, verb: str, **told: object) -> Any:
    answer = client.post("/api/deeds", json={"verb": verb, "told": told})
    assert answer.status_code == 200, answer.text
    return answer.json()


def lay(client: TestClient, *bar_ids: str) -> None:
    for bar_id in bar_ids:
        do(client, "load bar", bar_id=bar_id, run_id=RUN, label="L-1", load_id="l1")


def cuts(client: TestClient, pass_id: str, **of_all: object) -> dict[str, Any]:
    """The next pass as a panel tells it, from its own data."""
    load = panel(client)["load"]
    step = load["todo"][0]
    numbers = {bar["id"]: bar["number"] for bar in load["bars"]}
    each = [
        {
            "bar_id": one["bar_id"],
            "cut_id": f"{pass_id}-{one['bar_id']}",
            "number": numbers[one["bar_id"]],
            **({"line_id": one["line_id"]} if one["line_id"] else {}),
        }
        for one in step["pieces"]
    ]
    return {"pass_id": pass_id, "load_id": "l1", "kind": step["step"]["kind"], "cuts": each, **of_all}


def test_the_panel_lays_cuts_and_clears_a_load(shop: ShiftShop, operator: TestClient) -> None:
    waiting = panel(operator)["waiting"][0]
    assert (waiting["count"], waiting["at_once"], waiting["free_copy"]) == (6, 3, 1)
    assert [[one["mark"] for one in bar] for bar in waiting["serves"]] == [
        ["P5", "P5", "P6"],
        ["P5", "P5", "P6"],
        ["P5", "P5", "P7"],
    ]
    lay(operator, "b1", "b2")
    now = panel(operator)
    assert (now["scene"], now["load"]["waiting"], now["load"]["is_open"]) == ("lay", 1, True)
    lay(operator, "b3")
    now = panel(operator)
    assert (now["scene"], now["load"]["is_open"], len(now["load"]["bars"])) == ("pass", False, 3)
    assert now["load"]["dials_note"] == ""
    assert now["bar"] is None
    do(operator, "cut load", **cuts(operator, "p0"))
    answer = do(operator, "cut load", **cuts(operator, "p1"))
    assert [entry["outcome"] for entry in answer["entries"]] == ["good"] * 3
    assert len(answer["due"]) == 3
    now = panel(operator)
    assert (now["load"]["last"], now["load"]["log"][-1]["words"]) == ("p1", "3 pieces: 3 × P5, 500 mm")
    assert len(now["load"]["to_measure"]) == 3
    do(operator, "cut load", **cuts(operator, "p2"))
    assert panel(operator)["load"]["todo"][0]["words"] == "3 pieces: 2 × P6, 1 × P7"
    do(operator, "cut load", **cuts(operator, "p3"))
    assert panel(operator)["scene"] == "clear"
    finished = do(operator, "finish load", load_id="l1")
    assert len(finished["bars"]) == 3
    for place in range(3):
        now = panel(operator)
        assert now["scene"] == "rest"
        assert len(now["free_labels"]) == 3 - place
        do(operator, "put away", bar_id=now["bar"]["id"], label=now["free_label"], place="R1")
    assert panel(operator)["scene"] == "load"
    lines = {line["mark"]: line["good"] for line in panel(operator)["lines"]}
    assert lines == {"P5": 6, "P6": 2, "P7": 1}


def test_a_run_read_by_a_program_has_its_loads(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    (load,) = operator.get(f"/api/runs/{RUN}").json()["loads"]
    assert (load["load"]["at_once"], load["is_open"], load["facing_due"]) == (3, False, True)
    assert [len(one["pieces"]) for one in load["to_cut"]["passes"]] == [3, 3, 3]


def test_a_queue_cuts_through_a_load_and_is_told_what_to_check(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    key, at = key_of(operator), shop.floor.now()
    facing = {
        "pass_id": "f",
        "load_id": "l1",
        "kind": "facing",
        "cuts": [{"bar_id": bar_id, "cut_id": f"f-{bar_id}", "number": 1} for bar_id in ABC],
    }
    undo = {
        "pass_id": "f",
        "undos": [{"bar_id": bar_id, "undo_id": f"u-{bar_id}", "number": 2} for bar_id in ABC],
    }
    events = [
        event(1, "cut load", key, at, **facing),
        event(2, "undo load cut", key, at + timedelta(seconds=1), **undo),
        event(3, "take out bar", key, at + timedelta(seconds=2), bar_id="b2", why="bent"),
    ]
    for _ in range(2):
        told = send(operator, events, show=RUN).json()
        assert [one["kept"] for one in told["answers"]] == [True] * 3
        assert [one["code"] for one in told["answers"]] == [""] * 3
        check = told["answers"][0]["check"]
        assert check["load"] == "l1"
        assert [(one["bar"], one["entries"]) for one in check["bars"]] == [(bar_id, 1) for bar_id in ABC]
    now = panel(operator)
    assert [bar["number"] for bar in now["load"]["bars"]] == [3, 3]
    assert [bar["id"] for bar in now["beside"]] == ["b2"]


def test_a_plain_form_tells_of_every_bar_and_of_one(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    do(operator, "cut load", **cuts(operator, "p0"))
    told = cuts(operator, "p1")
    form = {
        "verb": "cut load",
        "form_id": "x1",
        "pass_id": "p1",
        "load_id": "l1",
        "kind": "piece",
        "cuts": json.dumps(told["cuts"]),
        "scrapped": "rough face",
    }
    unclear = operator.post(f"/at-saw/run/{RUN}/act", data=form)
    assert unclear.status_code == 422
    assert "of which bar" in unescape(unclear.text)
    done = operator.post(f"/at-saw/run/{RUN}/act", data={**form, "of_bar": "b2"})
    assert done.status_code == 303, done.text
    assert {line["mark"]: (line["good"], line["scrapped"]) for line in panel(operator)["lines"]}["P5"] == (
        2,
        1,
    )
    assert [one["words"] for one in panel(operator)["load"]["alone"]] == ["Bar 2 alone: P5, 500 mm"]
    undo = [{"bar_id": bar_id, "undo_id": f"u-{bar_id}", "number": 3} for bar_id in ABC]
    form = {"verb": "undo load cut", "form_id": "x2", "pass_id": "p1", "undos": json.dumps(undo)}
    assert operator.post(f"/at-saw/run/{RUN}/act", data=form).status_code == 303
    assert panel(operator)["load"]["alone"] == []


def test_a_plain_form_tells_what_is_left_of_each_bar(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    for pass_id in ("p0", "p1", "p2", "p3"):
        do(operator, "cut load", **cuts(operator, pass_id))
    page = unescape(operator.get(f"/at-saw/run/{RUN}").text)
    assert all(f'name="left_of_{bar_id}_length"' in page for bar_id in ABC)
    form = {"verb": "finish load", "form_id": "x3", "load_id": "l1", "left_of_b2_length": "1500"}
    assert operator.post(f"/at-saw/run/{RUN}/act", data=form | {"left_of_b1_length": " "}).status_code == 303
    with shop.store.look() as look:
        left = {one.bar.id: one.bar.left_um for one in look.floor.bars(RUN)}
    assert left["b2"] == 1_500_000
    assert left["b1"] == left["b3"] != 1_500_000


def test_a_piece_scrapped_in_one_bar_is_offered_on_that_bar_alone(
    shop: ShiftShop, operator: TestClient
) -> None:
    lay(operator, *ABC)
    do(operator, "cut load", **cuts(operator, "p0"))
    told = cuts(operator, "p1")
    told["cuts"][2]["scrapped"] = "rough face"
    do(operator, "cut load", **told)
    for pass_id in ("p2", "p3"):
        do(operator, "cut load", **cuts(operator, pass_id))
    (missing,) = panel(operator)["load"]["alone"]
    assert (missing["bar_id"], missing["fits"], missing["step"]["dial"]) == ("b3", True, "500")
    page = unescape(operator.get(f"/at-saw/run/{RUN}").text)
    form = re.search(r"<form[^>]*data-alone-next>(.*?)</form>", page, re.DOTALL)
    assert form is not None
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form.group(1)))
    assert (fields["verb"], fields["bar_id"]) == ("take out bar", "b3")
    assert operator.post(f"/at-saw/run/{RUN}/act", data=fields).status_code == 303
    do(operator, "finish load", load_id="l1")
    for _ in range(2):
        now = panel(operator)
        do(operator, "put away", bar_id=now["bar"]["id"], label=now["free_label"], place="R1")
    now = panel(operator)
    assert (now["scene"], now["bar"]["id"]) == ("cut", "b3")
    assert [step["mark"] for step in now["bar"]["todo"]] == ["P5"]


def test_a_piece_of_a_load_rejected_by_mistake_is_good_again(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    for pass_id in ("p0", "p1"):
        do(operator, "cut load", **cuts(operator, pass_id))
    do(operator, "reject piece", reject_id="x1", cut_id="p1-b2", reason="rough face")
    load = panel(operator)["load"]
    assert (load["last"], [one["bar_id"] for one in load["rejected"]]) == ("", ["b2"])
    page = unescape(operator.get(f"/at-saw/run/{RUN}").text)
    assert "Last: P5 rejected: rough face" in page
    form = re.search(r'<form[^>]*data-verb="undo cut">(.*?)</form>', page, re.DOTALL)
    assert form is not None
    fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form.group(1)))
    assert operator.post(f"/at-saw/run/{RUN}/act", data=fields).status_code == 303
    now = panel(operator)
    assert (now["load"]["last"], now["load"]["rejected"], now["load"]["alone"]) == ("p1", [], [])
    assert {line["mark"]: (line["good"], line["scrapped"]) for line in now["lines"]}["P5"] == (3, 0)


def test_a_piece_that_no_longer_fits_is_planned_anew(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, *ABC)
    do(operator, "cut load", **cuts(operator, "p0"))
    for turn in range(3):
        told = cuts(operator, f"s{turn}")
        told["cuts"][0]["scrapped"] = "rough face"
        do(operator, "cut load", **told)
    do(operator, "measure bar", bar_id="b1", left_um=100_000)
    alone = panel(operator)["load"]["alone"]
    assert alone
    assert {(one["bar_id"], one["fits"]) for one in alone} == {("b1", False)}
    assert "too little is left" in alone[0]["words"]
    assert "plan the rest anew" in alone[0]["words"]


@pytest.mark.parametrize(
    "spoilt",
    [
        {"cuts": []},
        {"cuts": [{"bar_id": "b1", "cut_id": "c", "number": 1}] * 2},
        {"cuts": [{"bar_id": "b1", "cut_id": "c", "number": 1, "line_id": "o9:P5"}]},
        {"cuts": 7},
        {"kind": "undo"},
        {"motor_power_kw": "much"},
    ],
)
def test_what_no_panel_tells_is_refused_with_what_is_wrong(
    shop: ShiftShop, operator: TestClient, spoilt: dict[str, object]
) -> None:
    lay(operator, *ABC)
    told = cuts(operator, "p0") | spoilt
    answer = operator.post("/api/deeds", json={"verb": "cut load", "told": told})
    assert answer.status_code == 422
    assert answer.json()["problem"]
    assert all(bar["number"] == 1 for bar in panel(operator)["load"]["bars"])


def test_a_missing_reason_for_fewer_bars_is_told(shop: ShiftShop, operator: TestClient) -> None:
    lay(operator, "b1", "b2")
    answer = operator.post("/api/deeds", json={"verb": "cut load", "told": cuts(operator, "p0")})
    assert answer.status_code == 409
    assert answer.json()["code"] == "load-not-full"
    do(operator, "cut load", **cuts(operator, "p0", fewer_why="one is bent"))
    load = panel(operator)["load"]
    assert load["fewer_why"] == "one is bent"
    assert load["dials_note"] == "The plan has no setting for 2 at once; shown is that for 3."
