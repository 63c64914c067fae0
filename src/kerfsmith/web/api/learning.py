"""What was learned, decisions on it, and what moved, for other programs."""

from typing import Any

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.learning.charts.subgroup_limits import Spread
from kerfsmith.learning.series import Charted, length_capability, watched
from kerfsmith.learning.subgroups import IN_SUBGROUPS, Grouping, SubgroupChart, saw_chart
from kerfsmith.learning.times_noted import times_noted
from kerfsmith.learning.watch import Alarm, Watched
from kerfsmith.planning.document import factor_document
from kerfsmith.shop.factors import Decision, FactorDecided, Measure, Scope, in_force
from kerfsmith.web.api.answers import answered
from kerfsmith.web.learning_stage import LearningStage
from kerfsmith.web.pages.sign_in.gate import person_of
from kerfsmith.workflow.refusal import Refusal


class DecisionIn(BaseModel):
    """A decision on the factor of a measure and scope, as it is learned now; an empty field stands for
    any.
    """

    model_config = ConfigDict(extra="forbid")

    measure: Measure
    decision: Decision
    grade: str = Field(default="", max_length=120, pattern=r"^[^|]*$")
    saw: str = Field(default="", max_length=80, pattern=r"^[^|]*$")
    section_kind: str = Field(default="", max_length=40, pattern=r"^[^|]*$")
    band: str = Field(default="", max_length=120, pattern=r"^[^|]*$")


def routes(stage: LearningStage) -> APIRouter:
    """All of it under ``/api/learned`` and ``/api/charts``."""
    router = APIRouter(prefix="/api", tags=["learning"])

    @router.get("/learned")
    def learned() -> dict[str, Any]:
        """Every factor that the log teaches, those that plans use, every decision, newest first; and of how
        many cuts of each saw the beginning and end are noted.
        """
        decisions = stage.decisions()
        return {
            "learned": [factor_document(factor) for factor in stage.lessons().factors()],
            "in_plans": [factor_document(factor) for factor in in_force(decisions).accepted],
            "decisions": [_decided(one) for one in reversed(decisions)],
            "times_noted": [
                {"saw": one.saw, "cuts": one.cuts, "began": one.began, "ended": one.ended}
                for one in times_noted(stage.log())
            ],
        }

    @router.post("/learned", response_model=None)
    def decide(request: Request, wanted: DecisionIn) -> dict[str, Any] | JSONResponse:
        """Accept, freeze or forget a factor."""
        if wanted.decision is Decision.FOLLOW:
            raise HTTPException(422, "an accepted factor follows the log by itself")
        scope = Scope(wanted.grade, wanted.saw, wanted.section_kind, wanted.band)
        answer = stage.decide(wanted.measure, scope, wanted.decision, by=person_of(request))
        if isinstance(answer, Refusal):
            return answered(answer)
        return _decided(answer)

    @router.get("/charts")
    def charts() -> dict[str, Any]:
        """What is usual at each saw, and what moved: lengths in mm, squareness in thousandths, else
        percent.
        """
        log = stage.log()
        saws = sorted({cut.saw for cut in log.cuts})
        return {"charts": [_chart(saw, of, watched(log, of, saw)) for saw in saws for of in Charted]}

    @router.get("/charts/{saw}/{of}")
    def chart(saw: str, of: Charted) -> dict[str, Any]:
        """One figure of one saw with all its values, and for lengths the capability."""
        log = stage.log()
        seen = watched(log, of, saw)
        if not seen.points:
            raise HTTPException(404, "nothing of this figure was measured at this saw")
        values = [
            {"id": point.id, "at": point.at.isoformat(), "value": point.value, "score": score}
            for point, score in zip(seen.points, seen.scores, strict=True)
        ]
        sold = length_capability(log, saw) if of is Charted.LENGTH else None
        found = None
        if sold is not None:
            cpk, cp = sold.found.cpk, sold.found.cp
            found = {
                "plus_mm": sold.plus_mm,
                "minus_mm": sold.minus_mm,
                "count": sold.found.count,
                "cpk": [cpk.low, cpk.value, cpk.high],
                "cp": [cp.low, cp.value, cp.high] if cp else None,
                "outside": sold.found.outside,
            }
        return {**_chart(saw, of, seen), "values": values, "capability": found}

    @router.get("/charts/{saw}/{of}/subgroups")
    def subgroups(
        saw: str, of: Charted, by: Grouping | None = None, spread: Spread | None = None
    ) -> dict[str, Any]:
        """Means and spreads of lengths or squareness in subgroups, with limits, their factors and signals.

        Left out, ``by`` is bar where bars have pieces enough that were measured, else row (five in a row);
        ``spread`` is range for subgroups of one size of up to ten, else standard deviation.
        """
        found = saw_chart(stage.log(), of, saw, by, spread) if of in IN_SUBGROUPS else None
        if found is None:
            raise HTTPException(404, "too little of this figure was measured in such subgroups at this saw")
        return _subgroups(saw, of, found)

    return router


