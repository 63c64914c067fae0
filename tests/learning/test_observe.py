"""What of the log teaches: stops, breaks, undone cuts and leaping clocks do not."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from kerfsmith.learning.log import BandStay, Log, SawnCut, StopSpan
from kerfsmith.learning.observe import MIXED, LeftOut, band_lives, cut_times, index_times
from kerfsmith.learning.times import learn_times
from kerfsmith.shop.band_in_use import RemovalReason
from kerfsmith.shop.factors import Measure, Scope

BEGAN = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


def cut(place: int, took_s: float = 132.0, **other: object) -> SawnCut:
    """A cut that was to take 120 s; every 200 s one begins."""
    began = BEGAN + timedelta(seconds=200 * place)
    made = SawnCut(
        id=f"c{place}",
        at=began + timedelta(seconds=took_s),
        by="P. Operator",
        saw="saw 1",
        saw_name="Saw 1",
        grade="4140",
        section_kind="round",
        section_name="round 100 mm",
        height_mm=100.0,
        area_cm2=78.5,
        bar="bar",
        bar_id="bar",
        band_kind="27",
        predicted_s=120.0,
        predicted_idle_s=50.0,
        began_at=began,
        ended_at=began + timedelta(seconds=took_s),
    )
    return replace(made, **other)  # type: ignore[arg-type]  # fields by name, checked by the class itself


def test_each_fault_of_the_record_is_left_out_for_its_reason() -> None:
    good = [cut(place) for place in range(10)]
    stop = StopSpan(
        "saw 1", BEGAN + timedelta(seconds=11 * 200 + 30), BEGAN + timedelta(seconds=11 * 200 + 60)
    )
    elsewhere = StopSpan("saw 2", BEGAN, None)
    faulty = [
        cut(11),
        cut(12, undone=True),
        cut(13, began_at=None, bar_id="its first"),
        cut(14, predicted_s=None),
        cut(15, took_s=-20.0),
        cut(16, took_s=4000.0),
        cut(17, took_s=180.0),
    ]
    seen = cut_times(Log((*good, *faulty), stops=(stop, elsewhere)), {})
    assert [one.cut.id for one in seen.observations] == [one.id for one in good]
    assert seen.left_out == {
        LeftOut.STOPPED: 1,
        LeftOut.UNDONE: 1,
        LeftOut.NO_TIMES: 1,
        LeftOut.NO_PREDICTION: 1,
        LeftOut.CLOCK: 1,
        LeftOut.FAR_OFF: 1,
        LeftOut.OUTLYING: 1,
    }
    assert seen.observations[0].log_ratio == pytest.approx(math.log(1.1))


def test_a_stop_that_lasts_hides_what_comes_after_it() -> None:
    log = Log((cut(0), cut(5)), stops=(StopSpan("saw 1", BEGAN + timedelta(seconds=900), None),))
    assert [one.cut.id for one in cut_times(log, {}).observations] == ["c0"]


def test_counted_cuts_without_times_tell_by_the_one_before_them() -> None:
    """Source: a cut every 200 s, of which 50 s are feeding: 150 s where 120 were predicted."""
    taps = [cut(place, began_at=None, ended_at=None) for place in range(6)]
    seen = cut_times(Log(tuple(taps)), {})
    assert [one.cut.id for one in seen.observations] == ["c1", "c2", "c3", "c4", "c5"]
    assert {round(math.exp(one.log_ratio), 6) for one in seen.observations} == {1.25}
    assert seen.left_out == {LeftOut.NO_TIMES: 1}
    ended = [cut(place, began_at=None, at=BEGAN + timedelta(seconds=200 * place + 190)) for place in range(6)]
    assert cut_times(Log(tuple(ended)), {}).observations[0].log_ratio == pytest.approx(math.log(1.25))
    hidden = [replace(one, predicted_idle_s=130.0) for one in taps]
    assert cut_times(Log(tuple(hidden)), {}).observations == ()


def _counted(place: int, after_s: float, **other: object) -> SawnCut:
    """A cut of which nothing is known but when it was counted."""
    at = BEGAN + timedelta(seconds=after_s)
    return cut(place, **({"began_at": None, "ended_at": None, "at": at} | other))  # type: ignore[arg-type]


def test_cuts_counted_at_once_after_the_saw_ran_alone_teach_no_time_too_long() -> None:
    """Source: by hand. Of four cuts made in 800 s and counted within six seconds nobody knows the begin."""
    before = cut(0)
    several = [_counted(1 + at, 800 + 2 * at) for at in range(4)]
    after = _counted(5, 1000)
    seen = cut_times(Log((before, *several, after)), {})
    assert [one.cut.id for one in seen.observations] == ["c0"]
    assert seen.left_out == {LeftOut.TOGETHER: 4, LeftOut.NO_TIMES: 1}
    following = _counted(6, 1200)
    seen = cut_times(Log((before, *several, after, following)), {})
    assert [one.cut.id for one in seen.observations] == ["c0", "c6"], (
        "from a counted end on it is known again"
    )
    assert seen.observations[1].log_ratio == pytest.approx(math.log(150 / 120))


def test_cuts_counted_at_once_teach_once_from_where_the_band_went_in() -> None:
    """Source: by hand. From 200 s to 890 s four cuts with 50 s of feeding between: 540 s for 4 × 120 s."""
    end = BEGAN + timedelta(seconds=890)
    first = cut(1, at=end, ended_at=end)
    others = [_counted(2 + at, 892 + 2 * at) for at in range(3)]
    seen = cut_times(Log((cut(0), first, *others)), {})
    assert [one.cut.id for one in seen.observations] == ["c0", "c1"]
    assert seen.observations[1].log_ratio == pytest.approx(math.log(540 / 480))
    assert seen.left_out == {LeftOut.TOGETHER: 3}
    untimed = [replace(one, predicted_idle_s=None) for one in others]
    assert len(cut_times(Log((cut(0), first, *untimed)), {}).observations) == 1, "feeding isn't known"


def test_a_last_piece_in_the_vise_and_an_undone_count_make_no_cut_doubtful() -> None:
    timed = [_counted(at, 200 * at + 132) for at in range(3)]
    no_cut = _counted(3, 534, predicted_s=None, area_cm2=0.0)
    undone = _counted(4, 535, undone=True)
    seen = cut_times(Log((*timed, no_cut, undone)), {})
    assert [one.cut.id for one in seen.observations] == ["c1", "c2"]
    assert LeftOut.TOGETHER not in seen.left_out


def test_bars_of_one_label_are_not_one_bar() -> None:
    """What lies between two bars is loading, and no cut."""
    log = Log((_counted(0, 132), _counted(1, 482, bar_id="its twin")))
    assert cut_times(log, {}).observations == ()
    assert cut_times(log, {}).left_out == {LeftOut.NO_TIMES: 2}


def test_what_was_forgotten_teaches_nothing_but_what_comes_after_does() -> None:
    log = Log(tuple(cut(place) for place in range(10)))
    until = BEGAN + timedelta(seconds=200 * 5)
    seen = cut_times(log, {(Measure.CUT_TIME, Scope(grade="4140")): until})
    assert [one.cut.id for one in seen.observations] == ["c5", "c6", "c7", "c8", "c9"]
    assert seen.left_out == {LeftOut.FORGOTTEN: 5}
    other = cut_times(log, {(Measure.CUT_TIME, Scope(grade="304")): until})
    assert len(other.observations) == 10


def test_index_time_is_from_finish_to_start_on_one_bar() -> None:
    cuts = (cut(0), cut(1), cut(2, bar_id="next"), cut(3, bar_id="next"))
    seen = index_times(Log(cuts), {})
    assert [one.cut.id for one in seen.observations] == ["c1", "c3"]
    assert seen.observations[0].log_ratio == pytest.approx(math.log(68 / 50))


def test_faults_of_a_tenth_of_the_log_move_the_factor_little() -> None:
    """Source: the true ratio of 1.1, and one cut in ten that took two and a half times as long."""
    cuts = [cut(place, took_s=132 * (1 + 0.05 * math.sin(7 * place))) for place in range(60)]
    spoiled = [cut(place, took_s=300.0) if place % 10 == 3 else one for place, one in enumerate(cuts)]
    learned = learn_times(Measure.CUT_TIME, cut_times(Log(tuple(spoiled)), {}).observations)
    narrow = next(one for one in learned.factors if one.factor.scope == Scope("4140", "saw 1"))
    assert narrow.factor.value == pytest.approx(1.1, abs=0.01)
    assert narrow.factor.low < 1.1 < narrow.factor.high
    assert narrow.factor.count == 54


def _stay(cut_cm2: float, ended: RemovalReason | None, *grades: tuple[str, float]) -> BandStay:
    return BandStay("B", "27", grades, cut_cm2, 10_000.0, ended)


def test_lives_by_grade_and_reason() -> None:
    stays = [
        _stay(9_000, RemovalReason.WORN, ("4140", 8_000.0), ("304", 1_000.0)),
        _stay(2_000, RemovalReason.TEETH_STRIPPED, ("4140", 2_000.0)),
        _stay(4_000, None, ("4140", 4_000.0)),
        _stay(5_000, RemovalReason.WORN, ("4140", 2_500.0), ("304", 2_500.0)),
        _stay(0, None),
    ]
    lives = band_lives(stays)
    assert [(life.lasted, life.ended) for life in lives["4140"]] == [(0.9, True), (0.2, False), (0.4, False)]
    assert [(life.lasted, life.ended) for life in lives[MIXED]] == [(0.5, True)]
    stripped = band_lives(stays, frozenset({RemovalReason.TEETH_STRIPPED}))
    assert [life.ended for life in stripped["4140"]] == [False, True, False]
