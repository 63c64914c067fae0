"""The bare nesting problem as JSON: what goes in, what comes out, and what happens to what can't be used."""

import json
from collections.abc import Iterator
from decimal import Decimal
from time import process_time
from typing import Any

import pytest

from kerfsmith.nesting.contract import exit_code, nest, read_problem
from kerfsmith.nesting.rules import Rule, rules_of

EXAMPLE: dict[str, Any] = {
    "kerf_mm": 1.8,
    "front_trim_mm": 5,
    "grip_mm": 80,
    "bars": [{"id": "A", "length_mm": 6000, "count": 12, "cost": 100.0}],
    "pieces": [{"id": "P1", "length_mm": 1190, "count": 20}],
}


def ask(problem: object) -> tuple[dict[str, Any], int]:
    written, result, _ = nest(problem, seconds=10, seed=0, now=process_time)
    return json.loads(json.dumps(written)), exit_code(result)


def test_the_example_of_the_contract() -> None:
    written, code = ask(EXAMPLE)
    assert code == 0
    # By hand: 6000 - 5 - 1.8 - 4 x 1191.8 = 1226.
    assert written["patterns"][0]["remnant_mm"] == 1226.0
    assert written["patterns"][0]["pieces"] == [{"id": "P1", "count": 4}]
    assert (written["patterns"][0]["bar"], written["patterns"][0]["times"]) == ("A", 5)
    wanted = {"status": "optimal", "cost": 500.0, "lower_bound": 500.0, "bars_used": 5}
    assert {name: written[name] for name in wanted} == wanted
    assert written["seconds"] >= 0


def test_cost_is_the_length_where_none_is_given_and_null_is_any_number() -> None:
    bars = [{"id": "A", "length_mm": 6000, "count": None}]
    written, code = ask({"kerf_mm": 0, "bars": bars, "pieces": [{"id": "P", "length_mm": 3000, "count": 3}]})
    assert (written["cost"], written["bars_used"], code) == (12000.0, 2, 0)


def test_too_few_bars_exit_with_the_reason() -> None:
    asked = EXAMPLE | {"bars": [{"id": "A", "length_mm": 6000, "count": 4, "cost": 100}]}
    written, code = ask(asked)
    assert (written["status"], written["cost"], written["patterns"], code) == ("infeasible", None, [], 1)
    assert [(r["piece"], r["count"], r["length_mm"]) for r in written["reasons"]] == [("P1", 4, 4760.0)]


@pytest.mark.parametrize(
    ("read", "micrometres"),
    [(1190.1 + 0.2, 1_190_300), (Decimal("46.875") * Decimal("25.4"), 1_190_625), (12, 12_000)],
    ids=["binary dust", "46 7/8 in", "whole"],
)
def test_lengths_are_whole_micrometres(read: object, micrometres: int) -> None:
    asked = EXAMPLE | {"pieces": [{"id": "P", "length_mm": read, "count": 1}]}
    problem, findings = read_problem(asked)
    assert findings == ()
    assert problem is not None
    assert problem.pieces[0].length_um == micrometres


def test_what_is_finer_than_a_micrometre_goes_the_safe_way_and_says_so() -> None:
    # A sixteenth of an inch is 1.5875 mm: the kerf may be taken larger, never smaller; a bar the other way.
    asked = EXAMPLE | {"kerf_mm": 1.5875, "bars": [{"id": "A", "length_mm": 5999.9999, "count": 1}]}
    problem, findings = read_problem(asked)
    assert problem is not None
    assert (problem.kerf_um, problem.bars[0].length_um) == (1588, 5_999_999)
    assert [finding.field for finding in findings] == ["kerf_mm", "bars[0].length_mm"]
    assert not any(finding.is_error for finding in findings)


