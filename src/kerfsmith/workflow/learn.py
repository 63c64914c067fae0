"""What the log teaches, and what a person decides of it: accept, freeze or forget a factor."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.learning.band_wear import BandWear, LifeShare, band_wear
from kerfsmith.learning.log import BandStay, Log, SawnCut
from kerfsmith.learning.observe import MIXED, Forgotten, LeftOut, band_lives, cut_times, index_times
from kerfsmith.learning.times import INDEX_GROUPINGS, Learned, TimesLearned, learn_times
from kerfsmith.shop.factors import Decision, Factor, FactorDecided, Measure, Scope, forgotten, in_force
from kerfsmith.shop.person import Person
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

WORTH_FOLLOWING = 0.005
"""An accepted factor is brought up to the records when these have moved it by more than half a percent."""


@dataclass(frozen=True)
class Lessons:
    """Everything the log teaches: factors by measure, and how many cuts teach nothing, by reason."""

    cut_times: TimesLearned
    index_times: TimesLearned
    wear: BandWear | None
    left_out: Mapping[Measure, Mapping[LeftOut, int]]

    def factors(self) -> tuple[Factor, ...]:
        """Every factor that may be accepted."""
        times = (*self.cut_times.factors, *self.index_times.factors)
        return (*(one.factor for one in times), *life_factors(self.wear))

    def factor(self, measure: Measure, scope: Scope) -> Factor | None:
        """One factor, None where the records don't tell of it."""
        return next((one for one in self.factors() if (one.measure, one.scope) == (measure, scope)), None)

    def learned(self, measure: Measure, scope: Scope) -> Learned | None:
        """A factor of times with its forecast."""
        times = self.cut_times if measure is Measure.CUT_TIME else self.index_times
        return next((one for one in times.factors if one.factor.scope == scope), None)


def life_factors(wear: BandWear | None) -> tuple[Factor, ...]:
    """Factors of band life: of all work, then of each grade."""
    if wear is None:
        return ()
    by_grade = ((Scope(grade=grade), share) for grade, share in wear.by_grade.items() if grade != MIXED)
    return tuple(_life_factor(scope, share) for scope, share in ((Scope(), wear.general), *by_grade))


def _life_factor(scope: Scope, share: LifeShare) -> Factor:
    return Factor(Measure.BAND_LIFE, scope, share.share, share.low, share.high, share.bands)


def learn_from(log: Log, decisions: Sequence[FactorDecided]) -> Lessons:
    """What the log teaches, less what was forgotten."""
    past: Forgotten = forgotten(decisions)
    seen, feeding = cut_times(log, past), index_times(log, past)
    return Lessons(
        learn_times(Measure.CUT_TIME, seen.observations),
        learn_times(Measure.INDEX_TIME, feeding.observations, INDEX_GROUPINGS, ((), ("saw",))),
        band_wear(band_lives(log.stays)),
        {Measure.CUT_TIME: seen.left_out, Measure.INDEX_TIME: feeding.left_out},
    )


@dataclass(frozen=True, slots=True)
class DecideFactor:
    """``decision`` on the factor of ``measure`` and ``scope``; ``factor`` is what it was decided on.

    A forgotten one needs no factor.
    """

    measure: Measure
    scope: Scope
    decision: Decision
    factor: Factor | None = None


def decide_factor(
    records: Records, told: DecideFactor, *, by: Person, at: datetime
) -> FactorDecided | Refusal:
    """Accept, freeze or forget a factor.

    Refused: to accept or freeze what the records don't tell of.
    """

    def body(change: Change) -> FactorDecided:
        factor = told.factor
        if told.decision is Decision.FORGET:
            factor = None
        elif factor is None or (factor.measure, factor.scope) != (told.measure, told.scope):
            raise Refused("nothing-learned", "the records don't tell of this", "Cut some of it first")
        else:
            factor = replace(factor, frozen=told.decision is Decision.FREEZE)
        decided = FactorDecided(told.measure, told.scope, told.decision, factor, by.name, at)
        change.learning.decide(decided)
        return decided

    return act(
        records,
        Verb.DECIDE_FACTOR,
        body,
        answer_as=FactorDecided,
        told=told,
        subject=f"{told.measure} {told.scope.key}",
        by=by,
        at=at,
    )


@dataclass(frozen=True, slots=True)
class LogFollowed:
    """The accepted factors that were brought up to the records."""

    factors: tuple[Factor, ...]


def follow_log(records: Records, *, by: Person, at: datetime) -> LogFollowed | Refusal:
    """Bring accepted factors that aren't frozen up to what the log teaches now."""
    moved = _moved(records) if may(by.role, Verb.FOLLOW_LOG) else ()

    def body(change: Change) -> LogFollowed:
        for factor in moved:
            decided = FactorDecided(factor.measure, factor.scope, Decision.FOLLOW, factor, by.name, at)
            change.learning.decide(decided)
        return LogFollowed(moved)

    return act(
        records,
        Verb.FOLLOW_LOG,
        body,
        answer_as=LogFollowed,
        told=LogFollowed(moved),
        subject="factors",
        by=by,
        at=at,
    )


def _moved(records: Records) -> tuple[Factor, ...]:
    """What the log teaches now of each accepted factor that it has moved."""
    with records.look() as look:
        decisions = look.learning.decisions()
        accepted = [one for one in in_force(decisions).accepted if not one.frozen]
        if not accepted:
            return ()
        lessons = learn_from(look.learning.log(), decisions)
    return tuple(
        now
        for was in accepted
        if (now := lessons.factor(was.measure, was.scope)) is not None
        and abs(now.value / was.value - 1) > WORTH_FOLLOWING
    )


@dataclass(frozen=True, slots=True)
class HistoryBrought:
    """How many cuts and bands of earlier work were taken in, and where from."""

    source: str
    cuts: int
    bands: int


def bring_history(
    records: Records,
    cuts: Sequence[SawnCut],
    stays: Sequence[BandStay],
    *,
    source: str,
    by: Person,
    at: datetime,
) -> HistoryBrought | Refusal:
    """Take in what was cut before these records, to learn from. It counts for nothing else."""
    brought = HistoryBrought(source, len(cuts), len(stays))

    def body(change: Change) -> HistoryBrought:
        change.learning.keep_earlier(cuts, stays, source)
        return brought

    return act(
        records,
        Verb.BRING_HISTORY,
        body,
        answer_as=HistoryBrought,
        told=brought,
        subject="history",
        by=by,
        at=at,
    )
