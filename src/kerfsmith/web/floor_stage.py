"""What the pages of saw, trace, people and ledger need from behind them; the wiring implements it.

Verbs are told as the values that `kerfsmith.workflow` defines, and their answers come back as they are: a
page says of a Refusal why, and of anything else what was done.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run
from kerfsmith.shop.saw_stop import Stop
from kerfsmith.shop.session import Session
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece
from kerfsmith.units.length import Measure
from kerfsmith.workflow.keep_people import NewSecrets
from kerfsmith.workflow.people_ports import KnownPerson
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import LedgerEntry
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.run_sheet import RunSheet


@dataclass(frozen=True, slots=True)
class SawOnFloor:
    """A saw with its open runs, the plan's groups that wait for release to it, its band and its stop.

    ``held`` and ``doubtful`` count pieces of those runs that have any, by the run's id.
    """

    saw: SawSheet
    runs: tuple[Run, ...]
    to_release: tuple[PlanGroup, ...]
    band: ThisBand | None
    stop: Stop | None
    held: Mapping[str, int] = field(default_factory=dict)
    doubtful: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class RunOnFloor:
    """A run's sheet with all else that its panel must know to go on without a network.

    ``since_measured`` and ``since_set_up`` count pieces; ``inspect_every`` and ``least_remnant_um`` are the
    shop's rules; ``crib`` are bands ready to be mounted; ``free_label`` is one that no remnant has,
    ``free_labels`` as many such as there are bars in the saw, or will be at once;
    ``places`` are places of the rack; ``coolant`` is what the grade's table advises.
    """

    sheet: RunSheet
    saw: SawSheet | None
    since_measured: int
    since_set_up: int
    inspect_every: int
    least_remnant_um: int
    crib: tuple[ThisBand, ...]
    free_label: str
    places: tuple[str, ...]
    coolant: str = ""
    free_labels: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entered:
    """Somebody signed in: the session, and the secret that his browser keeps."""

    session: Session
    secret: str


@dataclass(frozen=True, slots=True)
class PersonOnRecord:
    """A person with the sessions that hold now."""

    known: KnownPerson
    sessions: tuple[Session, ...]


@dataclass(frozen=True, slots=True)
class FileOnRecord:
    """A certificate with its content."""

    certificate: Certificate
    content: bytes


class FloorStage(Protocol):
    """Everything behind the pages at the saw, of traces, of people and of the ledger."""

    def now(self) -> datetime: ...

    def is_demo(self) -> bool:
        """Whether the records are the demo's."""

    def has_people(self) -> bool:
        """Whether anybody is on record."""

    def saws(self) -> tuple[SawOnFloor, ...]:
        """All saws of the shop."""

    def run(self, run_id: str) -> RunOnFloor | None:
        """A run as it stands, None where there is none."""

    def rack(self) -> tuple[Bar, ...]:
        """What lies on the rack."""

    def release(self, group_id: str, *, by: Person) -> Run | Refusal:
        """Release a group of the newest plan to its saw."""

    def do(self, told: PanelVerb, *, form_id: str, by: Person) -> object:
        """One verb of a plain form, now; its answer. A form sent twice is done once."""

    def take_band(self, band: ThisBand, *, by: Person) -> ThisBand | Refusal:
        """A new band into the crib."""

    def record(self, events: Sequence[PanelEvent]) -> tuple[object, ...]:
        """What a panel sent; the answers in the order of their numbers."""

    def note_refused(self, verb: Verb, subject: str, *, by: Person) -> None:
        """Write in the ledger that somebody wanted what his role may not do."""

    def remnant_label_pdf(self, bar_id: str, label: str, measure: Measure, paper: str) -> bytes | None:
        """A label for what is left of a bar; ``label`` where it isn't put away yet. None: no such bar."""

    def piece(self, cut_id: str) -> PieceTrace | None:
        """All that led to one piece."""

    def heat(self, number: str) -> HeatTrace | None:
        """Every piece that a heat became."""

    def pieces_of_bar(self, label: str) -> tuple[TracedPiece, ...]:
        """Pieces cut from a bar, by its label."""

    def pieces_marked(self, mark: str) -> tuple[TracedPiece, ...]:
        """Pieces of all lines with this mark, capitals and spaces apart."""

    def piece_of_label(self, code: str) -> str | None:
        """The cut of the piece whose printed label reads ``code``; None where none was cut, or no label."""

    def certificate(self, certificate_id: str) -> FileOnRecord | None:
        """A certificate with its file."""

    def attach(self, heat: str, name: str, content: bytes, *, by: Person) -> Certificate | Refusal:
        """Put a file on record for a heat."""

    def session(self, secret: str) -> Session | None:
        """The session of a browser's secret, ended or not."""

    def session_keyed(self, key: str) -> Session | None:
        """The session that a panel's events name by its digest, ended or not."""

    def sign_in(self, name: str, password: str, *, address: str) -> Entered | Refusal:
        """Sign in at a desk."""

    def open_panel(
        self, panel: str, *, badge: str = "", name: str = "", pin: str = "", address: str
    ) -> Entered | Refusal:
        """Open a panel for a shift, by badge or by name and PIN."""

    def sign_out(self, secret: str) -> None:
        """End a session."""

    def people(self) -> tuple[PersonOnRecord, ...]:
        """Everybody, by name."""

    def add_first_lead(self, name: str, password: str) -> KnownPerson | Refusal:
        """The first person of a shop, a lead. Refused once there is anybody."""

    def add_person(self, person: Person, new: NewSecrets, *, by: Person) -> KnownPerson | Refusal:
        """Add a person."""

    def change_person(
        self, name: str, *, role: Role | None, active: bool | None, new: NewSecrets | None, by: Person
    ) -> KnownPerson | Refusal:
        """Change role, entry or secrets of a person; his sessions end."""

    def revoke_sessions(self, name: str, *, by: Person) -> Refusal | None:
        """End all sessions of a person."""

    def ledger(self, limit: int) -> tuple[LedgerEntry, ...]:
        """The newest entries first."""
