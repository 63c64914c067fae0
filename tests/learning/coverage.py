"""How often stated intervals hold, over shops with known truth; used by the suite and by the benchmark."""

from dataclasses import dataclass, field

import numpy as np
from tests.learning.shops import Spreads, draw_cuts, draw_shop

from kerfsmith.learning.cells import gather
from kerfsmith.learning.mixed_model import MixedModel
from kerfsmith.learning.posterior import Asked, Mixture, learn
from kerfsmith.learning.times import FIELDS, GROUPINGS, PUBLISHED_SD

SLICES: tuple[tuple[str, ...], ...] = ((), ("saw",), ("grade",), ("grade", "saw"))


@dataclass
class Held:
    """Counts of intervals that held the truth, by what they were about, and of predictions of cuts to
    come.
    """

    held: dict[str, int] = field(default_factory=dict)
    asked: dict[str, int] = field(default_factory=dict)
    learned_off: float = 0.0
    published_off: float = 0.0

    def add(self, about: str, holds: bool) -> None:
        """One more."""
        self.held[about] = self.held.get(about, 0) + int(holds)
        self.asked[about] = self.asked.get(about, 0) + 1

    def share(self, *about: str) -> float:
        """Share that held."""
        names = about or tuple(name for name in self.asked if name != "next cut")
        return sum(self.held[name] for name in names) / sum(self.asked[name] for name in names)

    @property
    def ratio(self) -> float:
        """Mean error of the forecast over that of the published figure."""
        return self.learned_off / self.published_off


def try_shops(
    shops: int, cuts: int, spreads: Spreads, seed: int, *, following: int = 12, tail: float | None = None
) -> Held:
    """Learn from ``cuts`` of each of ``shops`` and look whether 90 % intervals hold."""
    rng = np.random.default_rng(seed)
    found = Held()
    for _ in range(shops):
        shop = draw_shop(rng, spreads)
        cells = gather(FIELDS, draw_cuts(rng, shop, cuts, tail))
        posterior = learn(MixedModel(cells, GROUPINGS, PUBLISHED_SD))
        truth = np.array([shop.of(dict(zip(FIELDS, key, strict=True))) for key in cells.keys])
        asked, about, true = [], [], []
        for fields in SLICES:
            places = [FIELDS.index(field) for field in fields]
            names = [tuple(key[place] for place in places) for key in cells.keys]
            for name in sorted(set(names)):
                inside = np.array([other == name for other in names]) * cells.count
                shares = inside / inside.sum()
                asked.append(Asked(weights=tuple(shares)))
                about.append(" x ".join(fields) or "shop")
                true.append(float(shares @ truth))
        coming = draw_cuts(rng, shop, following, tail)
        asked += [
            Asked(
                levels=tuple(tuple(named[f] for f in grouping) for grouping in GROUPINGS), with_scatter=True
            )
            for named, _ in coming
        ]
        answers = posterior.answer(asked)
        for answer, what, value in zip(answers, about, true, strict=False):
            found.add(what, _within(answer, value))
        for answer, (_, value) in zip(answers[len(about) :], coming, strict=True):
            found.add("next cut", _within(answer, value))
            found.learned_off += abs(np.exp(answer.mean - value) - 1)
            found.published_off += abs(np.exp(-value) - 1)
    return found


def _within(answer: Mixture, value: float) -> bool:
    """Whether the 90 % interval holds ``value``, told without working out its ends."""
    return 0.05 <= answer.share_below(value) <= 0.95
