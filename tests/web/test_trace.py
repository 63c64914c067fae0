"""Traces: from a piece to everything it came from, from a heat to everything it became, on one page each."""

import re

import pytest
from fastapi.testclient import TestClient
from tests.web.shift.forms import press
from tests.web.shift.places import client_of, operator, shift
from tests.web.shift.shop import PDF, ShiftShop

from kerfsmith.paper.codes import Code, CodeKind

__all__ = ["operator", "shift"]


@pytest.fixture
def cut(shift: ShiftShop, operator: TestClient) -> TestClient:
    """Three P1 cut from A-1, the second rejected, the remnant put away and one P1 cut from nothing else."""
    press(operator, "load bar", label="A-1")
    press(operator, "log cut", "data-only")
    for _ in range(2):
        press(operator, "log cut", "data-only")
    press(operator, "reject piece", reason="rough face")
    press(operator, "log cut", "data-only")
    press(operator, "inspect piece", measured_length="500.2")
    return operator


def words(page: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", page))


def test_a_mark_leads_to_its_pieces_and_each_to_its_whole_chain(cut: TestClient) -> None:
    found = cut.get("/trace", params={"q": " p1 "})
    assert found.headers["location"] == "/trace/mark/p1"
    page = cut.get("/trace/mark/p1").text
    hrefs = re.findall(r"/trace/piece/[^\"]+", page)
    assert len(hrefs) == 3
    chain = words(cut.get(hrefs[-1]).text)
    links = ["P1", "500 mm", "measured 500.2 mm", "Weir Works", "Gears", "A-1", "H100"]
    for link in (*links, "H100 inspection.pdf", "S-1", "North saw", "Omar"):
        assert link in chain, link
    assert "scrapped: rough face" in words(cut.get(hrefs[1]).text)


def test_a_heat_leads_to_every_piece_and_customer(cut: TestClient) -> None:
    assert cut.get("/trace", params={"q": "H100"}).headers["location"] == "/trace/heat/H100"
    page = words(cut.get("/trace/heat/H100").text)
    assert "2 good pieces (1 more scrapped), to 1 customer; 1 certificate on file" in page
    assert "Weir Works 2 2 × P1" in page


def test_a_bar_leads_to_its_pieces(cut: TestClient) -> None:
    assert cut.get("/trace", params={"q": "A-1"}).headers["location"] == "/trace/bar/A-1"
    assert len(re.findall(r"/trace/piece/[^\"]+", cut.get("/trace/bar/A-1").text)) == 3


def test_a_piece_of_a_remnant_names_the_bar_it_was_left_from(shift: ShiftShop, operator: TestClient) -> None:
    press(operator, "load bar", label="A-1")
    press(operator, "finish bar")
    press(operator, "put away", label="R-9", place="R1")
    press(operator, "change run", "data-verb")
    press(operator, "load bar", label="R-9")
    for _ in range(2):
        press(operator, "log cut", "data-only")
    href = re.findall(r"/trace/piece/[^\"]+", operator.get("/trace/bar/R-9").text)[0]
    assert "Left from A-1" in words(operator.get(href).text)


def test_a_scanned_piece_label_leads_to_that_piece(shift: ShiftShop, cut: TestClient) -> None:
    """The first piece on the first bar of the first pattern; the second good one was cut third."""
    first, second = (Code(CodeKind.PIECE, "p1", 1, 1, place).text for place in (1, 2))
    pieces = re.findall(r"/trace/piece/[^\"]+", cut.get("/trace/bar/A-1").text)
    assert cut.get("/trace", params={"q": first}).headers["location"] == pieces[0]
    assert cut.get("/trace", params={"q": second}).headers["location"] == pieces[2]
    uncut = Code(CodeKind.PIECE, "p1", 1, 1, 4).text
    assert cut.get("/trace", params={"q": uncut}).status_code == 404


def test_a_certificate_is_handed_out_to_be_stored_never_to_be_run(cut: TestClient) -> None:
    page = cut.get("/trace/heat/H100").text
    href = re.findall(r"/certificates/[^\"]+", page)[0]
    answer = cut.get(href)
    assert answer.content == PDF
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"].startswith("attachment;")
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert cut.get("/certificates/nothing").status_code == 404


def test_a_certificate_is_put_on_file_and_anything_else_is_not(shift: ShiftShop, cut: TestClient) -> None:
    at = "/trace/certificates/H200"
    sent = cut.post(at, files={"file": ("../../H200.pdf", PDF, "text/html")})
    assert sent.headers["location"] == "/trace/heat/H200"
    assert "H200.pdf" in cut.get("/trace/heat/H200").text
    script = cut.post(at, files={"file": ("cert.pdf", b"<script>alert(1)</script>", "application/pdf")})
    assert script.status_code == 409
    assert "no whole PDF, PNG or JPEG" in script.text
    guest = client_of(shift, "Gus")
    assert guest.post(at, files={"file": ("a.pdf", PDF)}).status_code == 403


@pytest.mark.parametrize(
    "wanted", ["nothing", "<script>alert(1)</script>", "KS1P.P1.1.1.1.00", "%00", "a" * 300]
)
def test_what_is_not_on_record_is_said_plainly(cut: TestClient, wanted: str) -> None:
    answer = cut.get("/trace", params={"q": wanted})
    assert answer.status_code == 404
    assert "Nothing on record is called" in answer.text
    assert "<script>alert" not in answer.text


def test_a_guest_reads_every_trace(shift: ShiftShop, cut: TestClient) -> None:
    guest = client_of(shift, "Gus")
    for path in ("/trace", "/trace/heat/H100", "/trace/bar/A-1", "/trace/mark/P1"):
        assert guest.get(path).status_code == 200


def test_a_trace_shows_times_load_squareness_and_who_accepted_what_measured_wrong(
    shift: ShiftShop, operator: TestClient
) -> None:
    press(operator, "load bar", label="A-1")
    press(operator, "log cut", "data-only")
    press(
        operator,
        "log cut",
        "data-only",
        began_at="2026-11-25T08:00:00+00:00",
        ended_at="2026-11-25T08:03:20+00:00",
        motor_load_percent="72.5",
    )
    press(operator, "inspect piece", measured_length="501.5", out_of_square_length="0.3")
    piece = re.findall(r"/trace/piece/[^\"]+", operator.get("/trace/mark/P1").text)[0]
    chain = words(operator.get(piece).text)
    assert "It is held until somebody decides" in chain
    assert "out of square by 0.3 mm" in chain
    assert "72.5 % of the rated load" in chain
    assert "3 min 20 s" in chain
    assert "1 piece held" in words(operator.get("/at-saw").text)
    with client_of(shift, "Lea") as lead:
        press(lead, "accept piece", "data-held", reason="the customer agreed")
    chain = words(operator.get(piece).text)
    assert "It is held" not in chain
    assert "accepted as it is Lea" in chain
    assert "the customer agreed" in chain
    assert "piece held" not in words(operator.get("/at-saw").text)
    rows = words(operator.get("/trace/mark/P1").text)
    assert "accepted as it is by Lea: the customer agreed" in rows
    assert "3 min 20 s 72.5 % of the rated load" in rows
