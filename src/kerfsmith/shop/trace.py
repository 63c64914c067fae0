"""Trace: what a piece was made from, by whom, with what; and where a heat went."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.cut_log import Outcome, ScrapReason
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.hold import Decision


@dataclass(frozen=True, slots=True)
class TracedPiece:
    """One piece with all that led to it. ``parent_label`` is the bar a remnant was left from, "" for a bar.

    ``outcome`` is what holds now, after any reject. ``band_id`` is "" where no band was on record. What was
    noted of the cut, and of the piece measured last, is None where nobody did. ``is_held``: it measured wrong
    and nobody has decided; ``is_doubtful``: one cut after it did. ``decision`` is the newest, scrap apart.
    ``ordered`` is what was ordered where it was cut from a substitute, else "". ``bars`` is how many bars the
    cut went through at once: its times and motor load are of them all.
    """

    cut_id: str
    mark: str
    length_um: int
    outcome: Outcome
    reason: ScrapReason | None
    at: datetime
    by: str
    number: int
    bar_id: str
    label: str
    parent_label: str
    grade: str
    section_name: str
    heat: str
    saw: str
    band_id: str
    band_kind: str
    run_id: str
    line_id: str
    order_id: str
    order: str
    customer: str
    measured_um: int | None
    out_of_square_um: int | None = None
    began_at: datetime | None = None
    ended_at: datetime | None = None
    motor_load_percent: float | None = None
    motor_power_kw: float | None = None
    is_held: bool = False
    is_doubtful: bool = False
    decision: Decision | None = None
    bars: int = 1
    ordered: str = ""


@dataclass(frozen=True, slots=True)
class PieceTrace:
    """A piece and the certificates of its heat."""

    piece: TracedPiece
    certificates: tuple[Certificate, ...]


@dataclass(frozen=True, slots=True)
class HeatTrace:
    """Every piece of a heat, and its certificates."""

    heat: str
    pieces: tuple[TracedPiece, ...]
    certificates: tuple[Certificate, ...]

    @property
    def customers(self) -> tuple[str, ...]:
        """The customers that pieces of it went to, in the order of their names."""
        return tuple(sorted({piece.customer for piece in self.pieces if piece.customer}))
