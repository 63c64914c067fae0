"""Hours of one group: sawing from the cutting engine, the rest from the saw sheet's cycle."""

from collections.abc import Mapping, Sequence

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import GroupTimes, PlannedBar
from kerfsmith.units.length import um_to_mm


def index_seconds(saw: SawSheet, advance_mm: float) -> float:
    """Seconds to bring ``advance_mm`` of bar forward and clamp it, over as many strokes as it takes.

    Source: common practice for the cycle of an automatic: strokes x fixed time + travel / speed.
    """
    return saw.strokes(advance_mm) * saw.cycle.index_fixed_s + advance_mm / saw.cycle.index_mm_per_s


def idle_seconds_per_cut(saw: SawSheet) -> float:
    """Seconds of one cut that are neither sawing nor indexing: clamp, approach, head back."""
    cycle = saw.cycle
    return cycle.clamp_s + cycle.approach_mm / cycle.approach_mm_per_s + cycle.head_return_s


def group_times(
    bars: Sequence[PlannedBar], settings: Mapping[float, CutSetting], saw: SawSheet
) -> GroupTimes:
    """Time of all bars of a group.

    ``settings`` maps a head angle to its setting; the facing cut is square. A piece is sawn once, at its far
    end; a mitred piece has its near end sawn too.
    """
    sawing = [0.0, 0.0, 0.0]
    indexing = unloading = 0.0
    for bar in bars:
        for angle_deg in cuts_of_bar(bar):
            setting = settings[angle_deg]
            for place, seconds in enumerate(
                (setting.cut_seconds, setting.cut_seconds_low, setting.cut_seconds_high)
            ):
                sawing[place] += bar.times * seconds
            indexing += bar.times * idle_seconds_per_cut(saw)
        for piece in bar.pieces:
            indexing += bar.times * index_seconds(saw, um_to_mm(piece.length_um + piece.kerf_um))
        unloading += bar.times * len(bar.pieces) * saw.cycle.unload_piece_s
    loading = sum(bar.times for bar in bars) * saw.cycle.load_bar_s
    return GroupTimes(
        sawing_s=sawing[0],
        sawing_low_s=sawing[1],
        sawing_high_s=sawing[2],
        indexing_s=indexing,
        loading_s=loading,
        unloading_s=unloading,
    )


def cuts_of_bar(bar: PlannedBar) -> list[float]:
    """Head angles of the cuts on one bar, in their order: the facing cut, then the cuts of each piece."""
    angles = [0.0] if bar.facing_kerf_um else []
    for piece in bar.pieces:
        if piece.angle_a_deg or piece.angle_b_deg:
            angles.append(abs(piece.angle_a_deg))
        if piece.kerf_um:
            angles.append(abs(piece.angle_b_deg))
    return angles
