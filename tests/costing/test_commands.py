"""`kerfsmith quote` and `kerfsmith which-saw` as a person or a program calls them."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pypdf
import pytest

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT, app
from kerfsmith.errors import InvalidValue

ORDERS = """mark,grade,section,length,qty,job
P1,1045,round 80 mm,412 mm,6,Hinges
P2,1045,round 80 mm,268 mm,4,Hinges
T1,6061,round 50 mm,120 mm,10,Spacers
"""
RACK = """label,grade,section,length,count,price per bar
B1,1045,round 80 mm,6 m,3,188.00
B2,6061,round 50 mm,3 m,2,95.00
"""


@pytest.fixture
def files(tmp_path: Path) -> Path:
    (tmp_path / "orders.csv").write_text(ORDERS)
    (tmp_path / "rack.csv").write_text(RACK)
    return tmp_path


def call(*words: str) -> int:
    code = app(list(words), result_action="return_value", exit_on_error=False)
    assert isinstance(code, int)
    return code


def quote(files: Path, *more: str) -> int:
    orders, rack = str(files / "orders.csv"), str(files / "rack.csv")
    return call("quote", orders, "--rack", rack, "--customer", "Weir works", "--seconds", "2", *more)


def which(files: Path, *more: str) -> int:
    orders, rack = str(files / "orders.csv"), str(files / "rack.csv")
    return call("which-saw", orders, "--rack", rack, "--seconds", "2", *more)


def printed(capsys: pytest.CaptureFixture[str]) -> Any:
    return json.loads(capsys.readouterr().out)


def test_a_quote_says_whose_figures_may_make_its_sum_another(
    files: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert quote(files) == DONE
    assert "with a shop's own (--shop) the sum is another" in capsys.readouterr().out


def test_a_quote_adds_up_and_writes_its_papers(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    papers = files / "quote.pdf", files / "reckoning.pdf"
    code = quote(files, "--breaks", "20", "--quote", str(papers[0]), "--reckoning", str(papers[1]), "--json")
    document = printed(capsys)
    assert code == DONE
    lines = document["lines"]
    assert [line["mark"] for line in lines] == ["P1", "P2", "T1"]
    assert sum(Decimal(line["total"]) for line in lines) == Decimal(document["total"])
    assert all(Decimal(line["each"]) * line["count"] == Decimal(line["total"]) for line in lines)
    assert all([one["count"] for one in line["breaks"]] == [line["count"], 20] for line in lines)
    assert all(len(pypdf.PdfReader(paper).pages) for paper in papers)


def test_the_shops_own_rates_are_taken(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rates = files / "rates.toml"
    rates.write_text('currency = "USD"\npeople_hour = 0\nmargin = 0.0\n[saw_hour]\nnorth = 50.0\n')
    assert quote(files, "--rates", str(rates), "--json") == DONE
    document = printed(capsys)
    assert document["currency"] == "USD"
    # Without margin the price each is the cost but for the rounding, at most half a cent a piece.
    cost, total = Decimal(document["cost"]), Decimal(document["total"])
    assert abs(cost - total) <= Decimal("0.005") * 20


def test_a_fault_in_the_rates_is_a_finding(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rates = files / "rates.toml"
    rates.write_text("margin = 7\n")
    assert quote(files, "--rates", str(rates), "--json") == INPUT_AT_FAULT
    assert [finding["field"] for finding in printed(capsys)["findings"]] == ["margin"]


def test_what_cannot_be_cut_is_not_offered(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (files / "orders.csv").write_text(ORDERS + "X,1045,round 900 mm,100 mm,2,Drum\n")
    assert quote(files, "--json") == CANNOT
    assert [one["mark"] for one in printed(capsys)["not_offered"]] == ["X"]


@pytest.mark.parametrize(
    "option", [("--breaks", "ten"), ("--margin", "much"), ("--margin", "100"), ("--paper", "a5")]
)
def test_an_option_that_makes_no_sense_is_refused(files: Path, option: tuple[str, str]) -> None:
    with pytest.raises(InvalidValue):
        quote(files, *option)


def test_which_saw_sets_saws_side_by_side(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    report = files / "report.pdf"
    code = which(
        files, "--saw", "north", "--saw", "light-metal", "--yearly", "50", "--price", "light-metal=60000",
        "--report", str(report), "--paper", "letter", "--json",
    )  # fmt: skip
    document = printed(capsys)
    assert code == DONE
    assert document["pieces_a_year"] == 20 * 50
    north, light = document["saws"]
    assert [one["mark"] for one in light["cannot"]] == ["P1", "P2"]
    assert north["cannot"] == []
    assert document["lines_common"] == 1
    assert document["pay_back"][0]["saw"] == "light-metal"
    assert len(pypdf.PdfReader(report).pages) >= 1


def test_which_saw_in_plain_words(files: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert which(files, "--saw", "north", "--saw", "yard") == DONE
    words = capsys.readouterr().out
    for one in ("North saw", "Yard saw", "pieces it cuts", "cost a piece"):
        assert one in words


def test_one_saw_is_no_comparison(files: Path) -> None:
    with pytest.raises(InvalidValue):
        which(files, "--saw", "north")
