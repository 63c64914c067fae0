"""What a panel's queue sends: counted once, in order, under the name of whoever made it."""

import random
from datetime import datetime, timedelta

import pytest
from fastapi.testclient import TestClient
from httpx import Response
from tests.web.shift.places import client_of, operator, shift
from tests.web.shift.shop import ShiftShop

from kerfsmith.web.pages.sign_in.gate import SESSION_COOKIE
from kerfsmith.workflow.sign_in import digest_of

__all__ = ["operator", "shift"]

SENT = "/at-saw/events"
Event = dict[str, object]


def key_of(client: TestClient) -> str:
    """What a panel's page carries of its session."""
    return digest_of(client.cookies[SESSION_COOKIE])


def event(place: int, verb: str, key: str, at: datetime, **told: object) -> Event:
    mark = {"id": f"e{place}", "number": place, "at": at.isoformat(), "key": key}
    return {**mark, "verb": verb, "told": told}


def bar_of(key: str, at: datetime) -> list[Event]:
    """A bar loaded, faced and three pieces cut from it."""
    cuts = [
        event(
            2 + n,
            "log cut",
            key,
            at + timedelta(seconds=n + 1),
            cut_id=f"c{n}",
            bar_id="b1",
            number=1 + n,
            **({"kind": "facing"} if n == 0 else {"kind": "piece", "line_id": "o1:1"}),
        )
        for n in range(4)
    ]
    return [event(1, "load bar", key, at, bar_id="b1", run_id="r1", label="A-1"), *cuts]


def send(client: TestClient, events: list[Event], panel: str = "panel-7", show: str = "") -> Response:
    answer: Response = client.post(SENT, json={"panel": panel, "events": events, "show": show})
    return answer


def good(shop: ShiftShop) -> int:
    with shop.store.look() as look:
        line = look.floor.line("r1", "o1:1")
    assert line is not None
    return line.good


def test_a_queue_is_recorded_and_the_panel_comes_back_as_it_stands(
    shift: ShiftShop, operator: TestClient
) -> None:
    answer = send(operator, bar_of(key_of(operator), shift.floor.now()), show="r1")
    assert answer.status_code == 200
    told = answer.json()
    assert [one["kept"] for one in told["answers"]] == [True] * 5
    assert "4 of 9" in told["part"]
    assert good(shift) == 3


@pytest.mark.parametrize("seed", range(4))
def test_torn_and_repeated_batches_lose_nothing_and_count_nothing_twice(
    shift: ShiftShop, operator: TestClient, seed: int
) -> None:
    """Batches are cut off anywhere and answers get lost: the panel sends again what it has no answer to."""
    chance = random.Random(seed)
    waiting = bar_of(key_of(operator), shift.floor.now())
    for _ in range(60):
        if not waiting:
            break
        batch = waiting[: chance.randint(1, len(waiting))]
        told = send(operator, batch).json()["answers"]
        if chance.random() < 0.5:
            continue
        kept = {one["id"] for one in told if one["kept"]}
        waiting = [one for one in waiting if one["id"] not in kept]
    assert waiting == []
    assert good(shift) == 3


def test_what_arrives_ahead_of_its_turn_is_asked_for_again(shift: ShiftShop, operator: TestClient) -> None:
    events = bar_of(key_of(operator), shift.floor.now())
    told = send(operator, events[1:]).json()["answers"]
    assert [one["kept"] for one in told] == [False] * 4
    assert {one["code"] for one in told} == {"events-missing"}
    assert good(shift) == 0
    send(operator, events)
    assert good(shift) == 3


def test_cuts_keep_the_name_of_who_made_them_when_another_signs_in(shift: ShiftShop) -> None:
    omar = client_of(shift, "Omar")
    key, at = key_of(omar), shift.floor.now()
    omar.post("/sign-out")
    lead = client_of(shift, "Lea")
    events = bar_of(key, at - timedelta(seconds=30))
    assert send(lead, events).status_code == 200
    assert good(shift) == 3
    assert {entry.by for entry in shift.store.ledger(5)} == {"Omar"}


