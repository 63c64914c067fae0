"""The panel by plain forms: everything an operator does, with no script at all."""

import pytest
from fastapi.testclient import TestClient
from tests.web.shift.forms import RUN, filled, forms, press, scene, shown
from tests.web.shift.places import client_of, demo, operator, shift
from tests.web.shift.shop import EVERY, ShiftShop

from kerfsmith.records.store import Store
from kerfsmith.shop.rack import BarKind
from kerfsmith.workflow.run_sheet import RunSheet, run_sheet

__all__ = ["demo", "operator", "shift"]


def sheet(store: Store) -> RunSheet:
    """The run as the records have it."""
    with store.look() as look:
        found = run_sheet(look, "r1")
    assert found is not None
    return found


def good(store: Store) -> dict[str, int]:
    return {line.mark: line.good for line in sheet(store).lines}


def load_and_face(client: TestClient, label: str = "A-1") -> str:
    assert scene(press(client, "load bar", label=label).text) == "cut"
    return press(client, "log cut", "data-only").text


def test_the_panel_asks_for_its_saw_then_for_a_run(operator: TestClient) -> None:
    page = operator.get("/at-saw").text
    assert "At which saw" in page
    answer = operator.post("/at-saw/saw", data={"saw": "north"})
    assert answer.status_code == 303
    page = operator.get("/at-saw").text
    assert "Which run is cut at this saw?" in page
    assert f'href="{RUN}"' in page
    assert "Yard saw" not in page


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("B-1", "Bar B-1 is 4140, the run needs 1045"),
        ("C-1", "Bar C-1 is round 80 mm, the run needs round 100 mm"),
        ("A-2", "Bar A-2 is of heat H200, waited for is heat H100"),
        ("nowhere", "No bar on the rack is labelled"),
    ],
)
def test_a_wrong_bar_is_refused_in_large_letters_with_the_reason(
    shift: ShiftShop, operator: TestClient, label: str, words: str
) -> None:
    answer = press(operator, "load bar", label=label)
    assert answer.status_code == 409
    assert 'class="told is-refused"' in answer.text
    assert words in answer.text
    assert scene(answer.text) == "load"
    assert shift.store.ledger(1)[0].refused


def test_a_refusal_tells_lengths_in_the_readers_unit(shift: ShiftShop, operator: TestClient) -> None:
    """3 m are 118.110 in (NIST SP 811: 1 in = 25.4 mm exactly)."""
    operator.cookies.set("measure", "inch")
    for _ in range(2):
        press(operator, "load bar", label="A-1")
        press(operator, "finish bar")
        press(operator, "scrap remnant")
    assert "Bar A-1 is 118.110 in long" in press(operator, "load bar", label="A-1").text


def test_a_bar_used_up_is_refused(shift: ShiftShop, operator: TestClient) -> None:
    for _ in range(2):
        press(operator, "load bar", label="A-1")
        press(operator, "finish bar")
        press(operator, "scrap remnant")
    answer = press(operator, "load bar", label="A-1")
    assert answer.status_code == 409
    assert "waited for is" in answer.text


