"""When to stop looking: a time limit, a wish from outside, or whichever comes first."""

from collections.abc import Callable
from dataclasses import dataclass

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
    """A search's own watch: started at ``start``, ``seconds`` long, and open to a wish from outside."""

    now: Clock
    start: float
    seconds: float
    should_stop: ShouldStop = never_stop
    on_progress: OnProgress = tell_nobody

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

    def tell(self, best: int | None, bound: int, doing: str) -> None:
        """Report where the search stands."""
        self.on_progress(Progress(self.spent, best, bound, doing))

    def for_part(self, seconds: float) -> "Watch":
        """A watch for one part of the search: at most ``seconds`` from now, and no longer than this one."""
        return Watch(self.now, self.now(), min(seconds, self.left), self.should_stop, self.on_progress)
