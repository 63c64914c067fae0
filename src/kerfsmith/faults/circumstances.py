"""What is known of a cut that went wrong: the advice for it, what was dialled in, the band, what was seen."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.catalog.band import Band
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.cutting.mechanics import BandReport
from kerfsmith.cutting.setting import CutSetting
from kerfsmith.shop.band_in_use import ThisBand


class Chips(StrEnum):
    """What the chips look like."""

    POWDER = "fine powder"
    CURL = "loose warm curls"
    THICK_BLUE = "thick and blue"
    WELDED = "welded to the band"


class Skin(StrEnum):
    """What the bar's skin is like."""

    CLEAN = "clean"
    SCALE = "scale"
    FLAME_CUT = "flame-cut"
    CHILLED = "hard cast skin"


class Broke(StrEnum):
    """Where a band broke, or from where it cracked."""

    AT_WELD = "at the weld"
    FROM_GULLET = "from a gullet"
    FROM_BACK = "from the back"


class Pieces(StrEnum):
    """Which pieces are out of length."""

    ALL_ALIKE = "all by the same"
    FIRST_OF_BAR = "only the first of a bar"
    LONG_ONES = "only those over one stroke"
    SCATTERED = "some, with no pattern"
    DRIFTING = "more and more"


@dataclass(frozen=True, slots=True)
class Seen:
    """What a person at the saw tells; None and empty where nothing was said.

    Speeds m/min, feed mm/min, tension MPa, lengths mm, load as a share of the motor's rated load (1 = full).
    ``hot_piece`` is whether lengths were taken on a warm piece.
    """

    speed_m_per_min: float | None = None
    feed_mm_per_min: float | None = None
    tension_mpa: float | None = None
    guide_span_mm: float | None = None
    motor_load: float | None = None
    coolant_runs: bool | None = None
    coolant_percent: float | None = None
    brush_turns: bool | None = None
    work_firm: bool | None = None
    square_in_vise: bool | None = None
    band_runs_right_way: bool | None = None
    speed_changes_noise: bool | None = None
    drive_slips: bool | None = None
    started_in_old_kerf: bool | None = None
    came_down_hard: bool | None = None
    face_glazed: bool | None = None
    teeth_missing: bool | None = None
    hot_piece: bool | None = None
    chips: Chips | None = None
    skin: Skin | None = None
    broke: Broke | None = None
    pieces: Pieces | None = None
    kerf_mm: float | None = None
    hardness_hb: float | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """What else changed then: ``kind`` is band, bar, heat, grade, person or setting, ``name`` which."""

    kind: str
    name: str


@dataclass(frozen=True, slots=True)
class Moved:
    """Something that control charts say has moved: what, by how much, since when, what else changed then.

    ``measure`` is one of: length, squareness, cut time, motor load. ``by`` is in ``unit``, above 0 for more.
    """

    measure: str
    by: float
    unit: str
    since: datetime
    beside: tuple[Beside, ...] = ()


@dataclass(frozen=True, slots=True)
class Circumstances:
    """The cut that went wrong.

    ``setting`` is the advice for it, on the band that is mounted where that can cut it; ``mounted`` is what
    kind of band was on, where it was another; ``report`` is what the band goes through. ``other_bars_fine``
    is whether other bars of the same grade went well with the same band. ``cuts_since_mounted`` counts the
    cuts in the band's present stay on the saw.
    """

    grade: Grade
    saw: SawSheet
    setting: CutSetting
    report: BandReport | None = None
    band: ThisBand | None = None
    cuts_since_mounted: int | None = None
    other_bars_fine: bool | None = None
    bundle: int = 1
    piece_length_mm: float | None = None
    facing_cut: bool | None = None
    moved: tuple[Moved, ...] = ()
    mounted: Band | None = None
    seen: Seen = Seen()

    @property
    def band_kind(self) -> Band:
        """What kind of band was in the cut."""
        return self.mounted or self.setting.band
