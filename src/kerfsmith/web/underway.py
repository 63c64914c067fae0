"""What is being reckoned off the request's path: how far it is, and the page where its result will stand."""

from dataclasses import dataclass
from typing import Protocol

from kerfsmith.units.told import NOTHING, Told
from kerfsmith.web.backstage import JobState


@dataclass(frozen=True, slots=True)
class Underway:
    """Something that takes longer than a request: ``words`` say what is being done, ``done`` of ``of`` steps.

    ``result`` is the path of its result once it is done; ``problem`` why there is none.
    """

    id: str
    name: Told
    state: JobState
    words: Told
    done: int
    of: int
    seconds: float
    result: str = ""
    problem: Told = NOTHING


class Bench(Protocol):
    """Where such things are done."""

    def underway(self, work_id: str) -> Underway | None:
        """One of them, None where there is none."""

    def stop(self, work_id: str) -> bool:
        """Ask one to end; whether there is such a one."""