WRONG = [
    ("", []),
    ("kerf_mm", EXAMPLE | {"kerf_mm": "1.8"}),
    ("kerf_mm", {name: value for name, value in EXAMPLE.items() if name != "kerf_mm"}),
    ("kerf_mm", EXAMPLE | {"kerf_mm": -1}),
    ("grip_mm", EXAMPLE | {"grip_mm": float("nan")}),
    ("grip_mm", EXAMPLE | {"grip_mm": float("inf")}),
    ("front_trim_mm", EXAMPLE | {"front_trim_mm": True}),
    ("bars", EXAMPLE | {"bars": {}}),
    ("bars[0]", EXAMPLE | {"bars": [7]}),
    ("bars[0].length_mm", EXAMPLE | {"bars": [{"id": "A", "length_mm": 0}]}),
    ("bars[0].count", EXAMPLE | {"bars": [{"id": "A", "length_mm": 10, "count": -1}]}),
    ("bars[0].count", EXAMPLE | {"bars": [{"id": "A", "length_mm": 10, "count": 1.5}]}),
    ("bars[0].cost", EXAMPLE | {"bars": [{"id": "A", "length_mm": 10, "cost": -3}]}),
    ("bars[0].id", EXAMPLE | {"bars": [{"length_mm": 10}]}),
    ("bars[1].id", EXAMPLE | {"bars": [{"id": "A", "length_mm": 10}, {"id": "A", "length_mm": 20}]}),
    ("pieces", EXAMPLE | {"pieces": None}),
    ("pieces[0].count", EXAMPLE | {"pieces": [{"id": "P", "length_mm": 5}]}),
    ("pieces[0].length_mm", EXAMPLE | {"pieces": [{"id": "P", "length_mm": 1e308, "count": 1}]}),
    ("pieces[0].length_mm", EXAMPLE | {"pieces": [{"id": "P", "length_mm": 5e-324, "count": 1}]}),
    ("pieces[0].ends_deg", EXAMPLE | {"pieces": [{"id": "P", "length_mm": 5, "count": 1, "ends_deg": [45]}]}),
    ("aims", EXAMPLE | {"aims": ["glory"]}),
    ("turns", EXAMPLE | {"turns": ["inside out"]}),
]


@pytest.mark.parametrize(("field", "asked"), WRONG)
def test_what_cannot_be_used_is_a_finding(field: str, asked: object) -> None:
    written, code = ask(asked) if not isinstance(asked, list) else ask([])
    assert code == 2
    errors = [f["field"] for f in written["findings"] if f["severity"] == "error"]
    assert field in errors


def test_a_field_nobody_knows_is_told() -> None:
    _, findings = read_problem(EXAMPLE | {"kerf": 3})
    assert [(finding.code, finding.field) for finding in findings] == [("unknown-field", "kerf")]


ROOM = {
    "kerf_mm": 1.6,
    "front_trim_mm": 5,
    "grip_mm": 60,
    "depth_mm": 100,
    "turns": ["over", "half turn"],
    "bundle_most": 2,
    "load_ms": 240000,
    "cut_ms": [60000, 80000],
    "slanted_cuts": [{"angle_deg": 45, "cut_ms": [85000, 120000]}],
    "least_remnant_mm": 500,
    "most_remnants": 2,
    "remnant_worth": [{"from_mm": 500, "per_metre": 1.5}, {"from_mm": 2000, "per_metre": 3}],
    "rates": {"saw_per_second": 0.02, "per_load": 0.5, "per_late_piece": 25},
    "one_heat_orders": ["O1"],
    "aims": ["late", "money"],
    "promises": [{"piece": "b", "bar": "old", "count": 1}],
    "former": [{"bar": "new", "times": 1, "pieces": [{"id": "a", "count": 2}]}],
    "most_changes": 1,
    "bars": [
        {"id": "new", "length_mm": 6000, "count": None, "cost": 30, "heat": "H1", "material": "S235"},
        {"id": "old", "length_mm": 2400, "count": 1, "cost": 5, "is_remnant": True, "end_is_good": True,
         "heat": "H2", "material": "S355"},
        {"id": "short", "length_mm": 1100, "count": 1, "cost": 2, "is_remnant": True,
         "heat": "H1", "material": "S235"},
        {"id": "begun", "length_mm": 6000, "count": 1, "cost": 0, "heat": "H1", "material": "S235",
         "begun": [{"id": "a"}]},
    ],
    "pieces": [
        {"id": "a", "length_mm": 1200, "count": 5, "ends_deg": [45, -45], "order": "O1",
         "materials": ["S235"]},
        {"id": "b", "length_mm": 900, "count": 2, "over_mm": 2, "due_ms": 1500000, "heats": ["H2"],
         "materials": ["S235", "S355"]},
    ],
}  # fmt: skip


