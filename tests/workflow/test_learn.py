"""From a shift at the saw to a factor in a plan, on both databases."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.web.sample import setting
from tests.workflow.shop_floor import (
    GRADE,
    LEAD,
    LINES,
    OPERATOR,
    PLANNED,
    PLANNER,
    ROUND,
    SAW,
    SQUARE_CM2,
    group_of,
    keep_plan,
    later,
    stocked,
)

from kerfsmith.learning.log import BandStay, SawnCut
from kerfsmith.records.store import Store
from kerfsmith.shop.band_in_use import RemovalReason, ThisBand
from kerfsmith.shop.cut_log import CutEntry, EntryKind
from kerfsmith.shop.factors import Decision, Factor, FactorDecided, Measure, Scope
from kerfsmith.shop.rules import ShopRules
from kerfsmith.workflow.begin_shop import set_rules
from kerfsmith.workflow.change_band import (
    BandChanged,
    ChangeBand,
    RetireBand,
    add_band,
    change_band,
    retire_band,
)
from kerfsmith.workflow.finish_bar import FinishBar, finish_bar
from kerfsmith.workflow.learn import (
    DecideFactor,
    LogFollowed,
    bring_history,
    decide_factor,
    follow_log,
    learn_from,
)
from kerfsmith.workflow.load_bar import LoadBar, load_bar
from kerfsmith.workflow.log_cut import CutLogged, LogCut, log_cut
from kerfsmith.workflow.put_away import PutAway, put_away
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.undo_cut import UndoCut, undo_cut

FACTOR = Factor(Measure.CUT_TIME, Scope(grade=GRADE), 1.2, 1.1, 1.3, 30)


def _cut(store: Store, number: int, kind: EntryKind, took_s: float, **more: object) -> CutLogged:
    began = later(10 * number)
    told = LogCut(
        f"c{number}",
        "b1",
        number,
        kind,
        LINES[0].id if kind is EntryKind.PIECE else None,
        began_at=began,
        ended_at=began + timedelta(seconds=took_s),
        motor_load_percent=60.0,
        **more,  # type: ignore[arg-type]  # fields by name, checked by the class itself
    )
    answer = log_cut(store, told, by=OPERATOR, at=began + timedelta(seconds=took_s))
    assert isinstance(answer, CutLogged), answer
    return answer


def _shift(store: Store) -> float:
    """A facing, two pieces (one measured), one taken back; the bar put away. The seconds the plan gave a
    cut.
    """
    square = replace(setting(ROUND), area_cm2=SQUARE_CM2)
    stocked(store)
    keep_plan(store, replace(group_of(PLANNED), settings=(square,)), "p2")
    told = ReleaseRun("r1", "p2", group_of(()).id)
    assert not isinstance(release_run(store, told, saw=SAW, by=PLANNER, at=later(0)), Refusal)
    assert isinstance(add_band(store, ThisBand("B-7", square.band.id), by=LEAD, at=later(0)), ThisBand)
    on = change_band(store, ChangeBand("north", "m1", "B-7"), by=LEAD, at=later(1))
    assert isinstance(on, BandChanged)
    assert not isinstance(load_bar(store, LoadBar("b1", "r1", "A-1"), by=OPERATOR, at=later(2)), Refusal)
    seconds = square.cut_seconds
    _cut(store, 1, EntryKind.FACING, 1.1 * seconds)
    _cut(store, 2, EntryKind.PIECE, 1.2 * seconds, measured_um=500_120, out_of_square_um=180)
    _cut(store, 3, EntryKind.PIECE, 5.0)
    undone = undo_cut(store, UndoCut("u1", "b1", 4, "c3"), by=OPERATOR, at=later(40))
    assert isinstance(undone, CutEntry)
    assert not isinstance(finish_bar(store, FinishBar("b1"), by=OPERATOR, at=later(50)), Refusal)
    assert not isinstance(put_away(store, PutAway("b1", "R-1", "R1"), by=OPERATOR, at=later(51)), Refusal)
    off = change_band(store, ChangeBand("north", "m2", None, RemovalReason.OTHER_WORK), by=LEAD, at=later(52))
    assert isinstance(off, BandChanged)
    retired = retire_band(store, RetireBand("B-7", RemovalReason.CUTS_CROOKED), by=LEAD, at=later(53))
    assert isinstance(retired, ThisBand)
    return seconds


def test_the_log_tells_each_cut_with_its_circumstances(store: Store) -> None:
    """Source: what was logged, and the plan's setting."""
    seconds = _shift(store)
    with store.look() as look:
        log = look.learning.log()
        stamp = look.learning.stamp()
    facing, piece, _ = log.cuts
    assert (facing.is_piece, piece.is_piece) == (False, True)
    assert [cut.undone for cut in log.cuts] == [False, False, True]
    assert piece.predicted_s == pytest.approx(seconds)
    assert piece.ended_at is not None
    assert piece.began_at is not None
    assert (piece.ended_at - piece.began_at).total_seconds() == pytest.approx(1.2 * seconds, abs=1e-3)
    assert piece.over_mm == pytest.approx(0.12)
    assert piece.off_square_mm == pytest.approx(0.18)
    assert (piece.plus_mm, piece.minus_mm, piece.motor_load) == (0.5, 0.5, 0.6)
    assert (piece.grade, piece.section_kind, piece.saw, piece.band) == (GRADE, "round", "north", "B-7")
    assert facing.band_age_cm2 == 0.0
    assert piece.band_age_cm2 == pytest.approx(SQUARE_CM2)
    (stay,) = log.stays
    assert stay.ended is RemovalReason.CUTS_CROOKED
    assert stay.cut_cm2 == pytest.approx(2 * SQUARE_CM2)
    (bar,) = log.bars
    assert bar.pieces + bar.kerfs + bar.trims + bar.scrap + bar.kept == pytest.approx(1.0)
    decided = decide_factor(
        store, DecideFactor(FACTOR.measure, FACTOR.scope, Decision.ACCEPT, FACTOR), by=LEAD, at=later(60)
    )
    assert isinstance(decided, FactorDecided)
    with store.look() as look:
        assert look.learning.stamp() != stamp


