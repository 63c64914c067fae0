"""What the band itself goes through: stress, bends, stiffness, fatigue, and how it is run in and wears."""

from collections.abc import Iterator
from dataclasses import dataclass

from kerfsmith.catalog.band import Band, Edge
from kerfsmith.catalog.corrections import BreakIn, Corrections
from kerfsmith.catalog.figure import Confidence
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.models import band_stress, tooth_load
from kerfsmith.cutting.set_up import break_in_for
from kerfsmith.cutting.setting import CutSetting, Reason
from kerfsmith.units.told import Told, quantity, sentence

TWIST_DEG = 45.0
TWIST_LENGTH_MM = 300.0
"""Turn of the band from wheel to guide and the length it has for it, where a saw's sheet doesn't tell:
assumed.
"""

LONG_LIFE_BENDS = 1e6

KERF_LOSS_MM = (0.05, 0.1, 0.2)
"""By how much the kerf narrows over a band's life: from memory, low."""


@dataclass(frozen=True, slots=True)
class BandReport:
    """Stress in MPa, tension in N, stiffness in N/mm, bow in mm at the greatest force, pass in Hz.

    ``fatigue_use`` above 1 says the back cracks before the teeth are done. ``tension_usual_mpa`` is what the
    trade puts into such a band; ``kerf_mm`` runs from new to worn.
    """

    bending_mpa: float
    tension_mpa: float
    tension_usual_mpa: tuple[float, float] | None
    strand_n: float
    twist_shear_mpa: float
    twist_edge_mpa: float
    centrifugal_mpa: float
    wheel_ratio: float
    wheel_ratio_wanted: float
    bends_per_min: float
    hours_to_million_bends: float
    fatigue_use: float
    stiffness_n_per_mm: float
    bow_mm: float
    tooth_passing_hz: float | None
    kerf_mm: tuple[float, float]
    break_in_feed_share: float
    break_in_area_cm2: float
    reasons: tuple[Reason, ...] = ()
    """Why each is so: bending, tension, twist, bends, fatigue, stiffness, wheels, kerf and break-in."""


def band_report(
    grade: Grade,
    saw: SawSheet,
    setting: CutSetting,
    corrections: Corrections,
    *,
    twist_deg: float = TWIST_DEG,
    twist_length_mm: float = TWIST_LENGTH_MM,
) -> BandReport:
    """What the band of a setting goes through on its saw."""
    band = setting.band
    bending = band_stress.wheel_bending_mpa(band.thickness_mm, saw.wheel_diameter_mm)
    strand = band_stress.tension_n(saw.band_tension_mpa, band.width_mm, band.thickness_mm)
    edge = band_stress.twist_edge_mpa(band.width_mm, twist_deg, twist_length_mm)
    speed = setting.band_speed_m_per_min
    bends = band_stress.bends_per_min(speed, saw.band_length_mm)
    stiffness = band_stress.in_plane_stiffness_n_per_mm(
        band.width_mm, band.thickness_mm, setting.guide_span_mm, strand
    )
    plan = break_in_for(grade, corrections)
    return BandReport(
        bending_mpa=bending,
        tension_mpa=saw.band_tension_mpa,
        tension_usual_mpa=band_stress.USUAL_TENSION_MPA.get(band.edge.value),
        strand_n=strand,
        twist_shear_mpa=band_stress.twist_shear_mpa(band.thickness_mm, twist_deg, twist_length_mm),
        twist_edge_mpa=edge,
        centrifugal_mpa=band_stress.centrifugal_mpa(speed),
        wheel_ratio=saw.wheel_diameter_mm / band.thickness_mm,
        wheel_ratio_wanted=_ratio_wanted(band),
        bends_per_min=bends,
        hours_to_million_bends=LONG_LIFE_BENDS / bends / 60,
        fatigue_use=band_stress.fatigue_use(bending, saw.band_tension_mpa + edge),
        stiffness_n_per_mm=stiffness,
        bow_mm=setting.peak_force_n / stiffness,
        tooth_passing_hz=tooth_load.tooth_passing_hz(speed, band.pitch.mean_mm) if band.pitch else None,
        kerf_mm=(band.kerf.value, max(band.thickness_mm, band.kerf.value - KERF_LOSS_MM[1])),
        break_in_feed_share=plan.feed.value,
        break_in_area_cm2=plan.area.value,
        reasons=tuple(_reasons(saw, setting, plan, twist_deg, twist_length_mm)),
    )


