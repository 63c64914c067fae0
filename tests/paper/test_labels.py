"""Labels: one for each piece and each remnant kept, every code scans and names that very piece."""

from dataclasses import replace
from datetime import date

import pytest
from tests.paper import reading, shop
from tests.paper.case import ROUND, Case

from kerfsmith.errors import InvalidValue, UnknownName
from kerfsmith.paper.codes import CodeKind, read_code
from kerfsmith.paper.labels import Label, piece_labels, remnant_labels
from kerfsmith.paper.stock import STOCKS, Stock
from kerfsmith.paper.typeset import labels_pdf
from kerfsmith.planning.substituted import Substituted
from kerfsmith.shop.order import Material
from kerfsmith.units.length import Measure

DAY = date(2026, 3, 2)


def labels_of(case: Case, measure: Measure = Measure.METRIC) -> tuple[Label, ...]:
    pieces = piece_labels(case.plan, case.group, measure=measure, lines=case.lines)
    return pieces + remnant_labels(case.plan, case.group, measure=measure)


@pytest.mark.parametrize("stock", list(STOCKS))
@pytest.mark.parametrize("measure", list(Measure))
def test_every_code_scans_from_the_printed_label(
    rounds: Case, mitred: Case, stock: str, measure: Measure
) -> None:
    labels = labels_of(rounds, measure) + labels_of(mitred, measure)
    pdf = labels_pdf(labels, stock=stock, title="Labels", date=DAY)
    assert sorted(reading.codes(pdf)) == sorted(label.code for label in labels)


def test_a_label_names_the_very_piece_it_is_stuck_to(rounds: Case) -> None:
    labels = [label for label in labels_of(rounds) if label.kind == "piece"]
    assert len(labels) == rounds.group.pieces_planned == 30
    single = [bar for bar in rounds.group.bars for _ in range(bar.times)]
    seen = set()
    for label in labels:
        code = read_code(label.code)
        assert (code.kind, code.plan, code.run) == (CodeKind.PIECE, "SPRING", 1)
        bar = single[code.bar - 1]
        piece = bar.pieces[code.piece - 1]
        assert (label.head, label.heat) == (piece.mark, bar.heat)
        assert bar.bar_id in label.bar
        seen.add((code.bar, code.piece))
    assert len(seen) == 30


def test_the_words_stand_beside_the_code(rounds: Case) -> None:
    printed = reading.text(labels_pdf(labels_of(rounds), title="Labels", date=DAY))
    for words in (
        "P-102", "1190.63 mm", "1 of 1", "20 of 20", "4140 · round 4 in", "heat H4398", "order A-1187",
        "bar B-207 · run 1 bar 4", "REMNANT", "699 mm", "place B1-4",
    ):  # fmt: skip
        assert words in printed, words
    for label in labels_of(rounds):
        assert label.code in printed


def test_a_piece_cut_from_a_substitute_says_what_was_ordered(rounds: Case) -> None:
    first = rounds.group.bars[0].pieces[0]
    told = Substituted(first.line_id, first.mark, 1, Material("1045", rounds.group.section))
    group = replace(rounds.group, substituted=(told,))
    plan = replace(rounds.plan, groups=(group,))
    labels = piece_labels(plan, group, measure=Measure.METRIC, lines=rounds.lines)
    assert {label.order for label in labels if label.head == first.mark} == {"A-1187 · ordered 1045"}
    assert all(label.grade == "4140" for label in labels)
    assert "ordered 1045" in reading.text(labels_pdf(labels, title="Labels", date=DAY))


def test_remnants_that_are_scrap_get_no_label(rounds: Case) -> None:
    bars = (*rounds.group.bars[:1], replace(rounds.group.bars[1], keep=False))
    group = replace(rounds.group, bars=bars)
    labels = remnant_labels(shop.plan(group), group, measure=Measure.METRIC)
    assert [read_code(label.code).bar for label in labels] == [1]


def test_a_mitred_bars_remnant_may_be_longer(mitred: Case) -> None:
    (label,) = remnant_labels(mitred.plan, mitred.group, measure=Measure.METRIC)
    assert label.count == "or more"


def test_used_places_of_a_sheet_are_left_empty(rounds: Case) -> None:
    labels = labels_of(rounds)[:4]
    whole = reading.pictures(labels_pdf(labels, skip=22, title="Labels", date=DAY))
    assert len(whole) == 2
    rows_with_ink = [picture.min(axis=1) < 128 for picture in whole]
    # Eight rows of 37 mm on 297: the first seven lie above 259.5 mm.
    assert not rows_with_ink[0][: int(259 / 297 * len(rows_with_ink[0]))].any()
    assert rows_with_ink[0].any()


def test_bytes_are_the_same_twice(rounds: Case) -> None:
    labels = labels_of(rounds)
    assert labels_pdf(labels, title="Labels", date=DAY) == labels_pdf(labels, title="Labels", date=DAY)


@pytest.mark.parametrize("stock", list(STOCKS))
@pytest.mark.parametrize(
    "words", ['"] #panic("x") $y$ \\', "Řezný díl × – ß", "中文", "W" * 300, "x\ny\x00\u202e"]
)
def test_nasty_text_neither_breaks_nor_runs_off_a_label(rounds: Case, stock: str, words: str) -> None:
    bars = (
        shop.planned_bar(words, 6_000_000, shop.pieces("L1", words, 900_000, 3), heat=words, place=words),
    )
    group = replace(rounds.group, bars=bars, section=replace(ROUND, name=words), grade=words)
    plan = shop.plan(group, plan_id="Frühling 7")
    lines = (shop.order_line("L1", words, ROUND, 900_000, 3, order=words),)
    labels = piece_labels(plan, group, measure=Measure.METRIC, lines=lines)
    pdf = labels_pdf(labels, stock=stock, title=words, date=DAY)
    assert sorted(reading.codes(pdf)) == sorted(label.code for label in labels)
    assert {read_code(label.code).plan for label in labels} == {"Frühling 7"}
    assert "900 mm" in reading.text(pdf)


def test_impossible_wishes_are_refused(rounds: Case) -> None:
    labels = labels_of(rounds)
    with pytest.raises(UnknownName):
        labels_pdf(labels, stock="a4-99", title="x", date=DAY)
    with pytest.raises(InvalidValue):
        labels_pdf([], title="x", date=DAY)
    with pytest.raises(InvalidValue):
        labels_pdf(labels, skip=24, title="x", date=DAY)
    with pytest.raises(InvalidValue):
        Stock("bad", "bad", 100, 50, 60, 50, 2, 1, 0, 0, 60, 50, 3)
    with pytest.raises(InvalidValue):
        Stock("bad", "bad", 100, 50, 50, 50, 2, 1, 0, 0, 40, 50, 3)
