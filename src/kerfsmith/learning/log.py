"""What the cut log tells to learn from: each cut with its circumstances, each stay of a band, each stop."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.band_in_use import RemovalReason


@dataclass(frozen=True, slots=True)
class SawnCut:
    """One cut of a band through a bar, with all that may explain it; None is not recorded.

    ``section_kind`` is a shape's kind and ``height_mm`` what the band travels through. ``band`` is the band's
    label, ``mounting`` its stay on the saw, ``band_age_cm2`` what it had cut before. ``predicted_s`` is
    sawing time by the published figures, no factor in it; ``predicted_idle_s`` the feeding, clamping and
    head's return before it. ``over_mm`` is measured over wanted length, ``plus_mm``/``minus_mm`` the
    tolerance sold; ``off_square_mm`` how far the face leans over the section's height; ``motor_load`` the
    most that the motor was loaded with, as a share of its rating.

    ``bar_id`` is the one bar of its label that lay in the saw; of a pass through several, the first of them.

    ``bars`` is how many bars the band went through at once: area, times and load are those of them all.
    ``follows``: a piece of the same pass as the one before it in the log, which tells of area, times and
    load; this one tells of its own length alone.
    """

    id: str
    at: datetime
    by: str
    saw: str
    saw_name: str
    grade: str
    section_kind: str
    section_name: str
    height_mm: float
    area_cm2: float
    bar: str = ""
    bar_id: str = ""
    heat: str = ""
    mounting: str = ""
    band: str = ""
    band_kind: str = ""
    band_age_cm2: float = 0.0
    setting: str = ""
    predicted_s: float | None = None
    predicted_idle_s: float | None = None
    began_at: datetime | None = None
    ended_at: datetime | None = None
    length_mm: float | None = None
    over_mm: float | None = None
    plus_mm: float | None = None
    minus_mm: float | None = None
    off_square_mm: float | None = None
    motor_load: float | None = None
    is_piece: bool = True
    undone: bool = False
    scrapped: bool = False
    bars: int = 1
    follows: bool = False


@dataclass(frozen=True, slots=True)
class BandStay:
    """All that one band cut: its kind, how much of which grade, and how it ended (None: it still may cut).

    ``published_cm2`` is the published life of the work it did, None where no figure is known.
    """

    band: str
    band_kind: str
    by_grade_cm2: tuple[tuple[str, float], ...]
    cut_cm2: float
    published_cm2: float | None
    ended: RemovalReason | None


@dataclass(frozen=True, slots=True)
class StopSpan:
    """A saw's standstill; ``ended_at`` is None while it lasts."""

    saw: str
    began_at: datetime
    ended_at: datetime | None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class BarUse:
    """What a finished bar became, as shares of its length. ``from_remnant``: it had been put away before."""

    grade: str
    section_kind: str
    length_mm: float
    pieces: float
    kerfs: float
    trims: float
    scrap: float
    kept: float
    from_remnant: bool


@dataclass(frozen=True, slots=True)
class Log:
    """All there is to learn from, cuts in the order in which they were made."""

    cuts: tuple[SawnCut, ...] = ()
    stays: tuple[BandStay, ...] = ()
    stops: tuple[StopSpan, ...] = ()
    bars: tuple[BarUse, ...] = ()
