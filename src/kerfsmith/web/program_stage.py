"""What other programs need from behind the interface; the wiring implements it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kerfsmith.shop.person import Person, Role
from kerfsmith.workflow.feed import FeedEntry
from kerfsmith.workflow.once_ports import AnswerBook
from kerfsmith.workflow.refusal import Refusal


@dataclass(frozen=True, slots=True)
class IssuedToken:
    """A token, shown this once, and until when it holds."""

    token: str
    until: datetime


class ProgramStage(Protocol):
    """Everything behind the interface for programs that the pages don't need."""

    @property
    def answers(self) -> AnswerBook:
        """Answers by key."""

    def now(self) -> datetime: ...

    def feed(self, after: int, limit: int) -> Sequence[FeedEntry]:
        """What happened at the saws after that number, oldest first."""

    def issue_token(
        self, name: str, role: Role, label: str, days: int, *, by: Person
    ) -> IssuedToken | Refusal:
        """Give a program entry as a person."""
