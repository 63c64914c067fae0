"""Watching: few false alarms, shifts found with their time, size and circumstances."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from kerfsmith.learning.charts.run_length import cusum_length
from kerfsmith.learning.watch import FALSE_ALARM_EVERY, SINGLE, Point, Watched, watch

BEGAN = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)


def _points(values: np.ndarray, bands: list[str] | None = None) -> list[Point]:
    return [
        Point(
            str(place),
            BEGAN + timedelta(minutes=10 * place),
            float(value),
            {"band": bands[place] if bands else "B1", "bar": f"bar {place // 9}"},
        )
        for place, value in enumerate(values)
    ]


def _watch(values: np.ndarray) -> Watched:
    return watch(_points(values))


def test_false_alarms_are_nearly_as_seldom_as_known_mean_and_spread_allow() -> None:
    """Source: run length of sums with single points (Lucas 1982), though mean and spread are only learned.

    120 series of 400: at known mean and spread some 120 alarms, by the house's own figure 160; three standard
    errors of a Poisson count are allowed on either side.
    """
    rng = np.random.default_rng(6)
    alarms = sum(len(_watch(rng.normal(7, 3, 400)).alarms) for _ in range(120))
    known, stated = 48_000 / cusum_length(0, single=SINGLE), 48_000 / FALSE_ALARM_EVERY
    assert known - 3 * known**0.5 < alarms < stated + 3 * stated**0.5


def test_magnitudes_alarm_no_oftener_than_values_of_either_sign() -> None:
    """Source: the magnitudes of normal values, judged by their roots; as they are they alarm every 100."""
    rng = np.random.default_rng(16)
    alarms = sum(len(watch(_points(abs(rng.normal(size=400))), sizes=True).alarms) for _ in range(60))
    stated = 24_000 / FALSE_ALARM_EVERY
    assert alarms < stated + 3 * stated**0.5


def test_an_alarm_ends_where_the_values_came_back() -> None:
    """Source: the stretch from 80 to 110 that was moved by three."""
    rng = np.random.default_rng(12)
    values = rng.normal(0, 1, 200)
    values[80:110] += 3
    alarm = next(one for one in _watch(values).alarms if one.at >= 80 and not one.single)
    assert abs(alarm.step.at - 80) <= 2
    assert alarm.ends is not None
    assert abs(alarm.ends - 110) <= 4
    assert not alarm.lasts
    assert alarm.by_low < 3 < alarm.by_high


def test_a_shift_of_one_is_found_with_its_place_and_size() -> None:
    """Source: the shift put in after 80 values: one and a half of the spread of 2."""
    rng = np.random.default_rng(7)
    delays, held, sizes = [], 0, []
    for _ in range(80):
        found = _watch(np.concatenate([rng.normal(3, 2, 80), rng.normal(6, 2, 40)]))
        alarm = next((one for one in found.alarms if one.at >= 80 and not one.single), None)
        if alarm is None:
            continue
        delays.append(alarm.at - 79)
        held += alarm.step.earliest <= 80 <= alarm.step.latest
        sizes.append(alarm.by)
    assert len(delays) >= 76
    # Known mean and spread would need 5.6 values in the mean; learned ones a little more.
    assert np.mean(delays) < 8
    assert held / len(delays) > 0.8
    assert np.mean(sizes) == pytest.approx(3.0, abs=0.25)


def test_an_alarm_names_what_changed_then() -> None:
    """Source: the band that was put on 60 values in, with a shift."""
    rng = np.random.default_rng(9)
    values = np.concatenate([rng.normal(0, 1, 60), rng.normal(3, 1, 30)])
    found = watch(_points(values, ["B1"] * 60 + ["B2"] * 30))
    alarm = found.lasting
    assert alarm is not None
    assert abs(alarm.step.at - 60) <= 1
    band = next(change for change in alarm.changes if change.what == "band")
    assert (band.before, band.after) == ("B1", "B2")
    assert abs(band.off) <= 1
    assert alarm.by_low < 3 < alarm.by_high


def test_one_wild_value_is_told_as_such_and_teaches_nothing() -> None:
    rng = np.random.default_rng(10)
    values = rng.normal(0, 1, 60)
    values[40] = 25.0
    found = _watch(values)
    wild = [alarm for alarm in found.alarms if alarm.at == 40]
    assert len(wild) == 1
    assert found.sd == pytest.approx(1, abs=0.3)


def test_little_to_watch() -> None:
    assert _watch(np.array([])).usual is None
    assert _watch(np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.0])).alarms == ()
    assert _watch(np.array([1.0, 1.2])).scores == (None, None)
