"""Events: what a panel recorded, marked so that it counts once and in its order however late it arrives."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.errors import InvalidValue


@dataclass(frozen=True, slots=True)
class EventMark:
    """``id`` is unique for ever, made by the panel; ``number`` counts the panel's events from 1 without gaps.

    ``received_at`` is when it reached the records; when it happened is the verb's own ``at``.
    """

    id: str
    panel: str
    number: int
    received_at: datetime

    def __post_init__(self) -> None:
        if not self.id or not self.panel or max(len(self.id), len(self.panel)) > 80:
            raise InvalidValue("an event and its panel have ids of 1 to 80 characters")
        if self.number < 1:
            raise InvalidValue("a panel counts its events from 1")
