"""Who gets in, as whom, how guessing is slowed, and that other sites get nothing done."""

import re
from datetime import timedelta

import pytest
from tests.web.shift.places import client_of, demo, shift
from tests.web.shift.shop import BADGE, PASSWORD, PIN, ShiftShop

from kerfsmith.shop.session import FREE_TRIES
from kerfsmith.web.pages.sign_in.gate import SESSION_COOKIE
from kerfsmith.workflow.sign_in import who_is

__all__ = ["demo", "shift"]

SAW_PAGES = ("/at-saw", "/at-saw/run/r1", "/trace", "/people", "/ledger", "/", "/orders")


def test_nobody_reads_a_page_of_ones_own_shop_without_signing_in(shift: ShiftShop) -> None:
    client = client_of(shift)
    for path in SAW_PAGES:
        answer = client.get(path)
        assert answer.status_code == 303, path
        assert answer.headers["location"].startswith("/sign-in?back="), path
    assert client.get("/api/orders").status_code == 401
    assert client.post("/orders/plan").status_code == 401


def test_a_right_password_opens_a_session_in_a_strict_cookie(shift: ShiftShop) -> None:
    client = client_of(shift)
    answer = client.post("/sign-in", data={"name": "omar ", "password": PASSWORD, "back": "/trace"})
    assert answer.headers["location"] == "/trace"
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    assert client.get("/trace").status_code == 200
    assert "Omar" in client.get("/trace").text


def test_a_wrong_password_opens_nothing_and_says_no_more_than_that(shift: ShiftShop) -> None:
    client = client_of(shift)
    wrong = client.post("/sign-in", data={"name": "Omar", "password": "x" * 12})
    nobody = client.post("/sign-in", data={"name": "Nobody", "password": "x" * 12})
    assert wrong.status_code == nobody.status_code == 401
    assert SESSION_COOKIE not in wrong.headers.get("set-cookie", "")
    words = re.findall(r"role=.alert.*?</div></div>", wrong.text, re.S)
    assert words
    assert words == re.findall(r"role=.alert.*?</div></div>", nobody.text, re.S)


def test_guessing_is_slowed_and_the_page_says_for_how_long(shift: ShiftShop) -> None:
    client = client_of(shift)
    codes = [
        client.post("/sign-in", data={"name": "Omar", "password": f"guess {n:06}"}).status_code
        for n in range(FREE_TRIES + 1)
    ]
    assert codes == [401] * FREE_TRIES + [429]
    right = client.post("/sign-in", data={"name": "Omar", "password": PASSWORD})
    assert right.status_code == 429, "the right password must wait too, or the wait tells it"
    assert int(right.headers["retry-after"]) >= 0
    assert "wait" in right.text


@pytest.mark.parametrize("way", [{"badge": BADGE}, {"name": "Omar", "pin": PIN}])
def test_badge_or_pin_opens_a_panel_for_a_shift(shift: ShiftShop, way: dict[str, str]) -> None:
    client = client_of(shift)
    answer = client.post("/sign-in/panel", data=way)
    assert answer.headers["location"] == "/at-saw"
    session = shift.floor.session(client.cookies[SESSION_COOKIE])
    assert session is not None
    assert (session.person.name, session.kind) == ("Omar", "panel")
    assert timedelta(hours=6) < session.ends_at - session.began_at <= timedelta(hours=12)


def test_a_badge_of_nobody_and_a_pin_of_somebody_else_are_refused(shift: ShiftShop) -> None:
    client = client_of(shift)
    assert client.post("/sign-in/panel", data={"badge": "BADGE-0008"}).status_code == 401
    assert client.post("/sign-in/panel", data={"name": "Omar", "pin": "0000"}).status_code == 401


def test_signing_out_ends_the_session_for_good(shift: ShiftShop) -> None:
    client = client_of(shift, "Omar")
    secret = client.cookies[SESSION_COOKIE]
    assert client.post("/sign-out").status_code == 303
    assert who_is(shift.store, secret, at=shift.floor.now()) is None
    client.cookies.set(SESSION_COOKIE, secret)
    assert client.get("/trace").status_code == 303


def test_a_lead_ends_sessions_and_they_are_over_at_once(shift: ShiftShop) -> None:
    omar, lead = client_of(shift, "Omar"), client_of(shift, "Lea")
    assert omar.get("/at-saw").status_code == 200
    assert "desk" in lead.get("/people").text
    assert lead.post("/people/revoke", data={"name": "Omar"}).status_code == 303
    assert omar.get("/at-saw").status_code == 303


def test_only_a_lead_keeps_the_people_and_others_tries_are_in_the_ledger(shift: ShiftShop) -> None:
    for name in ("Omar", "Pia", "Gus"):
        client = client_of(shift, name)
        for path, data in (
            ("/people", {"name": "New", "role": "lead", "password": PASSWORD}),
            ("/people/change", {"name": name, "role": "lead"}),
            ("/people/revoke", {"name": "Lea"}),
        ):
            assert client.post(path, data=data).status_code == 403, (name, path)
            newest = shift.store.ledger(1)[0]
            assert newest.by == name
            assert "may not" in newest.refused
    assert "Add a person" not in client.get("/people").text


def test_a_lead_adds_a_person_who_can_then_sign_in(shift: ShiftShop) -> None:
    lead = client_of(shift, "Lea")
    short = lead.post("/people", data={"name": "Nia", "role": "operator", "password": "short"})
    assert short.status_code == 409
    assert "10 to 200" in short.text
    told = {"name": "Nia", "role": "operator", "password": "a longer one", "pin": "2580"}
    assert lead.post("/people", data=told).status_code == 303
    nia = client_of(shift)
    assert nia.post("/sign-in/panel", data={"name": "Nia", "pin": "2580"}).status_code == 303
    assert lead.post("/people/change", data={"name": "Nia", "active": "no"}).status_code == 303
    assert nia.get("/at-saw").status_code == 303
    last = lead.post("/people/change", data={"name": "Lea", "role": "guest"})
    assert "last lead" in last.text