def test_a_bar_is_cut_piece_by_piece_and_counted(shift: ShiftShop, operator: TestClient) -> None:
    page = load_and_face(operator)
    assert (shown(page, "dial"), shown(page, "mark"), shown(page, "count")) == ("500", "P1", "1 of 9")
    # 500 mm and the kerf of 1.8 mm are one stroke of a shuttle of 500 mm or two: by the saw's own sheet.
    saw = shift.catalog.find_saw("north")
    advance = 500 + sheet(shift.store).run.kerf_um / 1000
    strokes = -(-advance // saw.shuttle_stroke_mm)
    assert shown(page, "strokes") == f"{strokes:.0f} × {advance / strokes:.2f}".rstrip("0").rstrip(".")
    assert shown(page, "allowed") == "499.5 to 500.5"
    page = press(operator, "log cut", "data-only").text
    assert good(shift.store)["P1"] == 1
    assert shown(page, "count") == "2 of 9"
    assert "first piece" in page


def test_a_form_sent_twice_counts_once(shift: ShiftShop, operator: TestClient) -> None:
    page = load_and_face(operator)
    told = filled(page, "log cut", "data-only")
    for _ in range(3):
        assert operator.post(f"{RUN}/act", data=told).status_code == 303
    assert good(shift.store)["P1"] == 1


def test_an_old_form_is_told_who_was_first(shift: ShiftShop, operator: TestClient) -> None:
    """The same page open twice: the second press comes after another entry."""
    page = load_and_face(operator)
    press(operator, "log cut", "data-only")
    stale = {**filled(page, "log cut", "data-only"), "form_id": "another"}
    answer = operator.post(f"{RUN}/act", data=stale)
    assert answer.status_code == 409
    assert "already recorded by Omar" in answer.text
    assert good(shift.store)["P1"] == 1


def test_the_last_cut_is_undone_and_only_that(shift: ShiftShop, operator: TestClient) -> None:
    load_and_face(operator)
    press(operator, "log cut", "data-only")
    press(operator, "log cut", "data-only")
    page = press(operator, "undo cut").text
    assert good(shift.store)["P1"] == 1
    assert shown(page, "count") == "2 of 9"


def test_a_scrapped_piece_has_its_reason_and_is_wanted_again(shift: ShiftShop, operator: TestClient) -> None:
    load_and_face(operator)
    page = press(operator, "log cut", "data-scrap", scrapped="out of square").text
    line = sheet(shift.store).lines[0]
    assert (line.good, line.scrapped) == (0, 1)
    assert shown(page, "count") == "1 of 9"
    assert "out of square" in shown(page, "last")
    press(operator, "log cut", "data-only")
    press(operator, "reject piece", reason="rough face")
    line = sheet(shift.store).lines[0]
    assert (line.good, line.scrapped) == (0, 2)


@pytest.mark.parametrize(
    ("measure", "keyed", "um"),
    [
        ("metric", "500.4", 500_400),
        ("metric", "500,4", 500_400),
        ("inch", "19.7", 500_380),
        ("inch", "19 5/8", 498_475),
    ],
)
def test_a_measured_length_is_read_in_the_readers_unit(
    shift: ShiftShop, operator: TestClient, measure: str, keyed: str, um: int
) -> None:
    """1 in = 25.4 mm exactly (international inch of 1959), so 19 5/8 in = 498.475 mm."""
    operator.cookies.set("measure", measure)
    load_and_face(operator)
    press(operator, "log cut", "data-only")
    answer = press(operator, "inspect piece", measured_length=keyed)
    found = sheet(shift.store).inspections
    assert [(one.measured_um, one.kind) for one in found] == [(um, "first piece")]
    assert ("The piece is too short by" in answer.text) == (um < 499_500)


def test_pieces_are_measured_first_and_at_intervals(shift: ShiftShop, operator: TestClient) -> None:
    load_and_face(operator, "A-3")
    due = []
    for _ in range(EVERY + 2):
        page = press(operator, "log cut", "data-only").text
        kind = shown(page, "due")
        due.append(kind)
        if kind != "extra":
            press(operator, "inspect piece", measured_length="500" if "P1" in shown(page, "last") else "320")
    assert due == ["first piece"] + ["extra"] * (EVERY - 1) + ["interval", "extra"]


def test_a_band_change_asks_why_and_has_the_next_piece_measured(
    shift: ShiftShop, operator: TestClient
) -> None:
    load_and_face(operator)
    press(operator, "log cut", "data-only")
    press(operator, "inspect piece", measured_length="500")
    unsaid = press(operator, "change band", on="S-2")
    assert unsaid.status_code == 409
    assert "why does band S-1 come off" in unsaid.text or "Why does band S-1 come off" in unsaid.text
    press(operator, "change band", on="S-2", why="worn")
    band = sheet(shift.store).band
    assert band is not None
    assert band.id == "S-2"
    page = press(operator, "log cut", "data-only").text
    assert shown(page, "due") == "first piece"
    page = operator.get(RUN).text
    assert "isolate and lock the saw" in page, "said where a band is changed"


def test_a_saw_stands_with_a_reason_and_goes_on(shift: ShiftShop, operator: TestClient) -> None:
    page = press(operator, "stop saw", reason="chips or coolant").text
    assert "The saw stands: chips or coolant" in page
    stop = sheet(shift.store).stop
    assert stop is not None
    assert stop.run_id == "r1"
    press(operator, "resume saw")
    assert sheet(shift.store).stop is None


def test_a_changed_quantity_is_planned_anew_and_the_page_says_what_changed(
    shift: ShiftShop, operator: TestClient
) -> None:
    load_and_face(operator)
    answer = press(operator, "change run", "data-verb", line_id="o1:2", quantity="4")
    assert answer.status_code == 200
    assert "The rest of the run was planned anew" in answer.text
    assert "P2: 4 wanted instead of 10, 4 to cut." in answer.text
    assert "Bars still to load" in answer.text
    assert {line.mark: line.wanted for line in sheet(shift.store).lines} == {"P1": 9, "P2": 4, "Q7": 2}
    answer = press(operator, "change run", "data-verb", line_id="o2:1", length_length="1200")
    assert "Q7: 1200 mm instead of 1190.6 mm" in answer.text
    planned = [piece for one in sheet(shift.store).to_load for piece in one.planned.pieces]
    assert {piece.length_um for piece in planned if piece.mark == "Q7"} == {1_200_000}


def test_more_pieces_and_another_length_in_mid_run_are_planned_at_once_and_told(
    shift: ShiftShop, operator: TestClient
) -> None:
    load_and_face(operator)
    press(operator, "log cut", "data-only")
    more = press(operator, "change run", "data-verb", line_id="o1:1", quantity="11")
    assert "The rest of the run was planned anew" in more.text
    assert "P1: 11 wanted instead of 9, 10 to cut." in more.text
    longer = press(operator, "change run", "data-verb", line_id="o1:1", length_length="520")
    assert "P1: 520 mm instead of 500 mm for all that are not cut." in longer.text
    now = sheet(shift.store)
    assert {line.mark: (line.wanted, line.good, line.length_um) for line in now.lines}["P1"] == (
        11,
        1,
        520_000,
    )
    coming = [piece for bar in now.bars for piece in bar.still_to_cut if piece.mark == "P1"]
    planned = sum(one.waiting for one in now.to_load for piece in one.planned.pieces if piece.mark == "P1")
    assert len(coming) + planned == 10
    assert {piece.length_um for piece in coming} <= {520_000}


def test_what_is_left_goes_to_its_place_with_a_printed_label(shift: ShiftShop, operator: TestClient) -> None:
    load_and_face(operator)
    page = press(operator, "finish bar", measured_length="2985").text
    assert scene(page) == "rest"
    label = forms(page, "put away")[0]["label"]
    bar_id = forms(page, "put away")[0]["bar_id"]
    pdf = operator.get("/at-saw/label.pdf", params={"bar": bar_id, "label": label})
    assert pdf.headers["content-type"] == "application/pdf"
    assert pdf.content.startswith(b"%PDF-")
    answer = press(operator, "put away", place="R2")
    assert f"{label} is on the rack at R2" in answer.text
    remnant = next(bar for bar in shift.store.rack().bars if bar.id == label)
    assert (remnant.kind, remnant.length_um, remnant.heat, remnant.place) == (
        BarKind.REMNANT, 2_985_000, "H100", "R2"
    )  # fmt: skip
    assert scene(operator.get(RUN).text) == "load"


def test_a_run_is_cut_to_its_end_by_forms_alone(shift: ShiftShop, operator: TestClient) -> None:
    for _ in range(60):
        page = operator.get(RUN).text
        match scene(page):
            case "load":
                press(operator, "load bar", label=sheet(shift.store).to_load[0].planned.bar_id)
            case "cut":
                press(operator, "log cut", "data-only")
            case "out":
                press(operator, "finish bar")
            case "rest":
                worth = "Long enough" in page
                press(operator, "put away", place="R1") if worth else press(operator, "scrap remnant")
            case "done":
                page = press(operator, "finish run").text
                break
    assert scene(page) == "over"
    assert good(shift.store) == {"P1": 9, "P2": 10, "Q7": 2}
    assert "The run is finished" in page


@pytest.mark.parametrize(
    "fields",
    [
        {"verb": "log cut", "form_id": "f", "cut_id": "c", "bar_id": "b", "number": "x"},
        {"verb": "log cut", "form_id": "f", "cut_id": "c", "bar_id": "b", "number": "1", "kind": "undo"},
        {
            "verb": "log cut",
            "form_id": "f",
            "cut_id": "c",
            "bar_id": "b",
            "number": "1",
            "trim_length": "ell",
        },
        {"verb": "log cut", "form_id": "f", "cut_id": "c" * 90, "bar_id": "b", "number": "1"},
        {"verb": "log cut", "form_id": "f", "cut_id": "c", "bar_id": "b", "number": "9" * 30},
        {"verb": "load bar", "form_id": "f", "bar_id": "b", "run_id": "r1", "label": "a\x00b"},
        {"verb": "load bar", "bar_id": "b", "run_id": "r1", "label": "A-1"},
        {"verb": "drop order", "form_id": "f"},
        {"verb": "no such verb", "form_id": "f"},
        {"form_id": "f"},
    ],
)
def test_what_no_panel_sends_is_refused_in_words_and_changes_nothing(
    shift: ShiftShop, operator: TestClient, fields: dict[str, str]
) -> None:
    before = shift.store.ledger(1)
    answer = operator.post(f"{RUN}/act", data=fields)
    assert answer.status_code == 422
    assert "could not be read" in answer.text
    assert shift.store.ledger(1) == before


def test_a_group_is_released_once_by_who_may(shift: ShiftShop, demo: ShiftShop) -> None:
    group = {"group": sheet(shift.store).run.group_id}
    again = client_of(shift, "Pia").post("/at-saw/release", data=group)
    assert again.status_code == 409
    assert "already released as run r1" in again.text
    operator = client_of(shift, "Omar").post("/at-saw/release", data=group)
    assert operator.status_code == 403
    assert "may not release run" in operator.text
    gone = client_of(demo).post("/at-saw/release", data={"group": "nothing"})
    assert "no such group any more" in gone.text


def test_a_run_that_is_not_there(operator: TestClient) -> None:
    assert operator.get("/at-saw/run/nothing").status_code == 404
    assert operator.get("/at-saw/label.pdf", params={"bar": "x", "label": "y"}).status_code == 404
