"""The numbers one cut is reckoned with, for one setting or for many at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Number = float | Floats


@dataclass(frozen=True, slots=True)
class PowerFigures:
    """How much power a chip costs, by each method that has figures.

    ``kienzle`` holds (kc1.1 in N/mm2, mc) of each source; ``unit_power`` is kW/(cm3/s). Each is one number,
    or a column with one for each setting where settings differ in grade. ``wear`` multiplies both.
    ``lenient`` takes the least demanding method in place of the most demanding one.
    """

    kienzle: tuple[tuple[Number, Number], ...]
    unit_power: Number | None
    wear: float = 1.0
    lenient: bool = False

    @property
    def known(self) -> bool:
        """Whether any method has figures."""
        return bool(self.kienzle) or self.unit_power is not None

    def take(self, rows: NDArray[np.intp]) -> "PowerFigures":
        """Those of some settings, repeated as asked."""

        def of(value: Number) -> Number:
            return value[rows] if isinstance(value, np.ndarray) else value

        pairs = tuple((of(kc11), of(mc)) for kc11, mc in self.kienzle)
        unit = None if self.unit_power is None else of(self.unit_power)
        return PowerFigures(pairs, unit, self.wear, self.lenient)


@dataclass(frozen=True, slots=True)
class Figures:
    """All numbers of a cut; every array has one entry for each setting, shaped (settings, 1) to meet depths.

    ``speed`` m/min; ``pitch``, ``fine``, ``coarse``, ``kerf`` mm; ``rate`` and ``rate_most`` cm2/min,
    infinite where the grade has none; ``chip_least`` and ``chip_most`` um; ``fill_most`` share of a gullet
    that may fill and ``bulking`` loose chip over metal; ``force_ratio`` feed force over cutting force;
    ``band_n`` the feed force the band bears straight; ``motor_kw`` at the teeth; ``saw_n`` the saw's greatest
    feed force; ``feed_most`` mm/min. ``toothed`` is false for grit edges, whose ``pitch`` is the spacing of
    grains and which have neither gullets nor a count of teeth.
    """

    speed: Floats
    pitch: Floats
    fine: Floats
    coarse: Floats
    kerf: Floats
    rate: Floats
    rate_most: Floats
    chip_least: Floats
    chip_most: Floats
    fill_most: Floats
    bulking: Floats
    band_n: Floats
    motor_kw: Floats
    saw_n: Floats
    feed_most: Floats
    force_ratio: float
    power: PowerFigures
    toothed: bool = True
    origin: NDArray[np.intp] | None = None
    """Where these figures were taken from others: the place of each setting among them."""

    def take(self, rows: NDArray[np.intp]) -> "Figures":
        """The figures of some settings, repeated as asked."""
        changed = {name: getattr(self, name)[rows] for name in ARRAYS}
        return Figures(
            **changed,
            force_ratio=self.force_ratio,
            power=self.power.take(rows),
            toothed=self.toothed,
            origin=rows,
        )


ARRAYS = (
    "speed", "pitch", "fine", "coarse", "kerf", "rate", "rate_most", "chip_least", "chip_most", "fill_most",
    "bulking", "band_n", "motor_kw", "saw_n", "feed_most",
)  # fmt: skip


def column(*values: float) -> Floats:
    """Numbers as one entry for each setting, shaped to meet depths."""
    return np.array(values, dtype=np.float64)[:, None]
