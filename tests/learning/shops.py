"""Shops with known truth, for trying what is learned from their records."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from kerfsmith.learning.times import FIELDS

Named = Mapping[str, str]
Pair = tuple[Named, float]


@dataclass(frozen=True)
class TrueShop:
    """Every effect of a shop as logs of time over published time."""

    general: float
    effects: Mapping[str, Mapping[str, float]]
    together: Mapping[tuple[str, str], float]
    scatter: float

    def of(self, named: Named) -> float:
        """The true log ratio of work."""
        parts = sum(self.effects[field][named[field]] for field in FIELDS)
        return self.general + parts + self.together[named["grade"], named["saw"]]


@dataclass(frozen=True)
class Spreads:
    """Standard deviations that shops are drawn with."""

    general: float = 0.2
    saw: float = 0.1
    grade: float = 0.15
    section_kind: float = 0.08
    band_kind: float = 0.05
    together: float = 0.05
    scatter: float = 0.12


SIZES = {"saw": 3, "grade": 6, "section_kind": 3, "band_kind": 2}


def draw_shop(rng: np.random.Generator, spreads: Spreads) -> TrueShop:
    """A shop by chance."""
    effects = {
        field: {f"{field} {n}": float(rng.normal(0, getattr(spreads, field))) for n in range(SIZES[field])}
        for field in FIELDS
    }
    together = {
        (grade, saw): float(rng.normal(0, spreads.together))
        for grade in effects["grade"]
        for saw in effects["saw"]
    }
    return TrueShop(float(rng.normal(0, spreads.general)), effects, together, spreads.scatter)


def draw_cuts(rng: np.random.Generator, shop: TrueShop, count: int, tail: float | None = None) -> list[Pair]:
    """``count`` cuts of common and seldom work; scatter is normal, or Student's with ``tail`` degrees."""
    drawn: list[Pair] = []
    for _ in range(count):
        named = {}
        for field in FIELDS:
            names = list(shop.effects[field])
            often = 1 / np.arange(1, len(names) + 1)
            named[field] = names[int(rng.choice(len(names), p=often / often.sum()))]
        scatter = rng.normal() if tail is None else rng.standard_t(tail) / np.sqrt(tail / (tail - 2))
        drawn.append((named, shop.of(named) + shop.scatter * float(scatter)))
    return drawn
