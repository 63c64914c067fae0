"""What stands behind the pages of faults."""

import secrets
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.material import Grade
from kerfsmith.catalog.reading import read_section
from kerfsmith.catalog.saw import SawSheet
from kerfsmith.catalog.section import Section
from kerfsmith.cutting.choose import set_cut
from kerfsmith.cutting.mechanics import band_report
from kerfsmith.cutting.setting import CannotCut, CutSetting
from kerfsmith.errors import Finding, Severity, UnknownName, UnreadableText
from kerfsmith.faults.circumstances import Circumstances, Moved
from kerfsmith.faults.judge import likely_causes
from kerfsmith.faults.kept import Fault, FaultOnRecord, FoundCause, named_causes
from kerfsmith.faults.table import FaultTable
from kerfsmith.library.faults import load_faults
from kerfsmith.shop.loaded_bar import BarState
from kerfsmith.shop.person import Person
from kerfsmith.shop.run import Run, RunState
from kerfsmith.units.length import Unit
from kerfsmith.units.told import Told, sentence
from kerfsmith.web.fault_stage import FaultTold, SawAtWork
from kerfsmith.workflow.ports import Look, Records
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.report_fault import ReportFault, SettleFault, report_fault, settle_fault

Watch = Callable[[str], tuple[Moved, ...]]
"""What the charts of a saw say has moved."""


