"""What stands behind the pages of saw sheets."""

from datetime import UTC, datetime

from kerfsmith.catalog.saw import SawSheet
from kerfsmith.exchange.saw_sheet_file import SheetTexts, read_sheet, read_sheets
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.person import HOUSE, Person
from kerfsmith.units.told import sentence
from kerfsmith.web.saw_stage import SawForm, SawsKept
from kerfsmith.wiring.shop_tables import ShopTables
from kerfsmith.workflow.keep_saw import KeepSaw, keep_saw, retire_saw
from kerfsmith.workflow.ports import Records
from kerfsmith.workflow.refusal import Refusal


class ShopSawStage:
    """`web.saw_stage.SawStage` over one shop's records."""

    def __init__(self, records: Records, tables: ShopTables) -> None:
        self._records, self._tables = records, tables

    def saws(self) -> tuple[KeptSaw, ...]:
        """Every sheet; those of the tables where the shop never kept any."""
        kept = self._tables.kept()
        if kept is not None:
            return kept
        return tuple(KeptSaw(sheet, SawStanding.OWN, _now(), HOUSE.name) for sheet in self._tables.house)

    def keep_form(self, form: SawForm, *, by: Person) -> SawsKept:
        """Keep one sheet from a form."""
        sheet, findings = read_sheet("the form", SheetTexts(form.values, form.capacities), inch=form.inch)
        if sheet is None:
            return SawsKept((), (), findings)
        kept, refused = self._keep([KeepSaw(sheet, form.standing, form.is_new)], by)
        return SawsKept(kept, refused, findings)

    def keep_file(self, file: str, data: bytes, standing: SawStanding, *, by: Person) -> SawsKept:
        """Keep every sheet of a file that can be used."""
        read = read_sheets(file, data)
        kept, refused = self._keep([KeepSaw(sheet, standing) for sheet in read.sheets], by)
        return SawsKept(kept, refused, read.findings)

    def place(self, saw_id: str, standing: SawStanding, *, by: Person) -> KeptSaw | Refusal:
        """Make a saw the shop's own, a candidate, or retire it."""
        if standing is SawStanding.RETIRED:
            return retire_saw(self._records, saw_id, self._tables.house, by=by, at=_now())
        sheet = next((one.sheet for one in self.saws() if one.sheet.id == saw_id), None)
        if sheet is None:
            return Refusal(
                "unknown-saw", sentence("there is no saw {saw_id}", saw_id=saw_id), "Look at the saws"
            )
        return keep_saw(self._records, KeepSaw(sheet, standing), self._tables.house, by=by, at=_now())

    def _keep(self, wanted: list[KeepSaw], by: Person) -> tuple[tuple[KeptSaw, ...], tuple[Refusal, ...]]:
        answers = [keep_saw(self._records, one, self._house, by=by, at=_now()) for one in wanted]
        kept = tuple(answer for answer in answers if isinstance(answer, KeptSaw))
        return kept, tuple(answer for answer in answers if isinstance(answer, Refusal))

    @property
    def _house(self) -> tuple[SawSheet, ...]:
        return self._tables.house


def _now() -> datetime:
    return datetime.now(UTC)
