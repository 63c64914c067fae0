"""Forms, files, refusals and switches: what a browser sends and what comes of it."""

import re
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient
from tests.web.memory import MemoryBackstage

from kerfsmith.catalog.section import Section
from kerfsmith.geometry.shapes import Round
from kerfsmith.shop.rack import Rack
from kerfsmith.web.app import create_app
from kerfsmith.web.pages.preferences.routes import own_path
from kerfsmith.web.security import MOST_BYTES
from kerfsmith.web.sheet import link
from kerfsmith.workflow.allow_substitutes import AllowSubstitutes


def test_measure_is_one_tap_and_remembered(client: TestClient) -> None:
    assert "101.6" in client.get("/").text
    answer = client.post("/reading", data={"measure": "inch", "back": "/?x=1"})
    assert answer.status_code == 303
    assert answer.headers["location"] == "/?x=1"
    assert client.cookies["measure"] == "inch"
    assert "27 1/2" in client.get("/").text


def test_prices_on_the_rack_are_money(client: TestClient) -> None:
    assert "412.50 EUR each" in client.get("/rack").text


def test_light_is_kept_and_shown(client: TestClient) -> None:
    client.post("/reading", data={"light": "night"})
    html = client.get("/").text
    assert 'data-light="night"' in html
    assert '<button name="light" value="night" aria-pressed="true">' in html


@pytest.mark.parametrize(
    "back",
    ["https://a.example/", "//a.example", "/\\a.example", "\\\\a.example", "plan", "/a\nb", ""],
)
def test_nobody_is_sent_elsewhere(back: str) -> None:
    assert own_path(back) == "/"


def test_a_strange_measure_changes_nothing(client: TestClient) -> None:
    client.post("/reading", data={"measure": "furlong"})
    assert "measure" not in client.cookies
    client.cookies.set("measure", "furlong")
    assert client.get("/").status_code == 200