@pytest.mark.parametrize(
    ("name", "path", "data"),
    [
        ("Omar", "/orders/plan", {}),
        ("Gus", "/orders/plan", {}),
        ("Pia", "/begin", {}),
        ("Omar", "/orders/o1/drop", {}),
        ("Gus", "/at-saw/run/r1/act", {"verb": "resume saw", "form_id": "f1", "saw": "north"}),
        ("Pia", "/at-saw/run/r1/act", {"verb": "stop saw", "form_id": "f1", "stop_id": "s", "saw": "north",
                                       "reason": "fault"}),
    ],
)  # fmt: skip
def test_what_a_role_may_not_do_is_refused_at_the_door_and_written_down(
    shift: ShiftShop, name: str, path: str, data: dict[str, str]
) -> None:
    client = client_of(shift, name)
    orders = shift.store.orders()
    answer = client.post(path, data=data)
    assert answer.status_code == 403
    assert "may not" in answer.text
    newest = shift.store.ledger(1)[0]
    assert newest.by == name
    assert newest.refused
    assert shift.store.orders() == orders


CHANGING: tuple[tuple[str, dict[str, str]], ...] = (
    (
        "/at-saw/run/r1/act",
        {"verb": "load bar", "form_id": "f", "bar_id": "b", "run_id": "r1", "label": "A-1"},
    ),
    ("/people", {"name": "Mallory", "role": "lead", "password": PASSWORD}),
    ("/sign-in", {"name": "Omar", "password": PASSWORD}),
    ("/sign-out", {}),
    ("/trace/certificates/H100", {}),
    ("/at-saw/events", {}),
)


@pytest.mark.parametrize(("path", "data"), CHANGING)
@pytest.mark.parametrize(
    "head",
    [
        {"Origin": "http://elsewhere.example"},
        {"Origin": "null"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_page_of_another_site_gets_nothing_done(
    shift: ShiftShop, path: str, data: dict[str, str], head: dict[str, str]
) -> None:
    client = client_of(shift, "Lea")
    before = shift.store.ledger(1)
    assert client.post(path, data=data, headers=head).status_code == 403
    assert shift.store.ledger(1) == before


def test_the_demo_lets_a_newcomer_at_this_machine_in_as_a_lead_and_says_so(demo: ShiftShop) -> None:
    client = client_of(demo)
    page = client.get("/at-saw")
    assert page.status_code == 200
    assert "demo, not signed in" in page.text
    told = {"name": "Ann", "role": "lead", "password": PASSWORD}
    assert client.post("/people", data=told).status_code == 303
    assert client.post("/people", data={**told, "name": "Bob"}).status_code == 409, "Ann must sign in now"
    assert demo.store.ledger(1)[0].by == "newcomer"


@pytest.mark.parametrize(
    ("host", "base"), [("192.168.1.20", "http://127.0.0.1"), ("127.0.0.1", "http://shop.example")]
)
def test_the_demo_lets_nobody_in_from_elsewhere(demo: ShiftShop, host: str, base: str) -> None:
    """From another machine, or by a name that was led here: a page of that name could read ours."""
    client = client_of(demo, host=host, base=base)
    assert client.get("/at-saw").status_code == 403
    assert client.get("/people/first").status_code == 404


def test_a_shop_of_ones_own_asks_for_its_first_lead_once(demo: ShiftShop) -> None:
    client = client_of(demo)
    told = {"name": "Ann", "password": PASSWORD, "again": PASSWORD}
    assert client.get("/people/first").status_code == 404, "the demo has no lead"
    assert client.post("/people/first", data=told).status_code == 404
    assert demo.floor.people() == ()
    assert client.post("/begin").status_code == 303
    assert client.get("/orders").headers["location"] == "/people/first"
    assert client.get("/api/orders").status_code == 401
    elsewhere = client_of(demo, host="192.168.1.20")
    assert elsewhere.post("/people/first", data={"name": "M", "password": PASSWORD}).status_code == 404
    differ = client.post("/people/first", data={"name": "Ann", "password": PASSWORD, "again": "other one"})
    assert differ.status_code == 409
    told = {"name": "Ann", "password": PASSWORD, "again": PASSWORD}
    location = client.post("/people/first", data=told).headers["location"]
    assert "Now sign in as Ann." in client.get(location).text
    assert "sign in as Ann" not in elsewhere.get(location).text, "names are told at this machine alone"
    assert client.post("/people/first", data=told).status_code == 404
    assert client.get("/orders").headers["location"].startswith("/sign-in")
    assert client_of(demo, "Ann").get("/people").status_code == 200


def test_sign_in_leads_to_pages_of_this_site_only(shift: ShiftShop) -> None:
    client = client_of(shift)
    for back in ("http://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example"):
        told = {"name": "Omar", "password": PASSWORD, "back": back}
        assert client.post("/sign-in", data=told).headers["location"] == "/"


def test_the_ledger_is_read_by_person_verb_and_refusal(shift: ShiftShop) -> None:
    client = client_of(shift, "Omar")
    client.post("/people/revoke", data={"name": "Lea"})
    rows = client.get("/ledger", params={"by": "Omar", "refused": "true"}).text
    assert "revoke sessions" in rows
    assert "take order" not in re.sub(r"<select.*?</select>", "", rows, flags=re.S)