def _reasons(
    saw: SawSheet, setting: CutSetting, plan: BreakIn, twist_deg: float, twist_length_mm: float
) -> Iterator[Reason]:
    """Where each figure comes from and how sure it is."""
    band, kerf = setting.band, setting.band.kerf
    wheel, thick = quantity(saw.wheel_diameter_mm, "mm"), quantity(band.thickness_mm, "mm")
    yield _derived(
        "bending",
        sentence("a band {thick} thick bent round a wheel of {wheel}", thick=thick, wheel=wheel),
        "σb = E t / (D + t)",
    )
    yield Reason(
        "tension",
        sentence(
            "the saw's sheet says {band_tension}, in a band {width} by {thick}",
            band_tension=quantity(saw.band_tension_mpa, "MPa"),
            width=quantity(band.width_mm, "mm"),
            thick=thick,
        ),
        "T = σt b t",
        saw.id,
        "saw sheet",
        Confidence.SHOP,
    )
    turned = sentence(
        "turned by {twist}° over {twist_length} from wheel to guide: assumed",
        twist=f"{twist_deg:g}",
        twist_length=quantity(twist_length_mm, "mm"),
    )
    yield Reason(
        "twist", turned, "τ = G t θ / L, σ = E b² θ² / (12 L²)", "derived", "", Confidence.MEMORY_LOW
    )
    loop = sentence(
        "two bends in each turn of a loop of {band_length}", band_length=quantity(saw.band_length_mm, "mm")
    )
    yield _derived("bends", loop, "N = 2 v / L")
    yield Reason(
        "fatigue",
        sentence(
            "above 1 the back cracks before the teeth are done; strength {back_strength} and "
            "endurance {back_endurance} of a hardened back are placeholders",
            back_strength=quantity(band_stress.BACK_STRENGTH_MPA, "MPa"),
            back_endurance=quantity(band_stress.BACK_ENDURANCE_MPA, "MPa"),
        ),
        "u = σb/2 / Se + (σb/2 + σt) / Su",
        band_stress.FATIGUE,
        "mean stress and amplitude on a straight line; both strengths are the house's",
        Confidence.MEMORY_LOW,
    )
    span = sentence(
        "between guides {guide_span} apart, as a beam and as a taut string",
        guide_span=quantity(setting.guide_span_mm, "mm"),
    )
    yield _derived("stiffness", span, "k = 48 E I / L³ + 4 T / L")
    yield Reason(
        "wheels",
        sentence("{band} and more spare the back: usual for this edge", band=f"{_ratio_wanted(band):g}"),
        "D / t",
        "house",
        "wheel over thickness",
        Confidence.MEMORY,
    )
    loss = quantity(KERF_LOSS_MM[0], "mm", KERF_LOSS_MM[2])
    yield Reason(
        "kerf",
        sentence(
            "{span} when new, narrower by {loss} when worn, by memory",
            span=quantity(kerf.low, "mm", kerf.high),
            loss=loss,
        ),
        "",
        kerf.source,
        kerf.where,
        Confidence.MEMORY_LOW,
    )
    yield Reason(
        "break-in",
        sentence(
            "{feed} of the feed over the first {area}",
            feed=f"{plan.feed.value:.0%}",
            area=quantity(plan.area.value, "cm2"),
        ),
        "",
        plan.feed.source,
        plan.feed.where,
        plan.feed.confidence,
    )


def _derived(about: str, text: Told, formula: str) -> Reason:
    return Reason(about, text, formula, "derived", "", Confidence.DERIVED)


def _ratio_wanted(band: Band) -> float:
    return band_stress.WHEEL_RATIO_CARBON if band.edge is Edge.CARBON else band_stress.WHEEL_RATIO
