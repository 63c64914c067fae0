"""Corrections that the trade lays over a published band speed or cutting rate, each as a figure."""

import bisect
import math
from dataclasses import dataclass, replace

from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.errors import InvalidValue


@dataclass(frozen=True, slots=True)
class SizePoint:
    """One published point of the size correction: ``factor`` on band speed at ``length_mm`` in the cut."""

    length_mm: float
    coarse_tpi: float
    fine_tpi: float
    factor: Figure


@dataclass(frozen=True, slots=True)
class HardnessPoint:
    """``factor`` on band speed for work of ``hb`` Brinell."""

    hb: float
    factor: Figure


@dataclass(frozen=True, slots=True)
class WallStep:
    """``factor`` on cutting rate for tube and shapes with a wall up to and with ``up_to_mm``."""

    up_to_mm: float
    factor: Figure


@dataclass(frozen=True, slots=True)
class BreakIn:
    """How a new band is run in: ``feed`` share of the usual feed over the first ``area`` cm2."""

    feed: Figure
    area: Figure


@dataclass(frozen=True, slots=True)
class Corrections:
    """All corrections. Factors multiply the band speed unless the name says otherwise.

    ``carbide_edge`` pairs a family of grades with its factor for a carbide-tipped band. ``shapes`` is for
    rolled shapes that vibrate; ``worn_power`` multiplies power and force for a worn band.

    Raises InvalidValue when a table is empty or not in rising order.
    """

    size: tuple[SizePoint, ...]
    dry: Figure
    carbon_edge: Figure
    carbide_edge: tuple[tuple[str, Figure], ...]
    hardness: tuple[HardnessPoint, ...]
    shapes: Figure
    wall_rate: tuple[WallStep, ...]
    carbide_life: Figure
    life_with_chips_in_pipe: Figure
    worn_power: Figure
    break_in_easy: BreakIn
    break_in_hard: BreakIn

    def __post_init__(self) -> None:
        for name, steps in (
            ("size", [point.length_mm for point in self.size]),
            ("hardness", [point.hb for point in self.hardness]),
            ("wall rate", [step.up_to_mm for step in self.wall_rate]),
        ):
            if not steps or steps != sorted(set(steps)):
                raise InvalidValue(f"the {name} correction needs points in rising order")

    def size_factor(self, length_mm: float) -> Figure:
        """Factor on band speed for a mean length of cut, mm.

        Source: the published points; linear in log(length) between them and held at both ends (derived).
        Raises InvalidValue for a length that isn't above zero.
        """
        if length_mm <= 0:
            raise InvalidValue("a length of cut lies above zero")
        lengths = [point.length_mm for point in self.size]
        at = bisect.bisect_left(lengths, length_mm)
        if at == len(lengths):
            return _held(self.size[-1].factor, length_mm > lengths[-1])
        if at == 0 or lengths[at] == length_mm:
            return _held(self.size[at].factor, length_mm < lengths[at])
        below, above = self.size[at - 1], self.size[at]
        share = math.log(length_mm / below.length_mm) / math.log(above.length_mm / below.length_mm)
        return _between(below.factor, above.factor, share, "linear in log(length) between published points")

    def hardness_factor(self, hb: float, hb_annealed: float) -> Figure:
        """Factor on band speed for work of ``hb`` when the speed was published for ``hb_annealed``.

        The points say how speed falls with hardness; the factor is the ratio of the two readings, so a grade
        whose speed was published hard isn't slowed twice, and softer work isn't sped up (derived). Above the
        last point the curve is held and the note says so.
        """
        hard, soft = self._hardness_reading(hb), self._hardness_reading(hb_annealed)
        value = min(1.0, hard.value / soft.value)
        low = min(value, hard.low / soft.value)
        high = max(value, min(1.0, hard.high / soft.value))
        return replace(hard, value=value, low=low, high=high)

    def _hardness_reading(self, hb: float) -> Figure:
        points = self.hardness
        steps = [point.hb for point in points]
        at = bisect.bisect_left(steps, hb)
        if at == len(points):
            return _held(points[-1].factor, hb > steps[-1])
        if at == 0:
            return points[0].factor
        below, above = points[at - 1], points[at]
        share = (hb - below.hb) / (above.hb - below.hb)
        return _between(below.factor, above.factor, share, "linear between the points")

    def wall_factor(self, wall_mm: float) -> Figure:
        """Factor on cutting rate for a tube or shape of this wall, mm."""
        for step in self.wall_rate:
            if wall_mm <= step.up_to_mm + 1e-9:
                return step.factor
        return self.wall_rate[-1].factor

    def carbide_factor(self, family: str) -> Figure | None:
        """Factor on band speed for a carbide-tipped band by family of grades, None where none is known."""
        return dict(self.carbide_edge).get(family)


def _held(figure: Figure, beyond: bool) -> Figure:
    """The end point of a table, saying so when the value asked for lies beyond it."""
    return replace(figure, note="held beyond the last published point") if beyond else figure


def _between(below: Figure, above: Figure, share: float, note: str) -> Figure:
    """The figure ``share`` of the way from ``below`` to ``above``; derived when both ends were read."""

    def mix(low: float, high: float) -> float:
        return low + (high - low) * share

    value = mix(below.value, above.value)
    return Figure(
        value=value,
        unit=below.unit,
        source=below.source,
        where=below.where,
        confidence=above.confidence if above.confidence.is_low else Confidence.DERIVED,
        low=min(value, mix(below.low, above.low)),
        high=max(value, mix(below.high, above.high)),
        note=note,
    )
