"""What stands behind the interface for other programs."""

import secrets
from collections.abc import Sequence
from datetime import UTC, datetime

from kerfsmith.records.answers import Answers
from kerfsmith.records.store import Store
from kerfsmith.shop.person import Person, Role
from kerfsmith.web.program_stage import IssuedToken
from kerfsmith.workflow.feed import FeedEntry
from kerfsmith.workflow.keep_people import IssueToken, issue_token
from kerfsmith.workflow.refusal import Refusal


class ShopProgramStage:
    """`web.program_stage.ProgramStage` over one shop's records."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self.answers = Answers(store.engine)

    def now(self) -> datetime:
        """The machine's clock."""
        return datetime.now(UTC)

    def feed(self, after: int, limit: int) -> Sequence[FeedEntry]:
        """What happened at the saws after that number, oldest first."""
        return self._store.feed(after, limit)

    def issue_token(
        self, name: str, role: Role, label: str, days: int, *, by: Person
    ) -> IssuedToken | Refusal:
        """Give a program entry as a person."""
        token = secrets.token_urlsafe(32)
        told = IssueToken(name, role, label, days)
        answer = issue_token(self._store, told, secret=token, by=by, at=self.now())
        return answer if isinstance(answer, Refusal) else IssuedToken(token, answer.ends_at)
