"""Seconds and area of a group, order line by order line: what is a line's own, and its share of the rest."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.planning.plan import PlanGroup, PlannedBar, PlannedPiece
from kerfsmith.planning.times import cuts_of_bar, idle_seconds_per_cut, index_factor, index_seconds
from kerfsmith.units.length import um_to_mm

Spread = tuple[float, float, float]
"""Low, likely and high."""


@dataclass(frozen=True, slots=True)
class LineWork:
    """What one order line takes of a group: pieces, bar used up, cuts by head angle, feeding and handling.

    ``consumed_um`` is piece, kerf and lap together. ``cuts`` counts its own cuts by angle without sign.
    """

    line_id: str
    pieces: int = 0
    consumed_um: int = 0
    cuts: Mapping[float, int] = field(default_factory=dict)
    feeding_s: float = 0.0
    unloading_s: float = 0.0


@dataclass(frozen=True, slots=True)
class GroupWork:
    """A group's work parted: ``lines``, and what its lines share (facing cuts by angle, bars loaded)."""

    lines: tuple[LineWork, ...]
    facing_cuts: Mapping[float, int]
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
    facing: dict[float, int] = {}
    factor = index_factor(group.factors)
    for bar in group.bars:
        own = [angle for piece in bar.pieces for angle in _own_cuts(piece)]
        every = cuts_of_bar(bar)
        if len(every) > len(own):
            facing[every[0]] = facing.get(every[0], 0) + bar.times
        for piece in bar.pieces:
            before = lines.get(piece.line_id, LineWork(piece.line_id))
            lines[piece.line_id] = _with_piece(before, piece, bar, saw, factor)
    bars = sum(bar.times for bar in group.bars)
    return GroupWork(
        lines=tuple(lines.values()),
        facing_cuts=facing,
        bars=bars,
        loading_s=bars * saw.cycle.load_bar_s,
        facing_s=sum(facing.values()) * idle_seconds_per_cut(saw) * factor,
    )


def sawing_seconds(cuts: Mapping[float, int], settings: Mapping[float, CutSetting]) -> Spread:
    """Low, likely and high seconds of sawing of these cuts."""
    low = sum(count * settings[angle].cut_seconds_low for angle, count in cuts.items())
    likely = sum(count * settings[angle].cut_seconds for angle, count in cuts.items())
    high = sum(count * settings[angle].cut_seconds_high for angle, count in cuts.items())
    return low, likely, high


def _with_piece(
    line: LineWork, piece: PlannedPiece, bar: PlannedBar, saw: SawSheet, factor: float
) -> LineWork:
    cuts = dict(line.cuts)
    own = _own_cuts(piece)
    for angle in own:
        cuts[angle] = cuts.get(angle, 0) + bar.times
    feeding = index_seconds(saw, um_to_mm(piece.taken_um)) + len(own) * idle_seconds_per_cut(saw)
    return replace(
        line,
        pieces=line.pieces + bar.times,
        consumed_um=line.consumed_um + bar.times * piece.taken_um,
        cuts=cuts,
        feeding_s=line.feeding_s + bar.times * feeding * factor,
        unloading_s=line.unloading_s + bar.times * saw.cycle.unload_piece_s,
    )


def _own_cuts(piece: PlannedPiece) -> list[float]:
    near_deg, far_deg = piece.ends_deg
    own = [abs(near_deg)] if piece.near_cut else []
    return own + ([abs(far_deg)] if piece.far_cut else [])
