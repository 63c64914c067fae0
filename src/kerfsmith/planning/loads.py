"""Bars of one pattern put in loads that take least time, whatever search found the patterns."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.nesting.aims import Aim, SawTime
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.recount import totals
from kerfsmith.nesting.result import Result, Run
from kerfsmith.planning.bundles import mean_index_seconds
from kerfsmith.planning.mitred_ends import depth_um, lean_um
from kerfsmith.planning.times import idle_seconds_per_cut, index_factor, loading_seconds
from kerfsmith.planning.work import Work
from kerfsmith.shop.factors import Factor

COUNTS_LOADS = frozenset({Aim.LOADS, Aim.CUTS})


def time_of_loads(
    work: Work,
    saw: SawSheet,
    settings: Sequence[CutSetting],
    bundles: Mapping[int, CutSetting],
    factors: Sequence[Factor] = (),
) -> SawTime:
    """What a load of a group takes on a saw. ``settings``: the square cut's first, then those of mitred ends;
    ``bundles``: the square cut's by the bars it goes through."""
    square = settings[0]
    cut_s = {1: square.cut_seconds} | {bars: one.cut_seconds for bars, one in bundles.items()}
    beside_s = index_factor(factors) * (idle_seconds_per_cut(saw) + mean_index_seconds(work.lines, saw))
    one_s, two_s = loading_seconds(saw, 1), loading_seconds(saw, 2)
    across_um = depth_um(work.section, square.lie)
    slanted_s = {lean_um(one.angle_deg, across_um): one.cut_seconds for one in settings if one.angle_deg}
    return saw_time_of(cut_s, beside_s, one_s, two_s - one_s, max(cut_s), slanted_s)


def saw_time_of(
    cut_s: Mapping[int, float],
    beside_s: float,
    load_s: float,
    further_s: float,
    most: int,
    slanted_s: Mapping[int, float] | None = None,
) -> SawTime:
    """What a load takes, for the nesting engine: whole milliseconds.

    ``cut_s`` is the sawing through so many bars, ``beside_s`` what goes with every cut, ``load_s`` the
    loading of one bar and ``further_s`` that of each further bar of the load. Numbers of bars that have no
    setting count as cut one by one. ``slanted_s``: the sawing at an angle, by how far the face slants
    along the bar [um]; bars with such faces are cut one by one.
    """
    each = [
        cut_s[bars] + beside_s if bars in cut_s else bars * (cut_s[1] + beside_s)
        for bars in range(1, most + 1)
    ]
    return SawTime(
        load_ms=round(1000 * (load_s - further_s)),
        cut_ms=tuple(round(1000 * seconds) for seconds in each),
        bar_ms=round(1000 * further_s),
        slanted=tuple(
            (lean_um, (round(1000 * (seconds + beside_s)),))
            for lean_um, seconds in sorted((slanted_s or {}).items())
        ),
    )


def in_loads(problem: Problem, result: Result, sizes: frozenset[int]) -> tuple[Problem, Result]:
    """The same bars in loads of the ``sizes`` that are allowed (one bar always is).

    By the plan's own aims: fewest loads first where they count loads or cuts and saw time doesn't come
    before, else least time. Bars whose ends are kept and those whose ends are scrap don't share a load.
    """
    problem = replace(problem, bundle_most=max(sizes))
    few = counts_first(problem)
    runs = tuple(part for run in result.runs for part in _parted(run, problem.saw_time, sizes, few))
    values = totals(problem, runs)
    aims = tuple(replace(reached, value=values[reached.aim]) for reached in result.aims)
    return problem, replace(result, runs=runs, aims=aims)


def counts_first(problem: Problem) -> bool:
    """Whether the aims count loads or cuts before saw time."""
    counted = COUNTS_LOADS | {Aim.SAW_TIME}
    return next((aim in COUNTS_LOADS for aim in problem.aims if aim in counted), False)


def _parted(run: Run, time: SawTime, sizes: frozenset[int], few: bool) -> Iterator[Run]:
    for bars, kept in ((run.kept, True), (run.times - run.kept, False)):
        if bars:
            loads = best_loads(bars, run.cuts, time, sizes, few)
            yield replace(run, loads=loads, kept=bars if kept else 0)


def best_loads(
    bars: int, cuts: int, time: SawTime, sizes: frozenset[int], few: bool = False
) -> tuple[int, ...]:
    """``bars`` equal bars in loads, the fullest first: least time, and of equals fewest loads (``few``: the
    other way about).

    Exact: the best for so many bars is one load more than the best for those that are left.
    """
    allowed = sorted(sizes | {1})
    best: list[tuple[tuple[int, int], int]] = [((0, 0), 0)]
    for count in range(1, bars + 1):
        choices = []
        for size in allowed:
            if size <= count:
                first, second = best[count - size][0]
                took = time.of_load(cuts, size)
                choices.append(((first + 1, second + took) if few else (first + took, second + 1), -size))
        value, size = min(choices)
        best.append((value, -size))
    loads = []
    while bars:
        loads.append(best[bars][1])
        bars -= loads[-1]
    return tuple(sorted(loads, reverse=True))
