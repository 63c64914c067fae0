"""What it takes to do a program's request once: the answer it got, kept by the key it was sent with."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """A request that was sent with a key: of what it was (``digest``), and its answer.

    ``status`` is None while it is being worked on, or where it was broken off in the middle.
    """

    digest: str
    began_at: datetime
    status: int | None = None
    media: str = ""
    body: bytes = b""


class AnswerBook(Protocol):
    """Answers by person and key."""

    def begin(self, person: str, key: str, digest: str, at: datetime) -> KeptAnswer | None:
        """Note that a request begins. What was kept under its key before, None where it is new."""

    def finish(self, person: str, key: str, status: int, media: str, body: bytes) -> None:
        """Keep its answer."""

    def forget(self, person: str, key: str) -> None:
        """Forget a request that changed nothing."""

    def forget_before(self, at: datetime) -> int:
        """Forget all that began before; how many."""
