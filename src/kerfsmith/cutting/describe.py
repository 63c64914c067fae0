"""Everything about a cut that was reckoned, as one value for page, ticket and plan."""

from kerfsmith.catalog.corrections import Corrections
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.candidates import least_teeth, most_teeth, teeth_class
from kerfsmith.cutting.cautions import HazardTexts, cautions_for
from kerfsmith.cutting.condition import Condition
from kerfsmith.cutting.life import band_life
from kerfsmith.cutting.reasons import reasons_for
from kerfsmith.cutting.reckon import (
    Reckoned,
    by_control,
    feed_force_share,
    force_span_n,
    gullet_fill,
    power_by_method,
    slices_of,
    steady_span,
)
from kerfsmith.cutting.set_up import guide_span_mm
from kerfsmith.cutting.setting import CutSetting


def setting_of(
    grade: Grade, found: Reckoned, corrections: Corrections, condition: Condition, hazard_texts: HazardTexts
) -> CutSetting:
    """The setting of a cut that was reckoned."""
    work, saw, band, speed = found.work, found.saw, found.one.band, found.one.speed
    slices = slices_of(found)
    rivals = by_control(found)
    methods = power_by_method(grade, found)
    life = band_life(grade, saw, band, found.one.speed_m_per_min / speed.wanted, corrections)
    constant = next(time for time in rivals if time.control is FeedControl.CONSTANT_FEED)
    return CutSetting(
        saw=saw.id,
        saw_name=saw.name,
        band=band,
        lie=work.lie,
        angle_deg=work.angle_deg,
        bundle=work.bundle,
        band_speed_m_per_min=found.one.speed_m_per_min,
        wanted_speed_m_per_min=speed.wanted,
        kerf_um=round(band.kerf.value * 1000),
        cut_seconds=found.seconds[1],
        cut_seconds_low=found.seconds[0],
        cut_seconds_high=found.seconds[2],
        area_cm2=work.area_mm2 / 100,
        mean_feed_mm_per_min=work.travel_mm / found.seconds[1] * 60,
        constant_feed_mm_per_min=work.travel_mm / constant.seconds * 60,
        peak_power_kw=max(each.power_kw for each in slices),
        mean_power_kw=found.mean_power_kw,
        peak_force_n=max(each.force_n for each in slices),
        least_teeth_in_cut=least_teeth(work, band) if band.pitch else 0.0,
        most_teeth_in_cut=most_teeth(work, band),
        ruling_limit=found.ruling,
        slices=slices,
        reasons=reasons_for(grade, found, saw, corrections, condition, methods, rivals, life),
        cautions=cautions_for(grade, found, corrections, condition, hazard_texts),
        feed_control=saw.feed_control,
        by_control=rivals,
        power_by_method=methods,
        teeth_class=teeth_class(grade, work, band),
        fullest_gullet=float(gullet_fill(found).max()),
        band_force_share=feed_force_share(found),
        guide_span_mm=guide_span_mm(saw, work),
        steady_span_mm_per_min=steady_span(grade, found, corrections, condition),
        force_span_n=force_span_n(found, methods, condition),
        life_area_cm2=life.as_tuple() if life else None,
    )
