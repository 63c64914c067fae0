"""What the pages of which-saw comparisons need from behind them; the wiring implements it."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Protocol

from kerfsmith.costing.which_saw.report_page import ReportPage
from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw
from kerfsmith.shop.person import Person
from kerfsmith.units.length import Measure
from kerfsmith.web.backstage import Paper
from kerfsmith.workflow.price_ports import ComparisonHead, KeptComparison
from kerfsmith.workflow.refusal import Refusal


class WorkKind(StrEnum):
    """Where a year of work is told from."""

    LIST = "list"
    YEARLY = "yearly"
    HISTORY = "history"


@dataclass(frozen=True, slots=True)
class WhichWish:
    """A comparison as it is asked for. ``file`` and ``data`` hold the list or the yearly sheet; a list comes
    ``times_a_year``. ``prices`` are saws with what they cost; ``against`` is the saw there is."""

    kind: WorkKind
    file: str
    data: bytes
    times_a_year: Decimal
    saws: tuple[str, ...]
    prices: tuple[tuple[str, Decimal], ...]
    against: str
    customer: str


@dataclass(frozen=True, slots=True)
class Begun:
    """What a wish came to: the id of what is underway, or "" with the reason, and findings on the file."""

    id: str
    refusal: Refusal | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class History:
    """What the shop itself cut in the last year: pieces, and between which days."""

    pieces: int
    first: date
    last: date


class WhichSawStage(Protocol):
    """Everything behind the pages of comparisons."""

    def saws(self) -> tuple[KeptSaw, ...]:
        """The shop's saws and its candidates."""

    def history(self) -> History:
        """What was cut in the last year."""

    def begin(self, wish: WhichWish, *, by: Person) -> Begun:
        """Read the work and begin to replay it on each saw."""

    def comparisons(self) -> tuple[ComparisonHead, ...]:
        """All comparisons, newest first."""

    def comparison(self, comparison_id: str) -> KeptComparison | None:
        """One of them."""

    def drop(self, comparison_id: str, *, by: Person) -> str | Refusal:
        """Take one away."""

    def page(self, kept: KeptComparison, measure: Measure) -> ReportPage:
        """A comparison in words and figures."""

    def pdf(self, comparison_id: str, paper: Paper) -> bytes | None:
        """The report on paper. None: there is no such comparison."""
