"""What stands behind the pages at the saw, of traces, of people and of the ledger."""

import secrets
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.errors import UnknownName
from kerfsmith.planning.make_plan import GroupTask
from kerfsmith.planning.plan import PlanGroup
from kerfsmith.records.hashing import Argon2Hasher
from kerfsmith.shop.band_in_use import ThisBand
from kerfsmith.shop.heat import Certificate
from kerfsmith.shop.person import HOUSE, Person, Role
from kerfsmith.shop.rack import Bar
from kerfsmith.shop.run import Run, RunState
from kerfsmith.shop.session import Session
from kerfsmith.shop.trace import HeatTrace, PieceTrace, TracedPiece
from kerfsmith.units.length import Measure
from kerfsmith.units.told import sentence
from kerfsmith.web.floor_stage import Entered, FileOnRecord, PersonOnRecord, RunOnFloor, SawOnFloor
from kerfsmith.wiring.panel_paper import piece_of_label, remnant_label_pdf
from kerfsmith.wiring.pool import PlanningPool
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.change_band import add_band
from kerfsmith.workflow.change_run import ChangeRun, Replan
from kerfsmith.workflow.event import EventMark
from kerfsmith.workflow.keep_heat import AttachCertificate, attach_certificate
from kerfsmith.workflow.keep_people import NewSecrets, add_person, change_person, revoke_sessions
from kerfsmith.workflow.people_ports import Hasher, KnownPerson
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import LedgerEntry, Look, Records
from kerfsmith.workflow.record_events import PanelEvent, PanelVerb, record_event
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.release_run import ReleaseRun, release_run
from kerfsmith.workflow.run_sheet import run_sheet
from kerfsmith.workflow.sign_in import OpenPanel, SignIn, open_panel, session_of, sign_in, sign_out

DESK_LASTS = timedelta(hours=12)
SHIFT_LASTS = timedelta(hours=10)
"""A shift with what is stayed over."""
REPLAN_SECONDS = 5.0
"""Longest search while somebody waits at the saw; a rest is small and mostly proven at once."""
SEED = 1


