"""Sessions: who is signed in where, and until when. And how long a wrong guess must wait."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from kerfsmith.shop.person import Person


class SessionKind(StrEnum):
    """A browser at a desk, a panel for one shift, or a program with a token."""

    DESK = "desk"
    PANEL = "panel"
    TOKEN = "token"


@dataclass(frozen=True, slots=True)
class Session:
    """A sign-in, known by the SHA-256 of its secret. ``person`` has the role that holds in this session."""

    digest: str
    person: Person
    kind: SessionKind
    place: str
    began_at: datetime
    ends_at: datetime
    revoked_at: datetime | None = None

    def holds(self, at: datetime) -> bool:
        """Whether it gives entry at that moment."""
        revoked = self.revoked_at is not None and self.revoked_at <= at
        return self.began_at <= at < self.ends_at and not revoked


FREE_TRIES = 5
LONGEST_WAIT_S = 900.0


def wait_seconds(failures: int, free: int = FREE_TRIES) -> float:
    """Seconds to wait after the last of ``failures`` wrong tries in a row: none at first, then doubling.

    NIST SP 800-63B 5.2.2 asks that failures be limited to 100; with doubling from the sixth on, to a quarter
    of an hour each, 100 tries take 21 hours.
    """
    return 0.0 if failures < free else min(LONGEST_WAIT_S, 2.0 ** (failures - free + 1))
