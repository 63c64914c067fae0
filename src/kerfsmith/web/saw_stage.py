"""What the pages of saw sheets need from behind them; the wiring implements it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from kerfsmith.errors import Finding
from kerfsmith.shop.kept_saw import KeptSaw, SawStanding
from kerfsmith.shop.person import Person
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class SawForm:
    """A sheet as a form sends it: texts by the names of `catalog.saw_fields`, bare figures in inch units
    where ``inch``. ``is_new`` is a saw that must not be on record yet."""

    values: Mapping[str, str]
    capacities: Sequence[Mapping[str, str]]
    inch: bool
    standing: SawStanding
    is_new: bool


@dataclass(frozen=True, slots=True)
class SawsKept:
    """What became of a form or a file of sheets; a sheet with an error among its findings isn't kept."""

    kept: tuple[KeptSaw, ...]
    refusals: tuple[Refusal, ...]
    findings: tuple[Finding, ...]


class SawStage(Protocol):
    """Everything behind the pages of saw sheets."""

    def saws(self) -> tuple[KeptSaw, ...]:
        """Every sheet: the shop's own, candidates, and those retired."""

    def keep_form(self, form: SawForm, *, by: Person) -> SawsKept:
        """Keep one sheet from a form."""

    def keep_file(self, file: str, data: bytes, standing: SawStanding, *, by: Person) -> SawsKept:
        """Keep every sheet of a file that can be used."""

    def place(self, saw_id: str, standing: SawStanding, *, by: Person) -> KeptSaw | Refusal:
        """Make a saw the shop's own, a candidate, or retire it."""
