"""The commands as a person or a program calls them: what they print and with which code they end."""

import itertools
import json
import math
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from kerfsmith.cli.main import CANNOT, DONE, INPUT_AT_FAULT, app
from kerfsmith.demo.files import FAULTY, ORDER_BOOK, RACK
from kerfsmith.errors import InvalidValue
from kerfsmith.wiring.demo_files import write_demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    write_demo(folder)
    return folder


def call(*words: str) -> int:
    code = app(list(words), result_action="return_value", exit_on_error=False)
    assert isinstance(code, int)
    return code


def printed(capsys: pytest.CaptureFixture[str]) -> Any:
    return json.loads(capsys.readouterr().out)


def nest_file(tmp_path: Path, problem: dict[str, Any]) -> str:
    path = tmp_path / "problem.json"
    path.write_text(json.dumps(problem))
    return str(path)


def stock(length: float, pieces: dict[float, int], **more: Any) -> dict[str, Any]:
    wanted = [{"id": str(size), "length_mm": size, "count": count} for size, count in pieces.items()]
    bars = [{"id": "R", "length_mm": length, "count": None, "cost": 1}]
    return {"kerf_mm": 0, "front_trim_mm": 0, "grip_mm": 0, "bars": bars, "pieces": wanted} | more


# V. Chvatal, Linear Programming (1983), chapter 13 (memory, good): 453 rolls, LP 452.25.
CHVATAL = stock(100, {45: 97, 36: 610, 31: 395, 14: 211})
# Encyclopaedia article "Cutting stock problem" (demands from memory, good): 73 bars.
PAPER_MILL = stock(
    5600,
    {
        1380: 22,
        1520: 25,
        1560: 12,
        1710: 14,
        1820: 18,
        1880: 18,
        1930: 20,
        2000: 10,
        2050: 12,
        2100: 14,
        2140: 16,
        2150: 18,
        2200: 20,
    },
)


