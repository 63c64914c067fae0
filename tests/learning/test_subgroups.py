"""Subgroups of a saw's figures: how they are made, what signals, and how often by chance."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from tests.learning.test_observe import BEGAN, cut

from kerfsmith.learning.charts.run_rules import Rule
from kerfsmith.learning.charts.subgroup_limits import Spread
from kerfsmith.learning.log import Log, SawnCut
from kerfsmith.learning.series import Charted, series
from kerfsmith.learning.subgroups import (
    FALSE_SIGNAL_EVERY,
    Grouping,
    Subgroup,
    SubgroupChart,
    saw_chart,
    subgroup_chart,
    subgroups,
    usual_grouping,
)
from kerfsmith.learning.watch import Point


def measured(bars: int, each: int, *, seed: int = 1, moved_from: int | None = None) -> list[SawnCut]:
    """Pieces of bars, their lengths drawn; from a bar on they lie three standard deviations longer."""
    rng = np.random.default_rng(seed)
    cuts = []
    for place in range(bars * each):
        bar = place // each
        moved = moved_from is not None and bar >= moved_from
        made = cut(place, over_mm=float(rng.normal(0.4 if moved else 0.1, 0.1)))
        cuts.append(
            replace(
                made,
                at=BEGAN + timedelta(minutes=10 * place),
                bar=f"B{bar}",
                band="S-2" if moved else "S-1",
                by="Ann" if bar % 6 < 3 else "Ben",
            )
        )
    return cuts


def chart(cuts: list[SawnCut], grouping: Grouping | None = None) -> SubgroupChart:
    found = saw_chart(Log(tuple(cuts)), Charted.LENGTH, "saw 1", grouping)
    assert found is not None
    return found


def sizes(groups: tuple[Subgroup, ...]) -> list[int]:
    return [len(group.points) for group in groups]


def test_a_subgroup_is_a_bar_a_shift_or_five_in_a_row() -> None:
    points = series(Log(tuple(measured(12, 4))), Charted.LENGTH, "saw 1")
    assert sizes(subgroups(points, Grouping.BAR)) == [4] * 12
    # Three bars of Ann's, three of Ben's, by turns; and a night between.
    assert sizes(subgroups(points, Grouping.SHIFT)) == [12] * 4
    late = [replace(point, at=point.at + timedelta(hours=9 * (at // 6))) for at, point in enumerate(points)]
    assert sizes(subgroups(late, Grouping.SHIFT)) == [6] * 8
    assert sizes(subgroups(points, Grouping.ROW)) == [5] * 9
    assert usual_grouping(points) is Grouping.BAR
    assert usual_grouping(points[:30]) is Grouping.ROW


def test_a_value_alone_in_its_bar_is_left_out() -> None:
    cuts = measured(6, 1) + measured(7, 3, seed=2)
    points = series(
        Log(tuple(replace(one, bar=f"{at // 3}") for at, one in enumerate(cuts))), Charted.LENGTH, "saw 1"
    )
    assert sum(sizes(subgroups(points, Grouping.BAR))) == len(points)
    alone = [replace(point, around={**point.around, "bar": f"x{at}"}) for at, point in enumerate(points)]
    assert subgroups(alone, Grouping.BAR) == ()


def test_a_new_band_that_cuts_longer_is_signalled_with_what_changed() -> None:
    found = chart(measured(40, 4, moved_from=30))
    first = found.signals[0]
    assert (first.at, first.since, first.rule, first.of_spread) == (30, 30, Rule.BEYOND, False)
    assert {change.what: change.after for change in first.changes}["band"] == "S-2"
    assert found.limits.count == 25
    assert not found.on_trial


def test_limits_are_held_so_that_what_moves_does_not_move_them() -> None:
    still, moved = chart(measured(40, 4)), chart(measured(40, 4, moved_from=30))
    assert still.limits == moved.limits
    assert still.limits.centre == pytest.approx(0.1, abs=3 * 0.1 / 10)
    assert still.limits.sd == pytest.approx(0.1, rel=0.25)


def test_a_spread_that_grows_is_signalled_by_the_spreads() -> None:
    cuts = measured(40, 5)
    wide = [
        replace(one, over_mm=0.1 + 8 * ((one.over_mm or 0.0) - 0.1)) if one.bar == "B35" else one
        for one in cuts
    ]
    found = chart(wide)
    assert (35, True) in {(signal.at, signal.of_spread) for signal in found.signals}


def test_ranges_for_equal_subgroups_and_standard_deviations_for_others() -> None:
    assert chart(measured(12, 4)).limits.spread is Spread.RANGE
    assert chart(measured(12, 4)[:-1]).limits.spread is Spread.SD
    assert chart(measured(12, 11)).limits.spread is Spread.SD


def test_too_few_or_all_alike_make_no_chart() -> None:
    few = Log(tuple(measured(4, 4)))
    assert saw_chart(few, Charted.LENGTH, "saw 1", Grouping.BAR) is None
    alike = [replace(one, over_mm=0.25) for one in measured(12, 4)]
    assert subgroup_chart(series(Log(tuple(alike)), Charted.LENGTH, "saw 1")) is None


def test_the_four_rules_signal_by_chance_about_as_often_as_published() -> None:
    """Source: Champ and Woodall 1987: an average run length of 91.75 for the four rules (memory, good).

    Limits are learned from 25 subgroups here, which shortens runs, and a rule that stays broken counts once,
    which lengthens them; so only the size is held: one in 40 to one in 180.
    """
    found = chart(measured(4_000, 4, seed=6))
    means = [signal for signal in found.signals if not signal.of_spread]
    assert 40 < 4_000 / len(means) < 180


@pytest.mark.parametrize("charted", list(FALSE_SIGNAL_EVERY))
def test_false_signals_come_about_as_often_as_the_page_says(charted: Charted) -> None:
    """Source: simulation of normal values, for squareness of their sizes: 40 runs of 200 subgroups."""
    rng = np.random.default_rng(8)
    seen = signals = 0
    for _ in range(40):
        values = rng.normal(0, 1, 225 * 4)
        values = np.abs(values) if charted is Charted.SQUARENESS else values
        points = [
            Point(str(at), BEGAN + timedelta(minutes=at), float(value), {"bar": str(at // 4)})
            for at, value in enumerate(values)
        ]
        found = subgroup_chart(points, Grouping.BAR)
        assert found is not None
        seen += 200
        signals += sum(signal.at >= 25 for signal in found.signals)
    assert seen / signals == pytest.approx(FALSE_SIGNAL_EVERY[charted], rel=0.3)
