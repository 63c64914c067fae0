"""The shop's saws: a sheet kept, as the shop's own or a candidate, and a saw retired."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.person import HOUSE, Person
from kerfsmith.shop.run import RunState
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


@dataclass(frozen=True, slots=True)
class KeepSaw:
    """``is_new`` is a saw that must not be on record yet."""

    sheet: SawSheet
    standing: SawStanding = SawStanding.OWN
    is_new: bool = False


def keep_saw(
    records: Records, told: KeepSaw, house: Sequence[SawSheet], *, by: Person, at: datetime
) -> KeptSaw | Refusal:
    """Keep a saw's sheet, in place of the one of its id. Runs released before keep the kerf they have.

    ``house`` are the saws the shop has while it never kept any of its own: they are kept first, so that
    adding a saw takes none away. Refused for the name of another saw, and a saw with open runs can't become
    a candidate.
    """

    def body(change: Change) -> KeptSaw:
        saws = _saws(change, house, at)
        sheet = told.sheet
        known = next((saw for saw in saws if saw.sheet.id == sheet.id), None)
        if known is not None and told.is_new:
            raise Refused(
                "saw-known",
                sentence("a saw {sheet} is on record", sheet=sheet.id),
                "Give it another id, or change it",
            )
        if any(_same_name(saw.sheet, sheet) for saw in saws if saw.sheet.id != sheet.id):
            raise Refused(
                "name-taken",
                sentence("another saw is called {sheet}", sheet=sheet.name),
                "Give it another name",
            )
        if told.standing is not SawStanding.OWN:
            _refuse_open_runs(change, sheet.id)
        kept = KeptSaw(sheet, told.standing, at, by.name)
        change.saw_sheets.keep(kept)
        return kept

    return act(
        records,
        Verb.KEEP_SAW,
        body,
        answer_as=KeptSaw,
        told=told,
        subject=told.sheet.id,
        by=by,
        at=at,
    )


def retire_saw(
    records: Records, saw_id: str, house: Sequence[SawSheet], *, by: Person, at: datetime
) -> KeptSaw | Refusal:
    """Take a saw out of use. Its sheet stays for what was planned and cut on it; refused while runs are open
    there."""

    def body(change: Change) -> KeptSaw:
        known = next((saw for saw in _saws(change, house, at) if saw.sheet.id == saw_id), None)
        if known is None:
            raise Refused(
                "unknown-saw", sentence("there is no saw {saw_id}", saw_id=saw_id), "Look at the saws"
            )
        _refuse_open_runs(change, saw_id)
        retired = replace(known, standing=SawStanding.RETIRED, kept_at=at, kept_by=by.name)
        change.saw_sheets.keep(retired)
        return retired

    return act(records, Verb.RETIRE_SAW, body, answer_as=KeptSaw, told=saw_id, subject=saw_id, by=by, at=at)


def _saws(change: Change, house: Sequence[SawSheet], at: datetime) -> tuple[KeptSaw, ...]:
    """The saws on record; a shop that never kept any keeps those it had until now."""
    saws = change.saw_sheets.saws()
    if saws is None:
        saws = tuple(KeptSaw(sheet, SawStanding.OWN, at, HOUSE.name) for sheet in house)
        change.saw_sheets.keep_only(saws)
    return saws


def _same_name(one: SawSheet, other: SawSheet) -> bool:
    mine = {one.id.casefold(), one.name.casefold()}
    return bool(mine & {other.id.casefold(), other.name.casefold()})


def _refuse_open_runs(change: Change, saw_id: str) -> None:
    runs = change.floor.runs(saw_id, RunState.RELEASED)
    if runs:
        raise Refused(
            "runs-open",
            sentence("run {runs} is open at this saw", runs=", ".join(run.id for run in runs)),
            "Finish it first",
        )