@pytest.mark.parametrize(("problem", "bars"), [(CHVATAL, 453), (PAPER_MILL, 73)])
def test_textbook_problems_are_proven(
    problem: dict[str, Any], bars: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert call("nest", nest_file(tmp_path, problem), "--json") == DONE
    answer = printed(capsys)
    assert answer["status"] == "optimal"
    assert answer["bars_used"] == answer["cost"] == answer["lower_bound"] == bars


@pytest.mark.parametrize(("length", "on_one_bar"), [(1190, 4), (1180.08, 5)])
def test_the_boundary_of_a_bar_is_exact(
    length: float, on_one_bar: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # (6000 - 10 - 1.6 - 80) / (1190 + 1.6) = 4.96 and / (1180.08 + 1.6) = 5 exactly; worked by hand.
    problem = stock(6000, {length: 5}, kerf_mm=1.6, front_trim_mm=10, grip_mm=80)
    assert call("nest", nest_file(tmp_path, problem), "--json") == DONE
    answer = printed(capsys)
    assert max(sum(piece["count"] for piece in row["pieces"]) for row in answer["patterns"]) == on_one_bar
    assert answer["bars_used"] == (1 if on_one_bar == 5 else 2)


def test_what_cannot_be_nested_says_why(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    problem = stock(6000, {2500: 3})
    problem["bars"][0]["count"] = 1
    assert call("nest", nest_file(tmp_path, problem), "--json") == CANNOT
    answer = printed(capsys)
    assert answer["status"] == "infeasible"
    assert "2500" in json.dumps(answer["reasons"])


def test_a_nesting_problem_at_fault_has_findings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    problem = stock(6000, {2500: 3})
    problem["pieces"][0]["length_mm"] = "long"
    assert call("nest", nest_file(tmp_path, problem), "--json") == INPUT_AT_FAULT
    assert printed(capsys)["findings"][0]["field"] == "pieces[0].length_mm"


def test_standard_input_and_a_clean_standard_output() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "kerfsmith", "nest", "-", "--json"],
        input=json.dumps(CHVATAL),
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == DONE
    assert json.loads(run.stdout)["cost"] == 453


def test_the_order_book_plans_alike_from_csv_and_xlsx(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plans = []
    for name in (ORDER_BOOK, ORDER_BOOK.replace(".csv", ".xlsx")):
        # The demo's rack is a bar short in one group, on purpose.
        assert call("plan", str(demo / name), "--rack", str(demo / RACK), "--json") == CANNOT
        plans.append(printed(capsys))
    assert plans[0]["groups"] == plans[1]["groups"]
    # Tolerances such as +1/16 -0 have no unit; what they were taken in is told once for inches, once for mm.
    for one in plans:
        assert [finding["code"] for finding in one["findings"]] == ["tolerance-unit"] * 2
    assert plans[0]["pieces_planned"] == plans[0]["pieces_wanted"] == 333
    assert len(plans[0]["groups"]) == 26
    # What the frames of S235JR may be cut from instead saves a bar of 6 m at 121 for a remnant at 38.
    (cut,) = [group for group in plans[0]["groups"] if group["substituted"]]
    assert (cut["grade"], cut["section"]) == ("S355J2", "SHS 100x100x6")
    assert {one["ordered"] for one in cut["substituted"]} == {"S235JR SHS 100x100x6"}
    assert (cut["substitutes_save"]["cost"], cut["substitutes_save"]["is_proven"]) == (83.0, True)
    assert {group["standing"] for group in plans[0]["groups"]} == {"proven best", "short of bars"}
    assert all(group["lower_bound"] <= group["cost"] * (1 + 1e-9) for group in plans[0]["groups"])


def test_twenty_kinds_of_bad_row_are_found_and_every_good_row_planned(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code = call("plan", str(demo / FAULTY), "--rack", str(demo / RACK), "--json")
    answer = printed(capsys)
    assert code == INPUT_AT_FAULT
    errors = [finding for finding in answer["findings"] if finding["severity"] == "error"]
    rows = (demo / FAULTY).read_text(encoding="utf-8").splitlines()
    bad = [number for number, row in enumerate(rows, start=1) if row.startswith("X-")]
    assert len(bad) == 20
    assert [finding["row"] for finding in errors] == bad
    for finding in errors:
        assert finding["file"] == FAULTY
        assert finding["field"]
        assert finding["problem"]
        assert finding["remedy"]
    assert answer["pieces_planned"] == 4 + 2 + 3


def test_papers_are_written(demo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tickets, labels = tmp_path / "tickets.pdf", tmp_path / "labels.pdf"
    call(
        "plan",
        str(demo / FAULTY),
        "--rack",
        str(demo / RACK),
        "--tickets",
        str(tickets),
        "--labels",
        str(labels),
        "--paper",
        "letter",
        "--measure",
        "inch",
    )
    assert tickets.read_bytes().startswith(b"%PDF-")
    assert labels.read_bytes().startswith(b"%PDF-")
    assert "proven best" in capsys.readouterr().out


def test_bars_are_cut_at_once_where_it_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    orders = tmp_path / "tubes.csv"
    orders.write_text("Mark,Grade,Section,Length,Qty\nT,S355J2,SHS 100x100x6,2800 mm,8\n", encoding="utf-8")
    assert call("plan", str(orders), "--at-once", "3", "--json") == DONE
    (group,) = printed(capsys)["groups"]
    # Four bought bars of 6 m hold two pieces each; clamps of 300 mm take three side by side.
    assert [(bar["times"], bar["at_once"]) for bar in group["bars"]] == [(4, 2)]
    assert (group["bars_used"], group["loads"]) == (4, 2)
    assert [setting["at_once"] for setting in group["bundle_settings"]] == [2]
    assert call("plan", str(orders), "--at-once", "3") == DONE
    assert "4 in 2 loads" in capsys.readouterr().out
    with pytest.raises(InvalidValue, match="bars at once are 1 to"):
        call("plan", str(orders), "--at-once", "0")


def test_without_a_rack_bars_are_bought(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert call("plan", str(demo / ORDER_BOOK), "--stock", "6.5 m", "--json") == DONE
    answer = printed(capsys)
    assert {bar["kind"] for group in answer["groups"] for bar in group["bars"]} == {"to buy"}
    # The heaviest, 300 mm round (554.9 kg/m, by hand), is ordered in what a load of 1600 kg allows.
    lengths = {bar["length_mm"] for group in answer["groups"] for bar in group["bars"]}
    assert lengths == {6500.0, 2883.0}
    assert [finding["code"] for finding in answer["findings"]] == ["tolerance-unit"] * 2 + ["rack-missing"]


def test_one_cut_answers_with_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("cut", "--grade", "4140", "--section", "round 4 in", "--json") == DONE
    answer = printed(capsys)
    assert answer["fits"] is True
    assert answer["reasons"]
    assert answer["band"]["pitch"]
    assert answer["band"]["kerf_mm"] > answer["band"]["thickness_mm"]
    assert 0 < answer["cut_seconds_low"] <= answer["cut_seconds"] <= answer["cut_seconds_high"]
    # Area of a 4 in circle, by hand: 4 pi in2 = 81.07 cm2.
    assert answer["area_cm2"] == pytest.approx(81.0732, abs=1e-4)
    assert answer["band"]["width_mm"] > 0
    assert answer["band_speed_m_per_min"] > 0
    assert answer["peak_power_kw"] > 0
    slices = answer["slices"]
    for one in slices:
        assert one["feed_mm_per_min"] > 0
        assert one["limit"]
        # Chord of a circle: 2 sqrt(d (D - d)).
        depth = one["depth_mm"]
        assert one["contact_mm"] == pytest.approx(2 * math.sqrt(depth * (101.6 - depth)), rel=1e-6)
    # The slices give the time back: the integral of dy / vf over them, by trapezia.
    taken = sum(
        (b["depth_mm"] - a["depth_mm"]) * 30 * (1 / a["feed_mm_per_min"] + 1 / b["feed_mm_per_min"])
        for a, b in itertools.pairwise(slices)
    )
    assert taken == pytest.approx(answer["cut_seconds"], rel=0.01)


def test_a_cut_too_large_says_what_fails_and_what_would_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("cut", "--grade", "4140", "--section", "round 900 mm", "--json") == CANNOT
    answer = printed(capsys)
    assert answer["fits"] is False
    assert any(reason["wanted"] == pytest.approx(900) for reason in answer["reasons"])
    assert all(reason["remedy"] for reason in answer["reasons"])


@pytest.mark.parametrize(
    "words",
    [
        ("cut", "--grade", "41400", "--section", "round 4 in", "--json"),
        ("cut", "--grade", "4140", "--section", "round 4", "--json"),
        ("cut", "--grade", "4140", "--section", "round 4 in", "--saw", "nobody's", "--json"),
    ],
)
def test_a_cut_asked_wrongly_has_findings(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert call(*words) == INPUT_AT_FAULT
    assert printed(capsys)["findings"]


def test_a_file_that_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    assert call("plan", "nowhere.csv") == INPUT_AT_FAULT
    assert "nowhere.csv" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["plan"], ["cut", "--grade"], ["saw"], ["nest", "a", "--seconds", "many"]])
def test_wrong_usage_ends_with_two(words: list[str]) -> None:
    run = subprocess.run([sys.executable, "-m", "kerfsmith", *words], capture_output=True, check=False)
    assert run.returncode == INPUT_AT_FAULT


def test_one_cut_offers_what_to_choose_from(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("cut", "--grade", "4140", "--section", "round 4 in", "--saw", "north", "--json")
    assert call(*words) == DONE
    answer = printed(capsys)
    front, named = answer["trade_off"]["front"], answer["trade_off"]["named"]
    assert named.keys() == {"quickest", "cheapest", "safest"}
    assert named["quickest"]["cut_seconds"] == min(one["cut_seconds"] for one in front)
    assert named["cheapest"]["cost"] == min(one["cost"] for one in front)
    assert named["safest"]["risk"] == min(one["risk"] for one in front)
    for one in [*front, *answer["trade_off"]["by_band"]]:
        assert one["cut_seconds_low"] <= one["cut_seconds"] <= one["cut_seconds_high"]
        assert one["cost_low"] <= one["cost"] <= one["cost_high"]
        assert 0 < one["strain"] <= 1 + 1e-6
    bands = [one["band"]["id"] for one in answer["trade_off"]["by_band"]]
    assert len(bands) == len(set(bands)) > 5
    # By hand: 205000 MPa x 1.1 mm / (495 mm + 1.1 mm), TRADE's thin strip on a wheel.
    mechanics = answer["band_mechanics"]
    assert answer["currency"] == "EUR"
    assert mechanics["bending_mpa"] == pytest.approx(205_000 * 1.1 / (495 + 1.1), rel=1e-3)
    assert mechanics["kerf_mm"][0] > mechanics["kerf_mm"][1]


def test_what_a_cut_costs_is_printed_with_its_currency(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("cut", "--grade", "4140", "--section", "round 4 in", "--saw", "north")
    assert call(*words, "--json") == DONE
    cost = printed(capsys)["trade_off"]["named"]["cheapest"]["cost"]
    assert call(*words) == DONE
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("  cheapest"))
    assert f"{cost:.2f} EUR a cut" in line


@pytest.mark.parametrize(
    ("name", "measure"), [("quickest", "cut_seconds"), ("cheapest", "cost"), ("safest", "risk")]
)
def test_what_is_chosen_is_set(name: str, measure: str, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("cut", "--grade", "A36", "--section", "W12X26", "--choose", name, "--json")
    assert call(*words) == DONE
    answer = printed(capsys)
    best = answer["trade_off"]["named"][name]
    assert answer["saw"] == answer["trade_off"]["saw"]
    assert answer["band"]["id"] == best["band"]["id"]
    assert answer["band_speed_m_per_min"] == best["band_speed_m_per_min"]
    assert answer["cut_seconds"] == pytest.approx(best["cut_seconds"], rel=1e-9)
    # No saw of the shop does better at it.
    for saw in ("north", "yard"):
        assert call("cut", "--grade", "A36", "--section", "W12X26", "--saw", saw, "--json") == DONE
        assert printed(capsys)["trade_off"]["named"][name][measure] >= best[measure] * (1 - 1e-9)


def test_a_place_on_the_front_can_be_chosen_and_a_wrong_one_is_found(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ("cut", "--grade", "4140", "--section", "round 4 in", "--json", "--choose")
    assert call(*words, "2") == DONE
    answer = printed(capsys)
    assert answer["cut_seconds"] == pytest.approx(answer["trade_off"]["front"][1]["cut_seconds"])
    for wrong in ("fastest", "99", "0"):
        assert call(*words, wrong) == INPUT_AT_FAULT
        finding = printed(capsys)["findings"][0]
        assert (finding["field"], finding["read"]) == ("choose", wrong)
        assert finding["remedy"]


@pytest.mark.parametrize(
    ("grade", "section"),
    [("Ti-6Al-4V", "round 4 in"), ("A36", "W12X26"), ("304L", "pipe 4 sch 40"), ("4140", "round 40 in")],
)
def test_an_inch_reader_is_told_nothing_in_metric(
    grade: str, section: str, capsys: pytest.CaptureFixture[str]
) -> None:
    code = call("cut", "--grade", grade, "--section", section, "--measure", "inch")
    assert code == (CANNOT if section == "round 40 in" else DONE)
    told = capsys.readouterr().out
    # The turning constant kc1.1 is given by its sources in N/mm2 at a chip of 1 mm, whoever reads;
    # names of bands carry the width they are sold by.
    lines = [line for line in told.splitlines() if "kc1.1" not in line and not line.startswith("band  ")]
    metric = re.compile(r"\d (mm|cm²|cm2|m/min|mm/min|µm|um|kW|kN|N|MPa|kg)\b")
    assert [line for line in lines if metric.search(line)] == []
    assert re.search(r"\d in\b", told)
