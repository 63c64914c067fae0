"""Work that takes longer than a request: done beside it, watched, and stopped when somebody asks."""

import secrets
import threading
import time
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

from kerfsmith.errors import KerfsmithError
from kerfsmith.units.told import NOTHING, Told
from kerfsmith.web.backstage import JobState
from kerfsmith.web.underway import Underway
from kerfsmith.workflow.refusal import Refusal

AT_ONCE = 2
MOST_KNOWN = 100
"""Finished works that are remembered; the oldest goes when one more comes."""


class Stopped(KerfsmithError):
    """Raised inside a work that somebody stopped."""


@dataclass
class Work:
    """One work's changing state, read under its lock; the work itself tells how far it is."""

    id: str
    name: Told
    began: float = field(default_factory=time.monotonic)
    state: JobState = JobState.WAITING
    words: Told = NOTHING
    done: int = 0
    of: int = 0
    ended: float | None = None
    result: str = ""
    problem: Told = NOTHING
    wish_to_stop: threading.Event = field(default_factory=threading.Event)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def tell(self, words: Told, *, done: int | None = None, of: int | None = None) -> None:
        """Say what is being done now. Raises Stopped where somebody asked to end it."""
        if self.wish_to_stop.is_set():
            raise Stopped("it was stopped")
        with self.lock:
            self.words = words
            self.done = self.done if done is None else done
            self.of = self.of if of is None else of

    def step(self) -> None:
        """One step more is done. Raises Stopped likewise."""
        self.tell(self.words, done=self.done + 1)

    def shown(self) -> Underway:
        """The state as a page shows it."""
        with self.lock:
            seconds = (self.ended or time.monotonic()) - self.began
            return Underway(
                self.id,
                self.name,
                self.state,
                self.words,
                self.done,
                self.of,
                seconds,
                self.result,
                self.problem,
            )


Doing = Callable[[Work], str | Refusal]
"""Does a work; gives the path of its result, or why there is none."""


class Workbench:
    """`web.underway.Bench`: some works at a time, the others wait their turn."""

    def __init__(self) -> None:
        self._hands = ThreadPoolExecutor(max_workers=AT_ONCE, thread_name_prefix="bench")
        self._known: OrderedDict[str, Work] = OrderedDict()
        self._lock = threading.Lock()

    def begin(self, name: Told, doing: Doing) -> str:
        """Begin a work; its id, which can't be guessed."""
        work = Work(secrets.token_urlsafe(9), name)
        with self._lock:
            self._known[work.id] = work
            over = [key for key, one in self._known.items() if one.state.is_over]
            for key in over[: max(0, len(self._known) - MOST_KNOWN)]:
                del self._known[key]
        self._hands.submit(_do, work, doing)
        return work.id

    def underway(self, work_id: str) -> Underway | None:
        """A work as it stands."""
        work = self._known.get(work_id)
        return work.shown() if work is not None else None

    def stop(self, work_id: str) -> bool:
        """Ask a work to end; whether there is such a one."""
        work = self._known.get(work_id)
        if work is None:
            return False
        work.wish_to_stop.set()
        with work.lock:
            if not work.state.is_over:
                work.state = JobState.STOPPING
        return True

    def close(self) -> None:
        """End all works."""
        for work in list(self._known.values()):
            work.wish_to_stop.set()
        self._hands.shutdown(wait=False, cancel_futures=True)


def _do(work: Work, doing: Doing) -> None:
    with work.lock:
        if work.state is JobState.WAITING:
            work.state = JobState.RUNNING
    result, problem = "", NOTHING
    try:
        work.tell(work.words)
        answer = doing(work)
        result, problem = ("", answer.whole) if isinstance(answer, Refusal) else (answer, NOTHING)
    except Stopped:
        problem = Told("It was stopped, and nothing was kept.")
    except Exception as error:
        # Whatever went wrong must reach the person who waits for it; nothing is half kept.
        problem = Told(f"{type(error).__name__}: {error}")
    with work.lock:
        work.state = JobState.FAILED if problem else JobState.DONE
        work.result, work.problem, work.ended = result, problem, time.monotonic()
