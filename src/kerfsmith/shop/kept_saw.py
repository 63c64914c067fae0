"""Saw sheets as the shop keeps them: its own saws, candidates it thinks about, and those it has no more."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.catalog.saw import SawSheet


class SawStanding(StrEnum):
    """What a saw is to the shop: work is planned on its own saws alone."""

    OWN = "own"
    CANDIDATE = "candidate"
    RETIRED = "retired"


@dataclass(frozen=True, slots=True)
class KeptSaw:
    """A saw's sheet with what the saw is to the shop, and who kept it so."""

    sheet: SawSheet
    standing: SawStanding
    kept_at: datetime
    kept_by: str
