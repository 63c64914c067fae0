"""What cuts and feeding really take: a factor for each scope that the records tell of."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.learning.cells import Floats, gather
from kerfsmith.learning.mixed_model import Grouping, MixedModel
from kerfsmith.learning.observe import Observation
from kerfsmith.learning.posterior import Asked, Posterior, learn
from kerfsmith.shop.factors import Factor, Measure, Scope

FIELDS = ("saw", "grade", "section_kind", "band_kind")
GROUPINGS: tuple[Grouping, ...] = (("saw",), ("grade",), ("section_kind",), ("band_kind",), ("grade", "saw"))
INDEX_GROUPINGS: tuple[Grouping, ...] = (("saw",),)
PUBLISHED_SD = 0.25
"""How far a whole shop's times lie from the published ones, as a log: about a quarter (common practice)."""
SHOWN: tuple[tuple[str, ...], ...] = (
    (),
    ("saw",),
    ("grade",),
    ("section_kind",),
    ("band_kind",),
    ("grade", "saw"),
    ("grade", "saw", "section_kind"),
)
"""By which fields factors are shown, and may be accepted."""


@dataclass(frozen=True, slots=True)
class Learned:
    """A factor as the records have it, and where a next single observation will lie (90 %).

    ``raw`` is the plain mean of the records, before it was drawn towards what is more general.
    """

    factor: Factor
    next_low: float
    next_high: float
    raw: float


@dataclass(frozen=True)
class TimesLearned:
    """All factors of one measure, the widest scope first, and the model behind them."""

    factors: tuple[Learned, ...]
    posterior: Posterior | None

    def forecast(self, work: Scope, cover: float = 0.9) -> tuple[float, float, float]:
        """Middle, low and high of the next observation's ratio to the published figure, for any work."""
        if self.posterior is None:
            return 1.0, math.exp(-1.645 * PUBLISHED_SD), math.exp(1.645 * PUBLISHED_SD)
        named = dict(zip(FIELDS, (work.saw, work.grade, work.section_kind, work.band_kind), strict=True))
        levels = tuple(
            tuple(named[field] for field in grouping) for grouping in self.posterior.model.groupings
        )
        (found,) = self.posterior.answer([Asked(levels=levels, with_scatter=True)])
        low, high = found.interval(cover)
        return math.exp(found.mean), math.exp(low), math.exp(high)


def learn_times(
    measure: Measure,
    observations: Sequence[Observation],
    groupings: Sequence[Grouping] = GROUPINGS,
    shown: Sequence[tuple[str, ...]] = SHOWN,
) -> TimesLearned:
    """Factors of ``measure`` from observations of log ratios."""
    if not observations:
        return TimesLearned((), None)
    cells = gather(FIELDS, ((one.named, one.log_ratio) for one in observations))
    posterior = learn(MixedModel(cells, tuple(groupings), PUBLISHED_SD))
    scopes = _scopes(posterior.model, shown)
    asked = [Asked(effects=scope.effects) for scope in scopes]
    asked += [Asked(effects=scope.effects, with_scatter=True) for scope in scopes]
    answers = posterior.answer(asked)
    factors = []
    for place, one in enumerate(scopes):
        true, following = answers[place], answers[place + len(scopes)]
        low, high = true.interval()
        next_low, next_high = following.interval()
        factor = Factor(
            measure,
            one.scope,
            math.exp(min(max(true.mean, low), high)),
            math.exp(low),
            math.exp(high),
            one.count,
        )
        factors.append(Learned(factor, math.exp(next_low), math.exp(next_high), math.exp(one.mean)))
    return TimesLearned(tuple(factors), posterior)


@dataclass(frozen=True)
class _OfScope:
    """The cells of a scope, each with its share of the observations: as effects, their number and plain
    mean.
    """

    scope: Scope
    effects: Floats
    count: int
    mean: float


def _scopes(model: MixedModel, shown: Sequence[tuple[str, ...]]) -> list[_OfScope]:
    """Every scope that the cells make up."""
    cells, found = model.cells, []
    for fields in shown:
        places = [FIELDS.index(field) for field in fields]
        members: dict[tuple[str, ...], list[int]] = {}
        for at, key in enumerate(cells.keys):
            members.setdefault(tuple(key[place] for place in places), []).append(at)
        for names, inside in sorted(members.items()):
            if not all(names):
                continue
            count = cells.count[inside]
            shares = count / count.sum()
            found.append(
                _OfScope(
                    Scope(**dict(zip(fields, names, strict=True))),
                    shares @ model.design[inside],
                    round(float(count.sum())),
                    float(shares @ cells.mean[inside]),
                )
            )
    return found