def test_every_rule_of_the_saw_room_can_be_written() -> None:
    problem, findings = read_problem(ROOM)
    assert findings == ()
    assert problem is not None
    assert rules_of(problem) == tuple(Rule)
    written, code = ask(ROOM)
    assert code == 0
    assert written["status"] == "optimal"
    assert [aim["aim"] for aim in written["aims"]] == ["late", "money"]
    assert sum(
        pattern["times"] * piece["count"] for pattern in written["patterns"] for piece in pattern["pieces"]
    ) == 7  # fmt: skip
    begun = next(pattern for pattern in written["patterns"] if pattern["bar"] == "begun")
    assert begun["placed"][0]["id"] == "a"


@pytest.mark.parametrize(
    ("field", "change"),
    [
        (
            "remnant_worth",
            {"remnant_worth": [{"from_mm": 10, "per_metre": 2}, {"from_mm": 20, "per_metre": 1}]},
        ),
        ("cut_ms", {"cut_ms": []}),
        ("cut_ms", {"cut_ms": [1.5]}),
        ("slanted_cuts[0].cut_ms", {"slanted_cuts": [{"angle_deg": 45, "cut_ms": []}]}),
        ("slanted_cuts[0]", {"slanted_cuts": [{"angle_deg": 0, "cut_ms": [1]}]}),
        ("slanted_cuts", {"slanted_cuts": 2 * [{"angle_deg": 30, "cut_ms": [1]}]}),
        ("rates", {"rates": 3}),
        ("rates.per_load", {"rates": {"per_load": -1}}),
        ("one_heat_orders", {"one_heat_orders": "O1"}),
        ("promises[0].count", {"promises": [{"piece": "a", "bar": "new"}]}),
        ("former[0].pieces", {"former": [{"bar": "new", "times": 1}]}),
        ("", {"promises": [{"piece": "nobody", "bar": "new", "count": 1}]}),
        ("pieces[0].ends_deg", {"depth_mm": 0}),
    ],
)
def test_a_rule_that_cannot_be_used_is_a_finding(field: str, change: dict[str, Any]) -> None:
    _, findings = read_problem(ROOM | change)
    assert field in [finding.field for finding in findings if finding.is_error]


JUNK = [
    None,
    True,
    "x",
    "",
    [],
    [3],
    {},
    {"id": 7},
    -1,
    0,
    1.5,
    1e300,
    float("nan"),
    10**30,
    Decimal("1E+99"),
]


def spoilt(value: Any, junk: Any) -> Iterator[Any]:
    """The value with each of its parts replaced by junk in turn."""
    yield junk
    if isinstance(value, dict):
        for name, part in value.items():
            for other in spoilt(part, junk):
                yield {**value, name: other}
    elif isinstance(value, list):
        for index, part in enumerate(value):
            for other in spoilt(part, junk):
                yield [*value[:index], other, *value[index + 1 :]]


def test_no_junk_anywhere_makes_it_fall_over() -> None:
    read = refused = 0
    for junk in JUNK:
        for asked in spoilt(ROOM, junk):
            problem, findings = read_problem(asked)
            assert (problem is None) == any(finding.is_error for finding in findings)
            assert all(str(finding) for finding in findings)
            read += 1
            refused += problem is None
    assert read > 1000
    assert refused > read / 2
