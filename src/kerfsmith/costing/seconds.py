"""Seconds and area of a group, order line by order line: what is a line's own, and its share of the rest."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import PlanGroup, PlannedPiece
from kerfsmith.planning.times import (
    cuts_of_bar,
    idle_seconds_per_cut,
    index_factor,
    index_seconds,
    loading_seconds,
)
from kerfsmith.units.length import um_to_mm

Spread = tuple[float, float, float]
"""Low, likely and high."""


CutKind = tuple[float, int]
"""Head angle of a cut without sign, and how many bars lie in the vise at once."""


def settings_by_cut(group: PlanGroup) -> dict[CutKind, CutSetting]:
    """A group's settings by the cuts they are for."""
    return {(one.angle_deg, one.bundle): one for one in (*group.settings, *group.bundle_settings)}


@dataclass(frozen=True, slots=True)
class LineWork:
    """What one order line takes of a group: pieces, bar used up, cuts, feeding and handling.

    ``consumed_um`` is piece, kerf and lap together. ``cuts`` counts its own cuts through single bars: one
    through a load of four counts as four that take a quarter of it each.
    """

    line_id: str
    pieces: int = 0
    consumed_um: int = 0
    cuts: Mapping[CutKind, int] = field(default_factory=dict)
    feeding_s: float = 0.0
    unloading_s: float = 0.0


@dataclass(frozen=True, slots=True)
class GroupWork:
    """A group's work parted: ``lines``, and what its lines share (facing cuts through each bar, bars
    loaded)."""

    lines: tuple[LineWork, ...]
    facing_cuts: Mapping[CutKind, int]
    bars: int
    loading_s: float
    facing_s: float
    """Seconds of the facing cuts that aren't sawing: clamp, approach, head back."""

    @property
    def consumed_um(self) -> int:
        """Bar used up by all lines."""
        return sum(line.consumed_um for line in self.lines)

    def share(self, line: LineWork) -> Decimal:
        """The line's share of what is shared: by the length of bar it uses up."""
        return Decimal(line.consumed_um) / self.consumed_um


def part_work(group: PlanGroup, saw: SawSheet) -> GroupWork:
    """Part the group's work among its lines, in the order in which they first come up."""
    lines: dict[str, LineWork] = {}
    facing: dict[CutKind, int] = {}
    facing_s = 0.0
    factor = index_factor(group.factors)
    for bar in group.bars:
        own = [angle for piece in bar.pieces for angle in _own_cuts(piece)]
        every = cuts_of_bar(bar)
        if len(every) > len(own):
            kind = every[0], bar.at_once
            facing[kind] = facing.get(kind, 0) + bar.times
            facing_s += bar.loads * idle_seconds_per_cut(saw)
        for piece, count in bar.each_piece():
            before = lines.get(piece.line_id, LineWork(piece.line_id))
            lines[piece.line_id] = _with_pieces(before, piece, count, bar.at_once, saw, factor)
    bars = sum(bar.times for bar in group.bars)
    return GroupWork(
        lines=tuple(lines.values()),
        facing_cuts=facing,
        bars=bars,
        loading_s=sum(bar.loads * loading_seconds(saw, bar.at_once) for bar in group.bars),
        facing_s=facing_s * factor,
    )


def sawing_seconds(cuts: Mapping[CutKind, int], settings: Mapping[CutKind, CutSetting]) -> Spread:
    """Low, likely and high seconds of sawing of these cuts, those through several bars by their parts."""
    parts = [(count / kind[1], settings[kind]) for kind, count in cuts.items()]
    low = sum(count * setting.cut_seconds_low for count, setting in parts)
    likely = sum(count * setting.cut_seconds for count, setting in parts)
    high = sum(count * setting.cut_seconds_high for count, setting in parts)
    return low, likely, high


def _with_pieces(
    line: LineWork, piece: PlannedPiece, count: int, at_once: int, saw: SawSheet, factor: float
) -> LineWork:
    cuts = dict(line.cuts)
    own = _own_cuts(piece)
    for angle in own:
        cuts[angle, at_once] = cuts.get((angle, at_once), 0) + count
    feeding = index_seconds(saw, um_to_mm(piece.taken_um)) + len(own) * idle_seconds_per_cut(saw)
    return replace(
        line,
        pieces=line.pieces + count,
        consumed_um=line.consumed_um + count * piece.taken_um,
        cuts=cuts,
        feeding_s=line.feeding_s + count * feeding * factor / at_once,
        unloading_s=line.unloading_s + count * saw.cycle.unload_piece_s,
    )


def _own_cuts(piece: PlannedPiece) -> list[float]:
    near_deg, far_deg = piece.ends_deg
    own = [abs(near_deg)] if piece.near_cut else []
    return own + ([abs(far_deg)] if piece.far_cut else [])