class ShopFaultStage:
    """`web.fault_stage.FaultStage` over one shop's records; ``watch`` tells what a saw's charts saw move."""

    def __init__(
        self,
        records: Records,
        tables: Callable[[], Catalog],
        watch: Watch = lambda _saw: (),
    ) -> None:
        self._records = records
        self._tables = tables
        self._watch = watch
        self._table = load_faults()

    def table(self) -> FaultTable:
        """Symptoms, causes and what is usual."""
        return self._table

    def saws(self) -> tuple[SawAtWork, ...]:
        """The shop's saws, each with its open run that was released last."""
        with self._records.look() as look:
            return tuple(self._at_work(look, saw) for saw in self._tables().saws)

    @staticmethod
    def _at_work(look: Look, saw: SawSheet) -> SawAtWork:
        runs = look.floor.runs(saw.id, RunState.RELEASED)
        mounted = look.crib.mounted(saw.id)
        band = mounted.band_id if mounted else ""
        if not runs:
            return SawAtWork(saw.id, saw.name, band=band)
        run = runs[-1]
        return SawAtWork(saw.id, saw.name, run.id, run.grade, run.section.name, band)

    def faults(self) -> tuple[FaultOnRecord, ...]:
        """Newest first."""
        with self._records.look() as look:
            return look.faults.faults()

    def fault(self, fault_id: str) -> FaultOnRecord | None:
        """One fault."""
        with self._records.look() as look:
            return look.faults.fault(fault_id)

    def report(self, told: FaultTold, *, by: Person) -> Fault | Refusal | tuple[Finding, ...]:
        """Judge a fault from what was told and what is on record, and keep it."""
        catalog = self._tables()
        with self._records.look() as look:
            run = look.floor.run(told.run_id) if told.run_id else None
            saw = next((saw for saw in catalog.saws if saw.id == told.saw), None)
            work = (
                (catalog.find_grade(run.grade), run.section)
                if run
                else _work(catalog, told.grade, told.section)
            )
            if saw is None:
                return (_finding("saw", told.saw, "is no saw of the shop", "Choose one from the list."),)
            if not isinstance(work[0], Grade) or not isinstance(work[1], Section):
                return tuple(part for part in work if isinstance(part, Finding))
            grade, section = work[0], work[1]
            case = self._case(look, catalog, told, run, saw, grade, section)
            if isinstance(case, Finding):
                return (case,)
            causes = likely_causes(told.symptom, case, self._table, look.faults.found(told.symptom))
        kept = ReportFault(
            fault_id=f"F-{secrets.token_hex(4)}",
            saw=saw.id,
            symptom=told.symptom,
            grade=grade.name,
            section=section.name,
            seen=told.seen,
            named=named_causes(causes),
            run_id=run.id if run else None,
            band_id=case.band.id if case.band else None,
            note=told.note,
        )
        return report_fault(self._records, kept, by=by, at=datetime.now(UTC))

    def settle(self, fault_id: str, cause: str, note: str, *, by: Person) -> FoundCause | Refusal:
        """Keep what a fault turned out to be."""
        if cause not in self._table.causes:
            return Refusal(
                "unknown-cause",
                sentence("no cause is called {cause}", cause=f"{cause!r}"),
                "Choose one from the list",
            )
        told = SettleFault(fault_id, cause, note)
        return settle_fault(self._records, told, by=by, at=datetime.now(UTC))

    def _case(
        self,
        look: Look,
        catalog: Catalog,
        told: FaultTold,
        run: Run | None,
        saw: SawSheet,
        grade: Grade,
        section: Section,
    ) -> Circumstances | Finding:
        mounted = look.crib.mounted(saw.id)
        band = look.crib.band(mounted.band_id) if mounted else None
        kind = next((one for one in catalog.bands if band and one.id == band.kind), None)
        setting = _setting(look, catalog, run, saw, grade, section, kind.id if kind else None)
        if isinstance(setting, CannotCut):
            remedy = "Cut it on another saw, or tell the true section."
            return _finding(
                "section",
                section.name,
                sentence("has no setting on this saw: {why}", why=setting.text),
                remedy,
            )
        pieces = look.floor.pieces_since(run.id, mounted.id if mounted else None)[1] if run else None
        since = None if pieces is None else -(-pieces // _at_once(look, run))
        lines = look.floor.lines(run.id) if run else ()
        facing = any(bar.facing_um > 0 for bar in look.floor.bars(run.id)) if run else None
        return Circumstances(
            grade=grade,
            saw=saw,
            setting=setting,
            report=band_report(grade, saw, setting, catalog.corrections),
            band=band,
            cuts_since_mounted=since,
            other_bars_fine=told.other_bars_fine,
            bundle=_at_once(look, run),
            piece_length_mm=max((line.length_um / 1000 for line in lines), default=None),
            facing_cut=facing,
            moved=self._watch(saw.id),
            mounted=kind if kind and kind.id != setting.band.id else None,
            seen=told.seen,
        )


def _at_once(look: Look, run: Run | None) -> int:
    """How many bars the run cuts at once now: those of the load that was begun last, or one alone."""
    if run is None:
        return 1
    in_saw = [one.bar for one in look.floor.bars(run.id) if one.bar.state is BarState.LOADED]
    last = in_saw[-1].load_id if in_saw else ""
    return sum(bar.load_id == last for bar in in_saw) if last else 1


def _setting(
    look: Look,
    catalog: Catalog,
    run: Run | None,
    saw: SawSheet,
    grade: Grade,
    section: Section,
    kind: str | None,
) -> CutSetting | CannotCut:
    """The advice on the band that is on; where that can't cut it, the run's own, or the best there is."""
    group = look.floor.plan_group(run.plan_id, run.group_id) if run else None
    bundle = _at_once(look, run)
    own = group.setting_for(0.0, bundle) if group else None
    if own is not None and (kind is None or own.band.id == kind):
        return own
    planned = own or next(iter(group.settings if group else ()), None)
    tables = (grade, section, saw, catalog.bands, catalog.corrections)
    if kind is not None:
        on_it = set_cut(*tables, bundle=bundle, band_id=kind)
        if isinstance(on_it, CutSetting):
            return on_it
    return planned or set_cut(*tables, bundle=bundle)


def _work(catalog: Catalog, grade: str, section: str) -> tuple[Grade | Finding, Section | Finding]:
    """The grade and section of work that stands in no run, each or what is wrong with its name."""
    read: Grade | Finding
    found: Section | Finding
    try:
        read = catalog.find_grade(grade)
    except UnknownName as error:
        read = _finding("grade", grade, "is no grade in the tables", _near(error))
    try:
        found = read_section(section, catalog, bare=Unit.MM)
    except UnreadableText as error:
        found = _finding("section", section, error.problem, error.remedy)
    except UnknownName as error:
        found = _finding("section", section, "is no section in the tables", _near(error))
    return read, found


def _near(error: UnknownName) -> str:
    return (
        sentence("Near it: {near}.", near=", ".join(error.near))
        if error.near
        else Told("Look it up in the tables.")
    )


def _finding(field: str, read: str, problem: str, remedy: str) -> Finding:
    return replace(_FORM, field=field, read=read, problem=problem, remedy=remedy)


_FORM = Finding("form", Severity.ERROR, "the form", None, "", "", "", "")
