"""What stands on a which-saw report, as text and shares of a drawing: nothing is left for a template to work
out."""

from dataclasses import dataclass

from kerfsmith.units.told import Told


@dataclass(frozen=True, slots=True)
class SideRow:
    """One thing told of every saw: what it is, a word on it, and each saw's figure with a note under it."""

    name: Told
    remark: Told
    figures: tuple[str, ...]
    notes: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Gauge:
    """How near a limit the work comes: ``share`` of the limit (1 is all of it), drawn as a strip."""

    name: Told
    share: float
    percent: str
    words: Told


@dataclass(frozen=True, slots=True)
class Refused:
    """Work a saw can't cut: which, how much of it a year, and why."""

    work: str
    pieces: str
    reason: Told


@dataclass(frozen=True, slots=True)
class SpecialRow:
    """A figure that must be another."""

    figure: Told
    has: Told
    must_reach: Told
    why: Told
    gain: Told


@dataclass(frozen=True, slots=True)
class SawSection:
    """What is told of one saw."""

    name: str
    note: str
    refused: tuple[Refused, ...]
    gauges: tuple[Gauge, ...]
    ruled: Told
    tolerance: Told
    specials: tuple[SpecialRow, ...]


@dataclass(frozen=True, slots=True)
class PayBackCard:
    """When a saw has paid for itself, and what that hangs on."""

    title: Told
    answer: Told
    words: Told
    cases: tuple[tuple[Told, Told, Told], ...]
    """What is moved, years at its worse end, years at its better one."""


@dataclass(frozen=True, slots=True)
class PieceRow:
    """Cost of one piece on each saw."""

    mark: str
    work: str
    pieces: str
    costs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReportPage:
    """The report."""

    shop: str
    customer: str
    day: str
    workload: str
    basis: Told
    pieces: str
    currency: str
    saws: tuple[str, ...]
    side: tuple[SideRow, ...]
    common: Told
    pay_backs: tuple[PayBackCard, ...]
    sections: tuple[SawSection, ...]
    piece_rows: tuple[PieceRow, ...]
    assumptions: tuple[Told, ...]
    sources: tuple[tuple[str, Told], ...]
    """Title and how sure."""