def test_a_form_of_another_site_is_refused(client: TestClient, shop: MemoryBackstage) -> None:
    for headers in (
        {"Origin": "http://elsewhere.example"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Origin": "null"},
    ):
        assert client.post("/begin", headers=headers).status_code == 403
    assert shop.demo
    assert client.post("/begin", headers={"Origin": "http://testserver"}).status_code == 303
    assert not shop.demo


def test_a_body_too_large_or_of_no_stated_size_is_not_read(client: TestClient) -> None:
    large = client.post("/uploads", headers={"Content-Length": str(MOST_BYTES + 1)}, content=b"")
    assert large.status_code == 413
    assert client.post("/uploads", content=iter([b"a", b"b"])).status_code == 413


def test_an_order_is_read_looked_at_and_kept(client: TestClient, shop: MemoryBackstage) -> None:
    answer = client.post("/uploads", data={"kind": "order"}, files={"file": ("list.csv", b"Pos;Mat")})
    where = answer.headers["location"]
    html = client.get(where).text
    assert "is not a number" in html
    assert "Write how many." in html
    assert "SP-101" in html
    kept = client.post(f"{where}/keep")
    assert kept.headers["location"] == "/orders#O-new"
    assert ("keep", "desk") in shop.told
    assert client.get(where).status_code == 404


def test_columns_are_named_where_the_file_is_unsure(client: TestClient, shop: MemoryBackstage) -> None:
    where = client.post(
        "/uploads", data={"kind": "order"}, files={"file": ("list.csv", b"Pos;Mat?")}
    ).headers["location"]
    html = client.get(where).text
    assert "Which column is which?" in html
    assert f'action="{where}/keep"' not in html
    named = client.post(f"{where}/columns", data={"c0": "mark", "c1": "grade", "unit": "mm"})
    assert named.status_code == 303
    assert ("unit", "mm") in shop.told
    assert "Is this what the file means?" in client.get(where).text


def test_a_rack_goes_to_the_rack(client: TestClient) -> None:
    where = client.post("/uploads", data={"kind": "rack"}, files={"file": ("rack.csv", b"Label")}).headers[
        "location"
    ]
    assert client.post(f"{where}/keep").headers["location"] == "/rack"


def test_planning_is_started_watched_and_stopped(client: TestClient, shop: MemoryBackstage) -> None:
    untold = client.post("/orders/plan")
    assert untold.status_code == 422
    assert "No order is ticked" in untold.text
    answer = client.post("/orders/plan", data={"order": ["O-1", "O-2"]})
    where = answer.headers["location"]
    assert shop.planned == ("O-1", "O-2")
    html = client.get(where).text
    assert '<meta http-equiv="refresh" content="2">' in html
    assert "1 of 10 groups planned." in html
    part = client.get(where, headers={"HX-Request": "true"}).text
    assert "<html" not in part
    assert "1 of 10 groups planned." in part
    assert client.post(f"{where}/stop").headers["location"] == where
    assert "Stopping with the best found so far" in client.get(where).text


def test_an_order_is_taken_off_once(client: TestClient) -> None:
    assert client.post("/orders/O-1/drop").status_code == 303
    assert client.post("/orders/O-1/drop").status_code == 404


def test_papers_are_asked_for_in_the_readers_measure(client: TestClient, shop: MemoryBackstage) -> None:
    client.cookies.set("measure", "inch")
    answer = client.get("/ticket.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    kind, plan_id, groups, paper = shop.printed[-1]
    assert (kind, plan_id, paper.measure, paper.sheet) == ("ticket", "P-1", "inch", "us-letter")
    assert len(groups) == 9  # the group that no saw takes has no ticket
    client.get("/labels.pdf", params={"group": groups[0], "sheet": "a4"})
    assert shop.printed[-1][2:] == ([groups[0]], type(paper)(paper.measure, "a4"))


def test_the_demo_is_emptied_once_and_only_after_asking(client: TestClient, shop: MemoryBackstage) -> None:
    assert "Empty it and begin with my own" in client.get("/").text
    assert client.get("/begin").status_code == 200
    assert client.post("/begin").headers["location"] == "/saws"
    assert shop.told == [("begin", "desk")]
    assert "There is no plan yet" in client.get("/").text
    assert "demo shop" not in client.get("/").text
    assert client.post("/begin").status_code == 404


@pytest.mark.parametrize(
    "path",
    ["/nowhere", "/plan/none", "/grades/unobtainium", "/sections/W1X1", "/uploads/U-9", "/planning/J-9",
     "/ticket.pdf?group=none", "/ticket.pdf?sheet=foolscap"],
)  # fmt: skip
def test_refusals_are_pages_in_plain_words(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code in (404, 422)
    assert "<h1>" in answer.text
    assert "Traceback" not in answer.text


def test_a_fault_of_the_program_tells_no_insides() -> None:
    class Broken(MemoryBackstage):
        def rack(self) -> Rack:
            raise ZeroDivisionError("secret place")

    with TestClient(create_app(Broken()), raise_server_exceptions=False) as client:
        answer = client.get("/rack")
        assert answer.status_code == 500
        assert "Something in the program went wrong" in answer.text
        assert "secret place" not in answer.text
        assert "content-security-policy" in answer.headers


def test_a_place_on_the_front_is_asked_for_by_slider_or_link(
    client: TestClient, shop: MemoryBackstage
) -> None:
    asked = {"grade": "4140", "section": "round 80", "saw": "north", "choose": "3"}
    html = client.get("/cut", params=asked).text
    assert shop.asked[-1].choose == "3"
    assert shop.asked[-1].saw == "north"
    assert 'name="choose" min="1" max="4" step="1" value="3"' in html
    assert html.count('class="place is-shown"') == 1
    assert "place 3 of 4: 1 min 05 s, 1.33 EUR, risk 70 %" in html
    assert "Back to the setting by the book" in html
    part = client.get("/cut", params=asked, headers={"HX-Request": "true"}).text
    assert "<html" not in part
    assert 'id="walk"' in part


def test_what_the_band_goes_through_is_told_in_the_readers_measure(client: TestClient) -> None:
    assert "455 MPa" in client.get("/cut").text
    client.cookies.set("measure", "inch")
    html = client.get("/cut").text
    assert "66\u00a0000 psi" in html
    assert "a band 0.043 in thick bent round a wheel of 19.488 in" in html


def test_rules_are_weighed_only_when_asked(client: TestClient, shop: MemoryBackstage) -> None:
    assert shop.made is not None
    group = shop.made.groups[0]
    where = link("plan", group.id)
    html = client.get(where).text
    assert shop.weighed == []
    assert f'href="{where}?rules=weighed#rules"' in html
    whole = client.get(f"{where}?rules=weighed").text
    part = client.get(f"{where}?rules=weighed", headers={"HX-Request": "true"}).text
    assert shop.weighed == [group.id] * 2
    assert "<html" in whole
    assert "<html" not in part
    for html in (whole, part):
        rows = re.findall(r'<tr><th scope="row">(.*?)</tr>', html[html.index("What each rule costs") :])
        told = [re.sub(r"<[^>]*>", "", row) for row in rows][:4]
        assert told == [
            "without the least grip1 bar less, 32.00 EUR savedproven",
            "without the facing cutchanges nothingproven",
            "one heat for each order2 bars more, 140.50 EUR morenot proven: the best found in the time "
            "given, on one side or both",
            "without buyingleaves no plan: short of bars: 2500 mm find no placeproven",
        ]


def test_a_group_without_bars_has_no_rules_to_weigh(client: TestClient, shop: MemoryBackstage) -> None:
    assert shop.made is not None
    empty = next(group for group in shop.made.groups if not group.bars)
    html = client.get(f"{link('plan', empty.id)}?rules=weighed").text
    assert "What each rule costs" not in html
    assert shop.weighed == []


@pytest.mark.parametrize(
    "host", ["127.0.0.1:8765", "[::1]:8765", "localhost", "localhost.:80", "192.168.1.7", "Saw.Shop:9"]
)
def test_a_server_answers_to_its_addresses_and_names(host: str) -> None:
    with TestClient(create_app(MemoryBackstage(), names=("saw.shop",))) as client:
        assert client.get("/rack", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "saw.shop.example", "", "[::1"]
)
def test_a_name_that_was_made_to_point_here_is_refused(host: str) -> None:
    shop = MemoryBackstage()
    with TestClient(create_app(shop, names=("saw.shop",))) as client:
        for send in (client.get, client.post):
            answer = send("/begin", headers={"Host": host, "Origin": f"http://{host}"})
            assert answer.status_code == 421
            assert "content-security-policy" in answer.headers
    assert shop.demo


def test_what_a_line_may_be_cut_from_is_asked_kept_and_refused(
    client: TestClient, shop: MemoryBackstage
) -> None:
    line = shop.book[0].lines[0]
    where = link("orders", "O-1", "instead", line.id)
    assert f'href="{where}"' in client.get("/orders").text
    html = client.get(where).text
    assert f"What may {line.mark} be cut from instead?" in html
    assert line.material.name in html
    kept = client.post(where, data={"or_grades": " 4142; 4340 ", "or_sections": ""})
    assert kept.status_code == 303
    assert shop.allowed == AllowSubstitutes("O-1", line.id, ("4142", "4340"), ())
    refused = client.post(where, data={"or_grades": "4142; Unobtanium", "or_sections": "round 4 in"})
    assert refused.status_code == 409
    assert "No grade is called" in refused.text
    assert 'value="4142; Unobtanium"' in refused.text
    assert client.get(link("orders", "O-1", "instead", "none")).status_code == 404


def test_a_line_shows_what_it_may_be_cut_from(client: TestClient, shop: MemoryBackstage) -> None:
    order = shop.book[0]
    other = replace(order.lines[0], or_grades=("4142",), or_sections=(Section("round 9 in", Round(228.6)),))
    shop.book[0] = replace(order, lines=(other, *order.lines[1:]))
    html = client.get("/orders").text
    assert "or 4142" in html
    assert "or round 9 in" in html
    told = client.get("/api/orders").json()["items"][0]["lines"][0]
    assert (told["or_grades"], told["or_sections"]) == (["4142"], ["round 9 in"])


def test_a_program_says_what_a_line_may_be_cut_from(client: TestClient, shop: MemoryBackstage) -> None:
    line = shop.book[0].lines[0]
    where = f"/api{link('orders', 'O-1', 'substitutes', line.id)}"
    answer = client.put(where, json={"or_grades": ["4142"]})
    assert answer.status_code == 200
    assert answer.json()["or_grades"] == ["4142"]
    assert client.put(where, json={"or_grades": ["Unobtanium"]}).status_code == 409
    assert client.put(where, json={"grades": ["4142"]}).status_code == 422


def test_orders_tell_what_runs_have_and_offer_the_rest(client: TestClient, shop: MemoryBackstage) -> None:
    first = shop.book[0]
    shop.in_runs = {first.lines[0].id: 1}
    html = client.get("/orders").text
    assert "1 of them in a run or cut" in html
    assert f'value="{first.id}" checked' in html
    shop.in_runs = {line.id: line.quantity for line in first.lines}
    html = client.get("/orders").text
    assert f"{first.pieces} of them in runs or cut" in html
    assert f'value="{first.id}" disabled' in html


def test_the_rack_tells_what_runs_are_promised(client: TestClient, shop: MemoryBackstage) -> None:
    assert "promised" not in client.get("/rack").text
    shop.promised = {shop.bars.bars[0].id: 2}
    assert client.get("/rack").text.count("2 promised to runs") == 1