def _subgroups(saw: str, of: Charted, chart: SubgroupChart) -> dict[str, Any]:
    limits = chart.limits
    factors = {
        str(size): {"of_means": limits.mean_factor(size), "of_spreads": list(limits.spread_factors(size))}
        for size in sorted({len(group.points) for group in chart.groups})
    }
    groups = [
        {
            "from": group.points[0].at.isoformat(),
            "to": group.points[-1].at.isoformat(),
            "ids": [point.id for point in group.points],
            "mean": group.mean,
            "mean_limits": [means.lower, means.centre, means.upper],
            "spread": limits.spread.of(group.values),
            "spread_limits": [spreads.lower, spreads.centre, spreads.upper],
        }
        for group, means, spreads in zip(chart.groups, chart.means, chart.spreads, strict=True)
    ]
    signals = [
        {
            "subgroup": signal.at + 1,
            "since": signal.since + 1,
            "of": "spread" if signal.of_spread else "mean",
            "rule": signal.rule.value,
            "changes": [
                {"what": one.what, "before": one.before, "after": one.after} for one in signal.changes
            ],
        }
        for signal in chart.signals
    ]
    return {
        "saw": saw,
        "figure": of.value,
        "by": chart.grouping.value,
        "spread": limits.spread.value,
        "centre": limits.centre,
        "mean_spread": limits.mean_spread,
        "sd_within": limits.sd,
        "learned_from": limits.count,
        "factors": factors,
        "subgroups": groups,
        "signals": signals,
    }


def _decided(one: FactorDecided) -> dict[str, Any]:
    scope = one.scope
    return {
        "measure": one.measure.value,
        "grade": scope.grade,
        "saw": scope.saw,
        "section_kind": scope.section_kind,
        "band": scope.band_kind,
        "decision": one.decision.value,
        "factor": factor_document(one.factor) if one.factor else None,
        "by": one.by,
        "at": one.at.isoformat(),
    }


def _chart(saw: str, of: Charted, seen: Watched) -> dict[str, Any]:
    usual = seen.usual
    return {
        "saw": saw,
        "figure": of.value,
        "count": len(seen.points),
        "usual": [usual.lower, usual.centre, usual.upper] if usual else None,
        "alarms": [_alarm(seen, alarm) for alarm in seen.alarms],
    }


def _alarm(seen: Watched, alarm: Alarm) -> dict[str, Any]:
    return {
        "signalled_at": seen.points[alarm.at].at.isoformat(),
        "since": seen.points[alarm.step.at].at.isoformat(),
        "earliest": seen.points[alarm.step.earliest].at.isoformat(),
        "latest": seen.points[alarm.step.latest].at.isoformat(),
        "by": alarm.by,
        "by_low": alarm.by_low,
        "by_high": alarm.by_high,
        "single": alarm.single,
        "lasts": alarm.lasts,
        "changes": [
            {"what": one.what, "before": one.before, "after": one.after, "values_off": one.off}
            for one in alarm.changes
        ],
    }
