"""Findings, cuts and plans in another language, and no sentence that could not be told in one."""

import ast
import itertools
from collections.abc import Iterator
from dataclasses import replace
from importlib import resources

import pytest
from scripts.write_sentences import SENTENCES, Places, core_trees, places_of_sentences
from tests.tables import package_tables
from tests.wiring.made_up import left_in_english, made_up

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.make_plan import in_turn, make_plan, tasks_of
from kerfsmith.planning.nest_group import Effort
from kerfsmith.shop.order import OrderLine
from kerfsmith.shop.rack import Bar, Rack
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told
from kerfsmith.web.backstage import CutQuestion
from kerfsmith.wiring.cut import answer_cut
from kerfsmith.wiring.reading import read_order_bytes


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return package_tables()


def names(catalog: Catalog) -> list[str]:
    return [name for saw in catalog.saws for name in (saw.id, saw.name)]


def test_the_made_up_language_turns_fields_around() -> None:
    assert made_up("{saw} takes {least}, no less") == "{least} xxxxx {saw}, xx xxxx"
    assert left_in_english([Told("never gathered"), "no band for it"], ["band"]) == {
        *("never", "gathered", "no", "for", "it")
    }


def test_findings_of_a_faulty_list(catalog: Catalog) -> None:
    data = resources.files("kerfsmith.demo").joinpath("faulty_list.csv").read_bytes()
    findings = read_order_bytes("faulty_list.csv", data, catalog).findings
    assert len(findings) > 20
    for one in findings:
        field = (one.field or "").replace("_", " ")
        assert left_in_english([one.problem, one.remedy], [one.read, field, *PIPES]) == set(), one


PIPES = ("XS", "STD", "XXS", "Sch", "NPS")
"""Schedules that a finding offers."""
CUTS = [
    ("4140", "round 100 mm", 0, 1),
    ("4140", "tube 60 x 60 x 3 mm", 45, 1),
    ("6061", "flat 100 x 10 mm", 0, 6),
    ("Ti-6Al-4V", "round 50 mm", 0, 1),
    ("304L", "round 700 mm", 0, 1),
    ("4140", "round 50 mm", 75, 1),
]


@pytest.mark.parametrize(("grade", "section", "angle", "bundle"), CUTS)
def test_reasons_cautions_and_misfits_of_a_cut(
    catalog: Catalog, grade: str, section: str, angle: float, bundle: int
) -> None:
    question = CutQuestion(
        grade=grade, section=section, angle_deg=angle, bundle=bundle, hb=330, coolant=False
    )
    answer = answer_cut(replace(question, band_state="new, being run in"), catalog)
    texts = [text for one in answer.findings for text in (one.problem, one.remedy)]
    for setting in answer.alternatives:
        texts += [*setting.cautions, *(reason.text for reason in setting.reasons)]
    if answer.cannot:
        texts.append(answer.cannot.text)
        texts += [
            text for _, found in answer.cannot.misfits for one in found for text in (one.text, one.remedy)
        ]
    assert len(texts) > 3
    assert left_in_english(texts, [*names(catalog), grade, section]) == set()


def test_a_plan_with_pieces_left_out(catalog: Catalog) -> None:
    section = catalog.section_called("HEA 200")
    assert section is not None
    lengths = {"long": 40_000, "tiny": 4, "good": 1_500, "many": 5_000}
    lines = [
        OrderLine(name, name, "S355J2", section, length * 1000, 40 if name == "many" else 1)
        for name, length in lengths.items()
    ]
    rack = Rack((Bar("B-1", "S355J2", section, 6_000_000, 2),))
    effort = Effort(seconds=1e6, seed=1, now=itertools.repeat(0.0).__next__, should_stop=lambda: False)
    plan = make_plan(
        tasks_of(lines, rack), in_turn(catalog, ShopRules(), effort), plan_id="p", name="p", seed=1
    )
    texts = [one.reason for group in plan.groups for one in group.unplanned]
    texts += [note for group in plan.groups for note in group.notes]
    assert len(texts) > 3
    assert left_in_english(texts, [*names(catalog), *lengths, "HEA 200", "S355J2"]) == set()


ENGLISH_YET = (
    "planning/check",
    "nesting/engines/",
)
"""Where sentences are still put together in English."""


def test_no_sentence_is_put_together_where_it_is_told() -> None:
    trees = core_trees()
    places = places_of_sentences(trees.values())
    left = {
        f"{file}:{found.lineno}"
        for file, tree in trees.items()
        if not file.startswith(ENGLISH_YET)
        for found in _put_together(tree, places)
    }
    assert left == set(), "tell it by sentence(...)"


def _put_together(tree: ast.Module, places: Places) -> Iterator[ast.JoinedStr]:
    """Formatted strings with words in them that stand where a sentence is told."""
    for call in ast.walk(tree):
        if isinstance(call, ast.Call):
            name = getattr(call.func, "id", getattr(call.func, "attr", ""))
            told = [call.args[place] for place in places.get(name, ()) if place < len(call.args)]
            told += [one.value for one in call.keywords if one.arg in SENTENCES]
            for one in told:
                if isinstance(one, ast.JoinedStr) and " " in _words_of(one).strip():
                    yield one


def _words_of(text: ast.JoinedStr) -> str:
    return "".join(str(part.value) for part in text.values if isinstance(part, ast.Constant))
