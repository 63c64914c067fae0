"""The cut log: one entry for each cut, never edited; what was wrong is set right by a further entry."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.loaded_bar import Parts


class EntryKind(StrEnum):
    """What an entry tells: a cut of one sort, or a correction of an earlier entry."""

    FACING = "facing"
    PIECE = "piece"
    TRIM = "trim"
    UNDO = "undo"
    REJECT = "reject"

    @property
    def is_cut(self) -> bool:
        """Whether it tells of a cut, or of a last piece that lay in the vise and needed none."""
        return self in (EntryKind.FACING, EntryKind.PIECE, EntryKind.TRIM)


class Outcome(StrEnum):
    """What became of a piece: good, good but one more than wanted, or scrapped."""

    GOOD = "good"
    SURPLUS = "surplus"
    SCRAPPED = "scrapped"


class ScrapReason(StrEnum):
    """Why a piece or the rest of a bar is no good."""

    TOO_SHORT = "too short"
    TOO_LONG = "too long"
    OUT_OF_SQUARE = "out of square"
    ROUGH_FACE = "rough face"
    BAND_FAILED = "band failed in the cut"
    MATERIAL_FAULT = "fault in the material"
    DAMAGED = "damaged in handling"
    WRONG_PIECE = "wrong piece"
    NOT_WORTH_KEEPING = "too short to keep"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class CutEntry:
    """One entry of a bar's cut log, the ``number``-th of that bar.

    ``parts`` is what it did to the bar's length; an undo has the opposite of what it undoes. ``area_cm2`` is
    what the band cut, taken back by an undo. ``corrects`` names the entry that an undo or reject speaks of.
    ``mounting`` is the stay of the band on the saw. ``pass_id`` names the pass of the band that made this and
    other entries at once, one in each bar of the load ``load_id``; both are "" for a cut through one bar.

    Of the cut itself, each None where it wasn't noted: ``began_at`` and ``ended_at`` are when the band went
    in and came out (``at`` is when it was counted), ``motor_load_percent`` the saw's load meter at its
    highest in the cut (100 is the motor's rated load), ``motor_power_kw`` the power drawn then. Entries of
    one pass all tell the same of these: they are the pass's.

    Raises InvalidValue for an entry that contradicts itself.
    """

    id: str
    number: int
    bar_id: str
    run_id: str
    kind: EntryKind
    parts: Parts
    area_cm2: float
    saw: str
    by: str
    at: datetime
    line_id: str | None = None
    mark: str = ""
    length_um: int = 0
    outcome: Outcome | None = None
    reason: ScrapReason | None = None
    mounting: str | None = None
    corrects: str | None = None
    note: str = ""
    began_at: datetime | None = None
    ended_at: datetime | None = None
    motor_load_percent: float | None = None
    motor_power_kw: float | None = None
    load_id: str = ""
    pass_id: str = ""

    def __post_init__(self) -> None:
        if self.number < 1:
            raise InvalidValue("entries are counted from 1")
        if (self.outcome is None) != (self.kind not in (EntryKind.PIECE, EntryKind.REJECT)):
            raise InvalidValue(f"entry {self.id}: pieces, and only they, are good or not")
        if (self.outcome is Outcome.SCRAPPED) != (self.reason is not None):
            raise InvalidValue(f"entry {self.id}: what is scrapped, and only that, has a reason")
        if (self.corrects is not None) == self.kind.is_cut:
            raise InvalidValue(f"entry {self.id}: corrections, and only they, name what they correct")
        if bool(self.load_id) != bool(self.pass_id):
            raise InvalidValue(f"entry {self.id}: a pass goes through a load, and nothing else does")
        self._check_noted()

    def _check_noted(self) -> None:
        if self.began_at is not None and self.ended_at is not None and self.ended_at < self.began_at:
            raise InvalidValue(f"entry {self.id}: a cut ends after it began")
        if min(self.motor_load_percent or 0.0, self.motor_power_kw or 0.0) < 0:
            raise InvalidValue(f"entry {self.id}: load and power can't be below zero")

    @property
    def cut_seconds(self) -> float | None:
        """How long the band was in the bar, None where begin or end wasn't noted."""
        if self.began_at is None or self.ended_at is None:
            return None
        return (self.ended_at - self.began_at).total_seconds()


@dataclass(frozen=True, slots=True)
class LoggedCut:
    """An entry with the bar it speaks of: its label, grade, section by name, and heat ("" where unknown)."""

    entry: CutEntry
    label: str
    grade: str
    section_name: str
    heat: str


def last_standing(entries: Sequence[CutEntry]) -> CutEntry | None:
    """The newest entry that is neither an undo nor undone, which is what an undo takes back; None if none."""
    undone = {entry.corrects for entry in entries if entry.kind is EntryKind.UNDO}
    standing = [entry for entry in entries if entry.kind is not EntryKind.UNDO and entry.id not in undone]
    return standing[-1] if standing else None


def pieces_standing(entries: Sequence[CutEntry]) -> tuple[CutEntry, ...]:
    """The piece entries that were not undone, with the outcome that holds after any reject."""
    undone = {entry.corrects for entry in entries if entry.kind is EntryKind.UNDO}
    return tuple(entry for entry in entries if entry.kind is EntryKind.PIECE and entry.id not in undone)


def rejected_ids(entries: Sequence[CutEntry]) -> frozenset[str]:
    """Ids of the pieces that were logged as good and rejected later."""
    undone = {entry.corrects for entry in entries if entry.kind is EntryKind.UNDO}
    return frozenset(
        entry.corrects
        for entry in entries
        if entry.kind is EntryKind.REJECT and entry.id not in undone and entry.corrects is not None
    )
