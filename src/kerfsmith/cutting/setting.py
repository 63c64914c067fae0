"""What the cutting engine answers: a setting with its reasons, or the reason why not."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.figure import Confidence, Figure
from kerfsmith.catalog.saw import FeedControl
from kerfsmith.cutting.models.teeth_in_cut import TeethClass
from kerfsmith.shop.factors import Factor, Measure
from kerfsmith.units.told import Told


class Limit(StrEnum):
    """What rules the feed at a depth."""

    LEAST_CHIP = "least chip"
    GREATEST_CHIP = "greatest chip"
    GULLET = "gullet"
    TEETH_IN_CUT = "teeth in the cut"
    AREA_RATE = "area rate"
    MOTOR_POWER = "motor power"
    BAND_FORCE = "band force"
    SAW_FEED = "saw's feed range"
    SAW_FORCE = "saw's feed force"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a number is what it is: ``about`` names the number, ``text`` says it in the trade's words.

    ``about`` is one of: band speed, pitch, teeth in the cut, feed, chip, cutting rate, gullet, power, band
    force, straightness, feed force, cut time, feed control, band life, kerf; one number may have several
    reasons. ``formula`` is shown as written, ``source``/``where`` lead to the bibliography or name a saw's
    sheet, ``confidence`` says how sure.
    """

    about: str
    text: Told
    formula: str = ""
    source: str = ""
    where: str = ""
    confidence: Confidence = Confidence.DERIVED


def reason_of(about: str, text: Told, figure: Figure, formula: str = "") -> Reason:
    """A reason that rests on one figure and is as sure as that is."""
    return Reason(about, text, formula, figure.source, figure.where, figure.confidence)


@dataclass(frozen=True, slots=True)
class Misfit:
    """One dimension that fails: by how much, and what would help."""

    dimension: str
    wanted: float
    limit: float
    unit: str
    text: Told
    remedy: Told


@dataclass(frozen=True, slots=True)
class Slice:
    """The cut at one depth. ``limit`` rules the feed there."""

    depth_mm: float
    contact_mm: float
    longest_chord_mm: float
    teeth_in_cut: float
    feed_mm_per_min: float
    chip_um: float
    gullet_fill: float
    power_kw: float
    force_n: float
    limit: Limit


@dataclass(frozen=True, slots=True)
class ControlTime:
    """The same cut on a saw that can hold only this: what feed control is worth on the section.

    ``held`` says in words what is dialled in.
    """

    control: FeedControl
    seconds: float
    held: Told


@dataclass(frozen=True, slots=True)
class PowerByMethod:
    """Peak and mean power at the teeth, kW, and peak feed force, N, by one method and source."""

    method: str
    source: str
    peak_kw: float
    mean_kw: float
    peak_force_n: float


@dataclass(frozen=True, slots=True)
class CutSetting:
    """A cut that can be made: what to dial in, how long it takes and why.

    ``lie`` says how the section lies in the vise; ``bundle`` how many pieces are cut at once. Times are
    seconds of sawing for one cut through ``area_cm2``; low and high span the confidence of the figures used.
    ``kerf_um`` is along the bar for a square cut. Power is at the teeth. ``cautions`` are sentences for page,
    ticket and label.
    """

    saw: str
    band: Band
    lie: str
    angle_deg: float
    bundle: int
    band_speed_m_per_min: float
    kerf_um: int
    cut_seconds: float
    cut_seconds_low: float
    cut_seconds_high: float
    area_cm2: float
    mean_feed_mm_per_min: float
    constant_feed_mm_per_min: float
    """The one feed that breaks no limit anywhere, for a saw that can't follow the cut."""
    peak_power_kw: float
    mean_power_kw: float
    peak_force_n: float
    least_teeth_in_cut: float
    most_teeth_in_cut: float
    ruling_limit: Limit
    """The limit that rules the largest share of the cutting time."""
    slices: tuple[Slice, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[Told, ...]
    wanted_speed_m_per_min: float = 0.0
    """Band speed the grade asks for with every correction, before the saw's range."""
    saw_name: str = ""
    feed_control: FeedControl = FeedControl.FOLLOWS_CUT
    by_control: tuple[ControlTime, ...] = ()
    """The same cut by each feed control, quickest first."""
    power_by_method: tuple[PowerByMethod, ...] = ()
    """The methods that have figures; where they differ a page shows the span, not one number."""
    teeth_class: TeethClass = TeethClass.RIGHT
    """By the teeth in the thinnest chord that lasts, and in the longest."""
    fullest_gullet: float = 0.0
    """Share of the gullet's area that the chip fills, at its most."""
    band_force_share: float = 0.0
    """Peak feed force over what the band bears straight: near 1 the cut may run out of square."""
    guide_span_mm: float = 0.0
    steady_span_mm_per_min: tuple[float, float] | None = None
    """``constant_feed_mm_per_min`` with every low-confidence figure at its bad and at its good end."""
    force_span_n: tuple[float, float] | None = None
    """Peak feed force by the least demanding method at its lowest share of the cutting force, and by the most
    demanding at its highest; None where no method tells it."""
    life_area_cm2: tuple[float, float, float] | None = None
    """Low, usual and high area that the band cuts in its life at this speed; None where no figure is known.
    """
    factors: tuple[Factor, ...] = ()
    """What the shop's records have put on ``cut_seconds`` and ``life_area_cm2``, accepted by a person."""

    @property
    def published_seconds(self) -> float:
        """``cut_seconds`` by the published figures, without what the records put on them."""
        return self.cut_seconds / next(
            (one.value for one in self.factors if one.measure is Measure.CUT_TIME), 1.0
        )

    @property
    def published_life_cm2(self) -> float | None:
        """The usual life by the published figures; None where none is known."""
        if self.life_area_cm2 is None:
            return None
        factor = next((one.value for one in self.factors if one.measure is Measure.BAND_LIFE), 1.0)
        return self.life_area_cm2[1] / factor


@dataclass(frozen=True, slots=True)
class CannotCut:
    """No setting: each saw tried with its misfits."""

    misfits: tuple[tuple[str, tuple[Misfit, ...]], ...]
    text: Told
