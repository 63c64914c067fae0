"""Pieces that measured wrong: held until a person decides, and what casts doubt on those cut before them."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.errors import InvalidValue
from kerfsmith.shop.cut_log import CutEntry
from kerfsmith.shop.inspection import Inspection


class DecisionKind(StrEnum):
    """How a held piece was settled other than by scrapping it, which the cut log tells."""

    ACCEPTED = "accepted as it is"
    RECUT = "cut again to length"
    MEASURED_AGAIN = "measured again"


@dataclass(frozen=True, slots=True)
class Decision:
    """What a person decided on a piece: ``by`` answers for it, ``reason`` says why or on whose word.

    ``inspection_id`` is the measure it settles, None for a piece that was only doubted.

    Raises InvalidValue for a concession without a reason.
    """

    id: str
    cut_id: str
    kind: DecisionKind
    reason: str
    by: str
    at: datetime
    inspection_id: str | None = None

    def __post_init__(self) -> None:
        if self.kind is DecisionKind.ACCEPTED and not self.reason.strip():
            raise InvalidValue(f"decision {self.id}: a piece is accepted for a reason")


@dataclass(frozen=True, slots=True)
class FailedPiece:
    """A piece that stands in the log and measured out of what its line allows; ``inspection`` is the newest.

    ``rejected`` says that it was scrapped since, ``decision`` how its measure was settled otherwise.
    """

    piece: CutEntry
    inspection: Inspection
    rejected: bool = False
    decision: Decision | None = None

    @property
    def is_held(self) -> bool:
        """Whether nobody has decided yet."""
        return self.decision is None and not self.rejected

    @property
    def casts_doubt(self) -> bool:
        """Whether it was really out, so that those before it may be; not where it had only been misread."""
        return self.decision is None or self.decision.kind is not DecisionKind.MEASURED_AGAIN
