"""What cutting bars at once saves a group, or would save it where the shop cuts each alone."""

from collections.abc import Iterator
from dataclasses import replace

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.planning.bundles import bundles_for, bundles_used
from kerfsmith.planning.lay_group import bench_of
from kerfsmith.planning.loads import best_loads
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.pick_saw import Trial, try_saws
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.times import alone, cuts_of_bar, group_times
from kerfsmith.planning.what_if import WhatIf
from kerfsmith.shop.rules import ShopRules
from kerfsmith.units.told import Told, sentence

WITHOUT_LOADS = Told("without bars cut at once")
MOST_WISHED = 6
"""Bars at once that are tried where the shop cuts each alone (common practice: four to six side by side)."""
IN_LOADS = sentence("up to {most} bars cut at once", most=MOST_WISHED)


def weigh_loads(group: PlanGroup, task: GroupTask, catalog: Catalog, rules: ShopRules) -> Iterator[WhatIf]:
    """The group's bars cut alone where the plan cuts some at once; cut at once where the shop doesn't.

    The bars stay as they are, so neither their number nor their cost changes; the hours are the plan's own
    reckoning, alone with the band that suits one bar. Raises UnknownName for a saw or grade that isn't in the
    catalog.
    """
    saw = catalog.find_saw(group.saw)
    angles = {setting.angle_deg: setting for setting in group.settings}
    if group.bundle_settings:
        one_by_one = replace(rules, most_at_once=1)
        grade, one_saw = catalog.find_grade(group.grade), replace(catalog, saws=(saw,))
        (usual,) = try_saws(task.work, grade, one_saw, task.bars, one_by_one)
        angles = {setting.angle_deg: setting for setting in usual.settings or group.settings}
        single = group_times([alone(bar) for bar in group.bars], angles, saw, group.factors)
        hours = (single.total_s - group.times.total_s) / 3600
        yield WhatIf(WITHOUT_LOADS, True, 0, 0.0, group.cost_unit, True, hours=hours)
    elif rules.most_at_once == 1 and group.bars:
        wished = replace(rules, most_at_once=MOST_WISHED)
        grade, square = catalog.find_grade(group.grade), group.settings[0]
        found = bundles_for(task.work, grade, saw, square, task.bars, catalog, wished, group.factors)
        trial = Trial(
            saw, group.settings, task.bars, (), 0.0, 0.0, group.mass_kg_per_m, group.factors, bundles=found
        )
        bench = bench_of(task.work, trial)
        bars = [
            replace(bar, times=size, at_once=size)
            for bar in group.bars
            for size in best_loads(bar.times, len(cuts_of_bar(bar)), bench.time, bench.at_once)
        ]
        used = bundles_used(found, (bar.at_once for bar in bars))
        if used:
            times = group_times(bars, angles, saw, group.factors, used)
            hours = (times.total_s - group.times.total_s) / 3600
            yield WhatIf(IN_LOADS, False, 0, 0.0, group.cost_unit, True, hours=hours)