class ShopFloorStage:
    """`web.floor_stage.FloorStage` over one shop's records."""

    def __init__(
        self, records: Records, catalog: Catalog, pool: PlanningPool, hasher: Hasher | None = None
    ) -> None:
        self._records = records
        self._tables = ShopTables(records, catalog)
        self._pool = pool
        self._hasher = hasher or Argon2Hasher()

    def now(self) -> datetime:
        """The machine's clock."""
        return datetime.now(UTC)

    def is_demo(self) -> bool:
        """Whether the records are the demo's."""
        return self._records.is_demo()

    def has_people(self) -> bool:
        """Whether anybody is on record."""
        with self._records.look() as look:
            return bool(look.people.people())

    def saws(self) -> tuple[SawOnFloor, ...]:
        """All saws of the shop with what waits for them."""
        plan = self._records.latest_plan()
        saws = self._tables.now().saws
        with self._records.look() as look:
            waiting = [
                group
                for group in (plan.groups if plan else ())
                if plan and group.bars and look.floor.run_of_group(plan.id, group.id) is None
            ]
            return tuple(self._at_work(look, saw, waiting) for saw in saws)

    def _at_work(self, look: Look, saw: SawSheet, waiting: Sequence[PlanGroup]) -> SawOnFloor:
        runs = look.floor.runs(saw.id, RunState.RELEASED)
        ids = [run.id for run in runs]
        failed = look.floor.failed(ids) if ids else ()
        return SawOnFloor(
            saw,
            runs,
            tuple(group for group in waiting if group.saw == saw.id),
            self._band_on(look, saw.id),
            look.floor.open_stop(saw.id),
            Counter(one.piece.run_id for one in failed if one.is_held),
            Counter(piece.run_id for piece in look.floor.doubtful(ids)) if failed else {},
        )

    @staticmethod
    def _band_on(look: Look, saw: str) -> ThisBand | None:
        mounted = look.crib.mounted(saw)
        return look.crib.band(mounted.band_id) if mounted is not None else None

    def run(self, run_id: str) -> RunOnFloor | None:
        """A run as it stands at one moment."""
        with self._records.look() as look:
            sheet = run_sheet(look, run_id)
            if sheet is None:
                return None
            mounted = look.crib.mounted(sheet.run.saw)
            since_measured, since_set_up = look.floor.pieces_since(run_id, mounted.id if mounted else None)
            rules = look.rules()
            at_once = max((one.planned.at_once for one in sheet.to_load), default=1)
            labels = look.floor.free_remnant_labels(len(sheet.bars) or at_once)
            near = look.floor.rack_entries(sheet.run.grade, sheet.run.section.key)
            return RunOnFloor(
                sheet=sheet,
                saw=self._saw(sheet.run.saw),
                since_measured=since_measured,
                since_set_up=since_set_up,
                inspect_every=rules.inspect_every,
                least_remnant_um=rules.least_remnant_um,
                crib=tuple(band for band in look.crib.bands() if band.is_in_crib),
                free_label=labels[0],
                places=tuple(sorted({entry.bar.place for entry in near if entry.bar.place})),
                coolant=self._coolant(sheet.run.grade),
                free_labels=labels,
            )

    def _coolant(self, grade: str) -> str:
        try:
            return self._tables.now().find_grade(grade).coolant
        except UnknownName:
            return ""

    def _saw(self, saw_id: str) -> SawSheet | None:
        return next((saw for saw in self._tables.ever().saws if saw.id == saw_id), None)

    def rack(self) -> tuple[Bar, ...]:
        """What lies on the rack."""
        return self._records.rack().bars

    def release(self, group_id: str, *, by: Person) -> Run | Refusal:
        """Release a group of the newest plan to its saw."""
        plan = self._records.latest_plan()
        group = plan.group(group_id) if plan else None
        if plan is None or group is None:
            return Refusal("unknown-group", "the plan has no such group any more", "Look at the plan")
        try:
            saw = self._tables.now().find_saw(group.saw)
        except UnknownName:
            return Refusal(
                "not-cuttable",
                sentence(
                    "{grade} {section} is planned for no saw", grade=group.grade, section=group.section.name
                ),
            )
        told = ReleaseRun(secrets.token_hex(8), plan.id, group_id)
        return release_run(self._records, told, saw=saw, by=by, at=self.now())

    def do(self, told: PanelVerb, *, form_id: str, by: Person) -> object:
        """One verb of a plain form, which is a panel that sends a single event."""
        mark = EventMark(f"form-{form_id}", f"form-{form_id}", 1, self.now())
        return record_event(self._records, PanelEvent(told, by, self.now(), mark), self._replan(told))

    def record(self, events: Sequence[PanelEvent]) -> tuple[object, ...]:
        """What a panel sent; the answers in the order of their numbers."""
        ordered = sorted(events, key=lambda event: event.mark.number)
        return tuple(record_event(self._records, event, self._replan(event.told)) for event in ordered)

    def _replan(self, told: PanelVerb) -> Replan:
        """How the rest of the run told of is planned: on the saw it is at, in the pool."""

        def plan(task: GroupTask) -> PlanGroup:
            assert isinstance(told, ChangeRun), "nothing else is planned anew"
            with self._records.look() as look:
                run = look.floor.run(told.run_id)
                assert run is not None, "its rest is being planned"
                group = look.floor.plan_group(run.plan_id, run.group_id)
            rules, saws, files = self._records.rules(), self._tables.ever().saws, self._tables.files()
            # A run keeps the settings it was released with: none for more bars at once than these know.
            known = max((one.bundle for one in group.bundle_settings), default=1) if group else 1
            rules = replace(rules, most_at_once=min(rules.most_at_once, known))
            return self._pool.plan_on_saw(
                task, rules, run.saw, seconds=REPLAN_SECONDS, seed=SEED, saws=saws, files=files
            )

        return plan

    def take_band(self, band: ThisBand, *, by: Person) -> ThisBand | Refusal:
        """A new band into the crib, to be broken in over the area that the shop's rules say."""
        if not band.cut_before_cm2 and not band.break_in_cm2:
            band = replace(band, break_in_cm2=self._records.rules().break_in_cm2)
        return add_band(self._records, band, by=by, at=self.now())

    def note_refused(self, verb: Verb, subject: str, *, by: Person) -> None:
        """Write in the ledger that somebody wanted what his role may not do."""
        act(
            self._records,
            verb,
            lambda _: subject,
            answer_as=str,
            told=subject,
            subject=subject[:200],
            by=by,
            at=self.now(),
        )

    def remnant_label_pdf(self, bar_id: str, label: str, measure: Measure, paper: str) -> bytes | None:
        """A label for what is left of a bar."""
        return remnant_label_pdf(self._records, bar_id, label, measure=measure, paper=paper, at=self.now())

    def piece(self, cut_id: str) -> PieceTrace | None:
        """All that led to one piece."""
        with self._records.look() as look:
            return look.trace.piece(cut_id)

    def heat(self, number: str) -> HeatTrace | None:
        """Every piece that a heat became."""
        with self._records.look() as look:
            return look.trace.heat(number)

    def pieces_of_bar(self, label: str) -> tuple[TracedPiece, ...]:
        """Pieces cut from a bar, by its label."""
        with self._records.look() as look:
            return look.trace.pieces(label=label)

    def pieces_marked(self, mark: str) -> tuple[TracedPiece, ...]:
        """Pieces of all lines with this mark, oldest first."""
        with self._records.look() as look:
            return look.trace.pieces(mark=mark)

    def piece_of_label(self, code: str) -> str | None:
        """The cut of the piece whose printed label reads ``code``."""
        return piece_of_label(self._records, code)

    def certificate(self, certificate_id: str) -> FileOnRecord | None:
        """A certificate with its file."""
        with self._records.look() as look:
            certificate = look.trace.certificate(certificate_id)
        content = self._records.file(certificate.digest) if certificate else None
        return FileOnRecord(certificate, content) if certificate and content is not None else None

    def attach(self, heat: str, name: str, content: bytes, *, by: Person) -> Certificate | Refusal:
        """Put a file on record for a heat."""
        told = AttachCertificate(secrets.token_hex(8), heat, name)
        return attach_certificate(self._records, told, content, by=by, at=self.now())

    def session(self, secret: str) -> Session | None:
        """The session of a browser's secret, ended or not."""
        return session_of(self._records, secret)

    def session_keyed(self, key: str) -> Session | None:
        """The session of a digest, ended or not."""
        with self._records.look() as look:
            return look.people.session(key)

    def sign_in(self, name: str, password: str, *, address: str) -> Entered | Refusal:
        """Sign in at a desk."""
        secret = secrets.token_urlsafe(32)
        told = SignIn(name, password, address, secrets.token_hex(8))
        at = self.now()
        return _entered(
            sign_in(self._records, self._hasher, told, secret=secret, at=at, lasts=DESK_LASTS), secret
        )

    def open_panel(
        self, panel: str, *, badge: str = "", name: str = "", pin: str = "", address: str
    ) -> Entered | Refusal:
        """Open a panel for a shift."""
        secret = secrets.token_urlsafe(32)
        told = OpenPanel(panel, address, secrets.token_hex(8), badge, name, pin)
        at = self.now()
        until = at + SHIFT_LASTS
        return _entered(
            open_panel(self._records, self._hasher, told, secret=secret, at=at, until=until), secret
        )

    def sign_out(self, secret: str) -> None:
        """End a session."""
        sign_out(self._records, secret, at=self.now())

    def people(self) -> tuple[PersonOnRecord, ...]:
        """Everybody, by name, with the sessions that hold now."""
        now = self.now()
        with self._records.look() as look:
            return tuple(
                PersonOnRecord(
                    known, tuple(one for one in look.people.sessions(known.person.name) if one.holds(now))
                )
                for known in look.people.people()
            )

    def add_first_lead(self, name: str, password: str) -> KnownPerson | Refusal:
        """The first person of a shop, a lead."""
        if self.has_people():
            return Refusal("people-there", "this shop has people already", "Sign in")
        lead = Person(name, Role.LEAD)
        return self.add_person(lead, NewSecrets(password=password), by=HOUSE)

    def add_person(self, person: Person, new: NewSecrets, *, by: Person) -> KnownPerson | Refusal:
        """Add a person."""
        return add_person(self._records, self._hasher, person, new, by=by, at=self.now())

    def change_person(
        self, name: str, *, role: Role | None, active: bool | None, new: NewSecrets | None, by: Person
    ) -> KnownPerson | Refusal:
        """Change role, entry or secrets of a person."""
        return change_person(
            self._records, self._hasher, name, role=role, active=active, new=new, by=by, at=self.now()
        )

    def revoke_sessions(self, name: str, *, by: Person) -> Refusal | None:
        """End all sessions of a person."""
        answer = revoke_sessions(self._records, name, by=by, at=self.now())
        return answer if isinstance(answer, Refusal) else None

    def ledger(self, limit: int) -> tuple[LedgerEntry, ...]:
        """The newest entries first."""
        return self._records.ledger(limit)


def _entered(answer: Session | Refusal, secret: str) -> Entered | Refusal:
    return answer if isinstance(answer, Refusal) else Entered(answer, secret)
