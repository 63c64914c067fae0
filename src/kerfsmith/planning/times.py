"""Hours of one group: sawing from the cutting engine, the rest from the saw sheet's cycle."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import GroupTimes, PlannedBar
from kerfsmith.shop.factors import Factor, Measure
from kerfsmith.units.length import um_to_mm

FURTHER_BAR = 0.5
"""Loading each further bar of a load, as a share of loading the first: crane and stand are at hand, but every
bar is lifted, laid beside the others and brought level (common practice)."""


def index_seconds(saw: SawSheet, advance_mm: float) -> float:
    """Seconds to bring ``advance_mm`` of bar forward and clamp it, over as many strokes as it takes.

    Source: common practice for the cycle of an automatic: strokes x fixed time + travel / speed.
    """
    return saw.strokes(advance_mm) * saw.cycle.index_fixed_s + advance_mm / saw.cycle.index_mm_per_s


def idle_seconds_per_cut(saw: SawSheet) -> float:
    """Seconds of one cut that are neither sawing nor indexing: clamp, approach, head back."""
    cycle = saw.cycle
    return cycle.clamp_s + cycle.approach_mm / cycle.approach_mm_per_s + cycle.head_return_s


def index_factor(factors: Iterable[Factor]) -> float:
    """What the records put on the time of feeding and clamping; 1 where nothing was accepted."""
    return next((one.value for one in factors if one.measure is Measure.INDEX_TIME), 1.0)


def loading_seconds(saw: SawSheet, at_once: int) -> float:
    """Seconds to load so many bars for one stroke."""
    return saw.cycle.load_bar_s * (1 + FURTHER_BAR * (at_once - 1))


def group_times(
    bars: Sequence[PlannedBar],
    settings: Mapping[float, CutSetting],
    saw: SawSheet,
    factors: Sequence[Factor] = (),
    bundles: Iterable[CutSetting] = (),
) -> GroupTimes:
    """Time of all bars of a group: a cut through a load, and what goes with it, counts once.

    ``settings`` maps a head angle to its setting, whose times have their factor in them already; ``bundles``
    are the square cut's settings through several bars. Of ``factors`` the one on feeding is used.
    """
    through = {setting.bundle: setting for setting in bundles}
    sawing = [0.0, 0.0, 0.0]
    indexing = loading = unloading = 0.0
    for bar in bars:
        for angle_deg in cuts_of_bar(bar):
            setting = settings[angle_deg] if bar.at_once == 1 else through[bar.at_once]
            for place, seconds in enumerate(
                (setting.cut_seconds, setting.cut_seconds_low, setting.cut_seconds_high)
            ):
                sawing[place] += bar.loads * seconds
            indexing += bar.loads * idle_seconds_per_cut(saw)
        for piece in bar.pieces:
            indexing += bar.loads * index_seconds(saw, um_to_mm(piece.taken_um))
        unloading += bar.times * len(bar.pieces) * saw.cycle.unload_piece_s
        loading += bar.loads * loading_seconds(saw, bar.at_once)
    return GroupTimes(
        sawing_s=sawing[0],
        sawing_low_s=sawing[1],
        sawing_high_s=sawing[2],
        indexing_s=indexing * index_factor(factors),
        loading_s=loading,
        unloading_s=unloading,
    )


def alone(bar: PlannedBar) -> PlannedBar:
    """The same bars, each cut alone; which line each piece serves is left as the first bar's."""
    return replace(bar, at_once=1, pieces=tuple(replace(piece, others=()) for piece in bar.pieces))


def cuts_of_bar(bar: PlannedBar) -> list[float]:
    """Head angles of the cuts on one bar, without sign: the facing cut, then each piece's own cuts.

    The facing cut is the first piece's near end, so it is made at that end's angle.
    """
    first_near_deg = bar.pieces[0].ends_deg[0] if bar.pieces else 0.0
    angles = [abs(first_near_deg)] if bar.facing_um or first_near_deg else []
    for piece in bar.pieces:
        near_deg, far_deg = piece.ends_deg
        if piece.near_cut:
            angles.append(abs(near_deg))
        if piece.far_cut:
            angles.append(abs(far_deg))
    return angles
