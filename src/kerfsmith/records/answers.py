"""Answers to requests with a key, in the tables. Each step is a transaction of its own."""

from datetime import datetime

from sqlalchemy import Engine, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from kerfsmith.records.answer_tables import kept_answers as kept
from kerfsmith.records.opening import WRITES
from kerfsmith.workflow.once_ports import KeptAnswer


class Answers:
    """`workflow.once_ports.AnswerBook` over a database.

    A request and its answer are not one transaction: where the program dies between the two, the key stays
    begun without an answer, and whoever sends it again is told so instead of its being done twice.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine.execution_options(**{WRITES: True})

    def begin(self, person: str, key: str, digest: str, at: datetime) -> KeptAnswer | None:
        """Note that a request begins; what was kept under its key before, None where it is new."""
        new = insert(kept).values(
            person=person, key=key, digest=digest, began_at=at, status=None, media="", body=b""
        )
        try:
            with self._engine.begin() as run:
                run.execute(new)
        except IntegrityError:
            with self._engine.begin() as run:
                found = select(kept).where(kept.c.person == person, kept.c.key == key)
                row = run.execute(found).first()
            if row is None:
                return self.begin(person, key, digest, at)
            return KeptAnswer(row.digest, row.began_at, row.status, row.media, bytes(row.body))
        return None

    def finish(self, person: str, key: str, status: int, media: str, body: bytes) -> None:
        """Keep its answer."""
        answered = update(kept).where(kept.c.person == person, kept.c.key == key)
        with self._engine.begin() as run:
            run.execute(answered.values(status=status, media=media, body=body))

    def forget(self, person: str, key: str) -> None:
        """Forget a request that changed nothing."""
        with self._engine.begin() as run:
            run.execute(delete(kept).where(kept.c.person == person, kept.c.key == key))

    def forget_before(self, at: datetime) -> int:
        """Forget all that began before; how many."""
        with self._engine.begin() as run:
            return int(run.execute(delete(kept).where(kept.c.began_at < at)).rowcount)
