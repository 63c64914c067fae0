"""What is charted: values against their like, capability, errors by saw and age, and yield."""

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from tests.learning.test_observe import BEGAN, cut

from kerfsmith.learning.log import BarUse, Log, SawnCut
from kerfsmith.learning.series import Charted, errors_by_saw, length_capability, series, watched, yields


def _measured(count: int, seed: int = 3) -> list[SawnCut]:
    rng = np.random.default_rng(seed)
    return [
        cut(
            place,
            over_mm=float(rng.normal(0.1, 0.1)),
            plus_mm=0.5,
            minus_mm=0.5,
            off_square_mm=abs(float(rng.normal(0, 0.1 + 0.0004 * place))),
            motor_load=float(rng.normal(0.6, 0.03)),
            band_age_cm2=1000.0 * place,
        )
        for place in range(count)
    ]


def test_length_is_as_measured_and_squareness_a_share_of_height() -> None:
    log = Log(
        (cut(0, over_mm=0.2, off_square_mm=0.3), cut(1, over_mm=-0.1), cut(2, over_mm=9.0, undone=True))
    )
    assert [point.value for point in series(log, Charted.LENGTH, "saw 1")] == [0.2, -0.1]
    assert [point.value for point in series(log, Charted.SQUARENESS, "saw 1")] == [pytest.approx(3.0)]
    assert series(log, Charted.LENGTH, "saw 2") == ()


def test_times_are_set_against_their_like_so_that_a_change_of_work_is_no_shift() -> None:
    """Source: two grades of which one takes half as long again, cut one after the other."""
    rng = np.random.default_rng(5)
    first = [cut(place, took_s=120 * float(rng.normal(1, 0.03))) for place in range(40)]
    second = [cut(place, took_s=180 * float(rng.normal(1, 0.03)), grade="304") for place in range(40, 100)]
    found = watched(Log((*first, *second)), Charted.CUT_TIME, "saw 1")
    assert len(found.points) >= 97
    assert found.alarms == ()
    dull = [replace(one, ended_at=_later(one)) if one.grade == "304" else one for one in second[40:]]
    moved = watched(Log((*first, *second[:40], *dull)), Charted.CUT_TIME, "saw 1").lasting
    assert moved is not None
    assert abs(moved.step.at - 80) <= 3


def _later(one: SawnCut) -> datetime:
    assert one.ended_at is not None
    return one.ended_at + timedelta(seconds=30)


def test_capability_is_of_the_tolerance_most_were_sold_with() -> None:
    log = Log((*_measured(40), cut(99, over_mm=5.0, plus_mm=9.0, minus_mm=9.0)))
    found = length_capability(log, "saw 1")
    assert found is not None
    assert (found.plus_mm, found.minus_mm, found.found.count) == (0.5, 0.5, 40)
    # (0.5 - 0.1) / (3 x 0.1) of the values drawn.
    assert found.found.cpk.low < 4 / 3 < found.found.cpk.high
    assert length_capability(Log(tuple(_measured(5))), "saw 1") is None


def test_squareness_grows_with_the_bands_age() -> None:
    rows, apart = errors_by_saw(Log(tuple(_measured(300))), Charted.SQUARENESS)
    assert apart is None
    (row,) = rows
    assert row.by_age is not None
    # The mean of a magnitude is sqrt(2/pi) of its spread, which grows by 0.004 thousandths a cut of 0.1 m2.
    assert row.by_age.slope_low < 0.004 * 10 * (2 / np.pi) ** 0.5 < row.by_age.slope_high
    assert row.by_age.chance < 0.01
    assert row.by_height is None


def test_saws_that_differ_are_told_apart() -> None:
    other = [
        replace(one, id=f"o{one.id}", saw="saw 2", over_mm=(one.over_mm or 0) + 0.2)
        for one in _measured(30, 4)
    ]
    rows, apart = errors_by_saw(Log((*_measured(30), *other)), Charted.LENGTH)
    assert [row.saw for row in rows] == ["saw 1", "saw 2"]
    assert apart is not None
    assert apart.chance < 1e-6


def test_yield_is_weighted_by_length() -> None:
    """Source: 6 m with 90 % and 2 m with 50 %: 5.4 + 1 of 8 m."""
    long = BarUse("4140", "round", 6000, 0.9, 0.03, 0.01, 0.01, 0.05, False)
    short = BarUse("4140", "round", 2000, 0.5, 0.03, 0.01, 0.46, 0.0, True)
    (found,) = yields(Log(bars=(long, short)))
    assert found.pieces == pytest.approx(6.4 / 8)
    assert found.pieces + found.kerfs + found.trims + found.scrap + found.kept == pytest.approx(1.0)
    assert (found.bars, found.from_remnants) == (2, 1)


def test_circumstances_come_with_each_value() -> None:
    (point,) = series(Log((cut(0, over_mm=0.1, band="B-7"),)), Charted.LENGTH, "saw 1")
    assert point.at > BEGAN
    assert (point.around["band"], point.around["grade"], point.around["person"]) == (
        "B-7",
        "4140",
        "P. Operator",
    )
