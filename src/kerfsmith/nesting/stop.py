"""When to stop looking: a time limit, an amount of work, a wish from outside, or whichever comes first."""

from collections.abc import Callable
from dataclasses import dataclass, replace

Clock = Callable[[], float]
"""Returns seconds; only differences count."""

ShouldStop = Callable[[], bool]
"""Returns whether the user has had enough."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search has come: seconds since its start, best value and proven bound of the aim at work.

    ``best`` is None while no plan is known. Both are in the aim's own unit.
    """

    seconds: float
    best: int | None
    bound: int
    doing: str


OnProgress = Callable[[Progress], None]


def never_stop() -> bool:
    """A wish from outside that never comes."""
    return False


def tell_nobody(progress: Progress) -> None:
    """A listener that doesn't care."""


@dataclass(frozen=True, slots=True)
class Watch:
    """A search's own watch: started at ``start``, ``seconds`` long, and open to a wish from outside.

    With ``work`` its seconds are those of work counted, see :class:`Work`.
    """

    now: Clock
    start: float
    seconds: float
    should_stop: ShouldStop = never_stop
    on_progress: OnProgress = tell_nobody
    work: "Work | None" = None

    @property
    def spent(self) -> float:
        """Seconds since the start."""
        return self.now() - self.start

    @property
    def left(self) -> float:
        """Seconds that remain, never below zero."""
        return max(0.0, self.seconds - self.spent)

    @property
    def is_over(self) -> bool:
        """Whether the search should end now with the best it has."""
        return self.spent >= self.seconds or self.should_stop()

    @property
    def by_clock(self) -> "Watch":
        """The watch by the clock: this one, or the guard of the work it counts."""
        return self if self.work is None else self.work.guard

    def count(self, seconds: float) -> None:
        """Note work done; a watch that goes by a clock has no use for it."""
        if self.work is not None:
            self.work.done += seconds

    def was_late(self) -> None:
        """Note that the clock ended a part of the search before its work was done."""
        if self.work is not None:
            self.work.cut_short = True

    def tell(self, best: int | None, bound: int, doing: str) -> None:
        """Report where the search stands."""
        self.on_progress(Progress(self.by_clock.spent, best, bound, doing))

    def for_part(self, seconds: float) -> "Watch":
        """A watch for one part of the search: at most ``seconds`` from now, and no longer than this one."""
        return replace(self, start=self.now(), seconds=min(seconds, self.left))

    def for_share(self, share: float) -> "Watch":
        """A watch for a share of what is left, of work and of the clock's time alike."""
        part = self.for_part(share * self.left)
        return part if self.work is None else self.work.watch(part.seconds, share)


@dataclass(slots=True)
class Work:
    """Work counted in the seconds that its steps take on a plain machine.

    A search that shares out and ends by these makes the same choices on every machine. ``guard`` is its watch
    by the clock, for where a machine is so slow that somebody would wait too long; ``cut_short`` says that it
    had to end a part of the search.
    """

    guard: Watch
    done: float = 0.0
    cut_short: bool = False

    def watch(self, seconds: float, share: float = 1.0) -> Watch:
        """A watch over so many seconds of work, and at most this share of what the clock has left."""
        until = self.guard.now() + share * self.guard.left

        def should_stop() -> bool:
            if self.guard.should_stop():
                return True
            late = self.guard.now() >= until
            self.cut_short = self.cut_short or late
            return late

        return Watch(lambda: self.done, self.done, seconds, should_stop, self.guard.on_progress, self)
