"""What the shop's own records put on a setting's time and band life, as far as a person accepted it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.life import CutCost, LifeSpan
from kerfsmith.cutting.setting import CutSetting, Reason
from kerfsmith.cutting.weighing import Alternative
from kerfsmith.shop.factors import Factor, Factors, Measure, Scope
from kerfsmith.units.told import Told, joined, sentence

_ABOUT = {Measure.CUT_TIME: "cut time", Measure.BAND_LIFE: "band life", Measure.INDEX_TIME: "cut time"}


def work_of(setting: CutSetting, grade: Grade, section: Section) -> Scope:
    """The scope of one setting's work."""
    return Scope(grade.name, setting.saw, section.shape.kind, setting.band.id)


def with_factors(setting: CutSetting, grade: Grade, section: Section, factors: Factors) -> CutSetting:
    """The setting with its times and band life multiplied by the narrowest factors that take its work in.

    Feed and speed stay: the factor says what the same setting comes to on this saw. Low and high are the
    published ones multiplied by the factor where it is no surer, else the factor's own interval. A setting
    that has factors already is returned as it is.
    """
    if setting.factors:
        return setting
    work = work_of(setting, grade, section)
    time, life = (factors.for_work(measure, work) for measure in (Measure.CUT_TIME, Measure.BAND_LIFE))
    used = tuple(one for one in (time, life) if one is not None)
    if not used:
        return setting
    reasons = (*(_reason(factor) for factor in used), *setting.reasons)
    changed = replace(setting, factors=used, reasons=reasons)
    if time is not None:
        low, usual, high = _spread(
            (setting.cut_seconds_low, setting.cut_seconds, setting.cut_seconds_high), time
        )
        changed = replace(changed, cut_seconds_low=low, cut_seconds=usual, cut_seconds_high=high)
    if life is not None and setting.life_area_cm2 is not None:
        changed = replace(changed, life_area_cm2=_spread(setting.life_area_cm2, life))
    return changed


def alternative_with_factors(
    one: Alternative, grade: Grade, section: Section, saw: str, factors: Factors
) -> Alternative:
    """A setting among others, its time, band life and cost as the same factors make them."""
    work = Scope(grade.name, saw, section.shape.kind, one.band.id)
    time, life = (factors.for_work(measure, work) for measure in (Measure.CUT_TIME, Measure.BAND_LIFE))
    longer, lasting = time.value if time else 1.0, life.value if life else 1.0
    span, cost = one.life, one.cost
    if span is not None:
        span = LifeSpan(span.low * lasting, span.usual * lasting, span.high * lasting)
    if cost is not None:
        added, saved = cost.saw * (longer - 1), 1 / lasting
        cost = CutCost(
            saw=cost.saw * longer,
            band=cost.band * saved,
            change=cost.change * saved,
            low=cost.saw + added + (cost.low - cost.saw) * saved,
            high=cost.saw + added + (cost.high - cost.saw) * saved,
        )
    return replace(
        one,
        seconds=one.seconds * longer,
        seconds_low=one.seconds_low * longer,
        seconds_high=one.seconds_high * longer,
        life=span,
        cost=cost,
    )


def factors_used(
    settings: Sequence[CutSetting], grade: Grade, section: Section, factors: Factors
) -> tuple[Factor, ...]:
    """Every factor that a group's times rest on: those of its settings, and the one on feeding."""
    used = dict.fromkeys(factor for setting in settings for factor in setting.factors)
    for setting in settings[:1]:
        feeding = factors.for_work(Measure.INDEX_TIME, work_of(setting, grade, section))
        if feeding is not None:
            used[feeding] = None
    return tuple(used)


def says(factor: Factor) -> Told:
    """A sentence for page and ticket."""
    scope = factor.scope
    about = joined(", ", _named(scope))
    told = Told("frozen") if factor.frozen else Told("learned")
    fields = {
        "measure": factor.measure,
        "value": f"{factor.value:.2f}",
        "low": f"{factor.low:.2f}",
        "high": f"{factor.high:.2f}",
        "told": told,
        "count": factor.count,
    }
    if not about:
        return sentence(
            "{measure} {value} × the published figure ({low} to {high}), {told} from {count} records",
            **fields,
        )
    return sentence(
        "{measure} {value} × the published figure ({low} to {high}), {told} from {count} records of {about}",
        **fields,
        about=about,
    )


def _named(scope: Scope) -> Iterable[Told]:
    if scope.grade:
        yield sentence("grade {grade}", grade=scope.grade)
    if scope.saw:
        yield sentence("saw {saw}", saw=scope.saw)
    if scope.section_kind:
        yield sentence("{section_kind} sections", section_kind=scope.section_kind)
    if scope.band_kind:
        yield sentence("band {band_kind}", band_kind=scope.band_kind)


def _reason(factor: Factor) -> Reason:
    return Reason(
        _ABOUT[factor.measure],
        says(factor),
        "figure = published figure × factor",
        "this shop's cut log",
        "accepted by a person on the page of what was learned",
        Confidence.SHOP,
    )


def _spread(published: tuple[float, float, float], factor: Factor) -> tuple[float, float, float]:
    low, usual, high = published
    return (
        max(low * factor.value, usual * factor.low),
        usual * factor.value,
        min(high * factor.value, usual * factor.high),
    )