def test_a_shift_that_outlasts_its_session_is_still_recorded(shift: ShiftShop) -> None:
    """No network for the last hour, and the session has run out before the panel could send."""
    omar = client_of(shift, "Omar")
    key, began = key_of(omar), shift.floor.now()
    shift.floor.now = lambda: began + timedelta(hours=13)  # type: ignore[method-assign]
    nobody = client_of(shift)
    assert send(nobody, bar_of(key, began + timedelta(hours=11, minutes=58))).status_code == 200
    assert good(shift) == 3
    shift.floor.now = lambda: began + timedelta(days=3)  # type: ignore[method-assign]
    late = event(
        6, "undo cut", key, began + timedelta(hours=12), undo_id="u", bar_id="b1", number=5, cut_id="c3"
    )
    assert send(nobody, [late]).status_code == 401
    assert good(shift) == 3


def test_what_is_done_after_a_lead_ended_the_session_is_refused_and_written_down(shift: ShiftShop) -> None:
    omar = client_of(shift, "Omar")
    key = key_of(omar)
    before = bar_of(key, shift.floor.now() - timedelta(seconds=60))[:3]
    client_of(shift, "Lea").post("/people/revoke", data={"name": "Omar"})
    after = bar_of(key, shift.floor.now() + timedelta(seconds=1))[3:]
    told = send(client_of(shift), [*before, *after]).json()["answers"]
    assert [one["code"] for one in told] == ["", "", "", "role", "role"]
    assert good(shift) == 1
    assert "may not log cut" in shift.store.ledger(1)[0].refused


def test_a_stranger_with_no_key_records_nothing(shift: ShiftShop) -> None:
    for key in ("", "0" * 64):
        events = bar_of(key, shift.floor.now())
        assert send(client_of(shift), events).status_code == 401
    assert good(shift) == 0


def test_a_guest_may_send_and_all_of_it_is_refused(shift: ShiftShop) -> None:
    guest = client_of(shift, "Gus")
    told = send(guest, bar_of(key_of(guest), shift.floor.now()), show="r1").json()
    assert {one["code"] for one in told["answers"]} == {"role"}
    assert all(one["kept"] for one in told["answers"]), "a refusal is an answer: it need not be sent again"
    assert good(shift) == 0


def test_a_clock_that_runs_ahead_is_held_back(shift: ShiftShop, operator: TestClient) -> None:
    send(operator, bar_of(key_of(operator), shift.floor.now() + timedelta(hours=5)))
    newest = shift.store.ledger(1)[0]
    assert newest.at <= shift.floor.now()
    assert good(shift) == 3


@pytest.mark.parametrize(
    "change",
    [
        {"verb": "add person"},
        {"verb": "no verb"},
        {"number": 0},
        {"number": 10**30},
        {"at": "yesterday"},
        {"at": "2026-12-01T06:30:00"},
        {"id": ""},
        {"id": "x" * 100},
        {"told": []},
        {"told": {"bar_id": "b1", "run_id": "r1", "label": ["A-1"]}},
        {"told": {"bar_id": "b1", "run_id": "r1", "label": "A" * 300}},
        {"told": {"bar_id": "b1", "run_id": "r1", "label": "A\u0000"}},
        {"told": {"bar_id": "b1", "run_id": "r1", "label": "A-1", "measured_um": 10**40}},
        {"told": {"bar_id": "b1", "run_id": "r1", "label": "A-1", "measured_um": float("1e308")}},
        {"told": {"label": "A-1"}},
    ],
)
def test_a_mangled_event_is_refused_whole_and_changes_nothing(
    shift: ShiftShop, operator: TestClient, change: Event
) -> None:
    events = bar_of(key_of(operator), shift.floor.now())
    before = shift.store.ledger(1)
    answer = send(operator, [{**events[0], **change}, *events[1:]])
    assert answer.status_code == 422, answer.text
    assert answer.json()["place"] == 0, "the panel is told which it was"
    assert shift.store.ledger(1) == before


def test_a_changed_run_comes_back_in_words(shift: ShiftShop, operator: TestClient) -> None:
    change = event(
        1,
        "change run",
        key_of(operator),
        shift.floor.now(),
        run_id="r1",
        changes=[{"line_id": "o1:2", "quantity": 3}],
    )
    notice = send(operator, [change]).json()["answers"][0]["notice"]
    assert notice["title"] == "The rest of the run was planned anew"
    assert "P2: 3 wanted instead of 10, 3 to cut." in notice["lines"]


def test_the_worker_may_serve_the_panel_and_nothing_else(operator: TestClient) -> None:
    answer = operator.get("/at-saw/worker.js")
    assert answer.headers["service-worker-allowed"] == "/at-saw"
    assert answer.headers["content-type"].startswith("text/javascript")