def test_what_is_accepted_comes_with_the_rules_until_it_is_forgotten(store: Store) -> None:
    assert store.rules().factors.accepted == ()

    def decide(decision: Decision) -> None:
        told = DecideFactor(FACTOR.measure, FACTOR.scope, decision, FACTOR)
        assert isinstance(decide_factor(store, told, by=PLANNER, at=later(1)), FactorDecided)

    decide(Decision.ACCEPT)
    assert store.rules().factors.accepted == (FACTOR,)
    decide(Decision.FREEZE)
    assert store.rules().factors.accepted == (replace(FACTOR, frozen=True),)
    # Rules kept with factors in them don't bring these back once they are forgotten.
    assert isinstance(set_rules(store, store.rules(), by=LEAD, at=later(2)), ShopRules)
    decide(Decision.FORGET)
    assert store.rules().factors.accepted == ()
    assert store.ledger(1)[0].verb == "decide factor"


def test_what_the_records_do_not_tell_of_is_not_accepted(store: Store) -> None:
    told = DecideFactor(Measure.CUT_TIME, Scope(grade="304"), Decision.ACCEPT)
    answer = decide_factor(store, told, by=LEAD, at=later(1))
    assert isinstance(answer, Refusal)
    assert answer.code == "nothing-learned"


def _history(count: int, ratio: float) -> list[SawnCut]:
    cuts = []
    for place in range(count):
        began = later(-10_000 + 10 * place)
        took = timedelta(seconds=100 * ratio * (1 + 0.01 * (place % 5 - 2)))
        cut = SawnCut(
            id=f"h{ratio}{place}",
            at=began,
            by="Omar",
            saw="north",
            saw_name="North saw",
            grade=GRADE,
            section_kind="round",
            section_name="round 100 mm",
            height_mm=100,
            area_cm2=78.5,
            predicted_s=100.0,
            began_at=began,
            ended_at=began + took,
        )
        cuts.append(cut)
    return cuts


def test_an_accepted_factor_follows_the_log_and_a_frozen_one_does_not(store: Store) -> None:
    assert not isinstance(
        bring_history(store, _history(40, 1.3), (), source="old book", by=LEAD, at=later(0)), Refusal
    )
    with store.look() as look:
        lessons = learn_from(look.learning.log(), look.learning.decisions())
    learned = lessons.factor(Measure.CUT_TIME, Scope(grade=GRADE))
    assert learned is not None
    assert learned.value == pytest.approx(1.3, abs=0.02)
    told = DecideFactor(learned.measure, learned.scope, Decision.ACCEPT, learned)
    assert isinstance(decide_factor(store, told, by=LEAD, at=later(1)), FactorDecided)
    assert follow_log(store, by=LEAD, at=later(2)) == LogFollowed(())
    bring_history(store, _history(160, 1.5), (), source="old book", by=LEAD, at=later(3))
    followed = follow_log(store, by=LEAD, at=later(4))
    assert isinstance(followed, LogFollowed)
    assert followed.factors[0].value == pytest.approx(1.46, abs=0.03)
    assert store.rules().factors.accepted == followed.factors
    freeze = DecideFactor(learned.measure, learned.scope, Decision.FREEZE, learned)
    assert isinstance(decide_factor(store, freeze, by=LEAD, at=later(5)), FactorDecided)
    assert follow_log(store, by=LEAD, at=later(6)) == LogFollowed(())


def test_bands_of_earlier_work_are_remembered(store: Store) -> None:
    stay = BandStay("old", "27", ((GRADE, 4000.0),), 4000.0, 8000.0, RemovalReason.WORN)
    bring_history(store, (), [stay], source="old book", by=LEAD, at=later(0))
    with store.look() as look:
        assert look.learning.log().stays == (stay,)
