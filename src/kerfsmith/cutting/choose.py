"""The way in: one saw's setting for one cut, or the best over several saws."""

from collections.abc import Sequence

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.cautions import NO_TEXTS, HazardTexts
from kerfsmith.cutting.condition import AS_USUAL, Condition
from kerfsmith.cutting.describe import setting_of
from kerfsmith.cutting.fit import ways_to_fit
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.cutting.reckon import Reckoned
from kerfsmith.cutting.risk import near_rubbing
from kerfsmith.cutting.setting import CannotCut, CutSetting, Misfit
from kerfsmith.cutting.try_bands import first_that_cuts, in_order
from kerfsmith.units.told import Told, joined, sentence


def set_cut(
    grade: Grade,
    section: Section,
    saw: SawSheet,
    bands: Sequence[Band],
    corrections: Corrections,
    *,
    angle_deg: float = 0.0,
    bundle: int = 1,
    condition: Condition = AS_USUAL,
    band_id: str | None = None,
    speed_m_per_min: float | None = None,
    feed_share: float = 1.0,
    lie: str | None = None,
    others: Sequence[SawSheet] = (),
    hazard_texts: HazardTexts = NO_TEXTS,
) -> CutSetting | CannotCut:
    """The setting of one cut on one saw, or why there is none.

    Of the bands that run on the saw the one nearest to the printed pitch is taken, at the published speed
    with its corrections; ``band_id``, ``speed_m_per_min`` and ``lie`` ask for others. ``others`` are saws to
    name where this one can't. Lies are tried in their usual order and the first with a setting is taken.
    """
    fits = ways_to_fit(
        grade, section, saw, angle_deg=angle_deg, bundle=bundle, condition=condition, others=others
    )
    ways = [fit for fit in fits if lie is None or fit.work.lie == lie]
    able = [fit.work for fit in ways if fit.fits]
    if not able:
        return _cannot(saw, ways[0].misfits if ways else (_no_way(section, bundle, lie),))
    refused: list[Misfit] = []
    for work in in_order(grade, able, saw, bands, corrections, band_id, asked=lie is not None):
        found = first_that_cuts(
            grade, work, saw, bands, corrections, condition, band_id, speed_m_per_min, feed_share
        )
        if isinstance(found, Reckoned):
            return setting_of(grade, found, corrections, condition, hazard_texts)
        refused += found
    return _cannot(saw, tuple({(one.dimension, one.text): one for one in refused}.values()))


def best_setting(
    grade: Grade,
    section: Section,
    saws: Sequence[SawSheet],
    bands: Sequence[Band],
    corrections: Corrections,
    *,
    angle_deg: float = 0.0,
    bundle: int = 1,
    condition: Condition = AS_USUAL,
    hazard_texts: HazardTexts = NO_TEXTS,
) -> CutSetting | CannotCut:
    """The setting that costs least saw time in money over several saws; where saws have no rate, the
    quickest. One with fewer than two teeth in a wall is taken only when no other saw has more, then one so
    near rubbing that chips may burn only when no other saw keeps clear of it.
    """
    found: list[tuple[bool, bool, float, float, CutSetting]] = []
    misfits: list[tuple[str, tuple[Misfit, ...]]] = []
    for saw in saws:
        answer = set_cut(
            grade,
            section,
            saw,
            bands,
            corrections,
            angle_deg=angle_deg,
            bundle=bundle,
            condition=condition,
            others=[other for other in saws if other.id != saw.id],
            hazard_texts=hazard_texts,
        )
        if isinstance(answer, CannotCut):
            misfits += answer.misfits
        else:
            too_few = answer.teeth_class is TeethClass.TOO_FEW
            near = near_rubbing(grade, answer)
            found.append((too_few, near, answer.cut_seconds * saw.rate_per_hour, answer.cut_seconds, answer))
    if found:
        return min(found, key=lambda each: each[:4])[4]
    each = joined(
        "; ",
        (
            sentence("{saw}: {why}", saw=name, why=found[0].text if found else Told("no setting"))
            for name, found in misfits
        ),
    )
    return CannotCut(tuple(misfits), sentence("no saw can make this cut. {each}", each=each))


def _no_way(section: Section, bundle: int, lie: str | None) -> Misfit:
    """The section can't lie as asked on any saw."""
    if bundle > 1 and lie is None:
        text = sentence("{section} isn't bundled: its shape doesn't stack", section=section.name)
        return Misfit("bundle", bundle, 1, "pieces", text, Told("cut the pieces one at a time"))
    text = sentence("{section} doesn't lie {lie} in a vise", section=section.name, lie=f"{lie!r}")
    return Misfit("lie", 0, 0, "", text, Told("lay it one of the ways its shape has"))


def _cannot(saw: SawSheet, misfits: tuple[Misfit, ...]) -> CannotCut:
    told = joined("; ", (misfit.text for misfit in misfits))
    return CannotCut(((saw.id, misfits),), sentence("{saw}: {why}", saw=saw.name, why=told))
