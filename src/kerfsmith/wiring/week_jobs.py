"""Weeks in the making: one at a time, off the request's path, with progress and a stop."""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from kerfsmith.nesting.stop import Progress, Watch
from kerfsmith.units.told import NOTHING, Told, sentence
from kerfsmith.web.backstage import JobState
from kerfsmith.web.week_stage import WeekJob
from kerfsmith.workflow.refusal import Refusal
from kerfsmith.workflow.week_making import WeekMade

MOST_KEPT = 20
"""So many jobs are remembered; older ones are asked for by nobody."""


@dataclass
class Making:
    """A week in the making, as its own work sees it."""

    id: str
    began: float = field(default_factory=time.monotonic)
    state: JobState = JobState.RUNNING
    told: Told = NOTHING
    ended: float | None = None
    refusal: Refusal | None = None
    problem: str = ""
    lock: threading.Lock = field(default_factory=threading.Lock)
    wish_to_stop: threading.Event = field(default_factory=threading.Event)

    def tell(self, told: Told) -> None:
        """Say how far it has come."""
        with self.lock:
            self.told = told

    def watch(self, seconds: float) -> Watch:
        """A watch for an engine, from now on."""

        def told(progress: Progress) -> None:
            self.tell(
                sentence(
                    "{doing}: {seconds} s", doing=Told(progress.doing), seconds=f"{progress.seconds:.0f}"
                )
            )

        return Watch(time.monotonic, time.monotonic(), seconds, self.wish_to_stop.is_set, told)

    def shown(self) -> WeekJob:
        """As a page shows it."""
        with self.lock:
            seconds = (self.ended or time.monotonic()) - self.began
            return WeekJob(self.id, self.state, self.told, seconds, self.refusal, self.problem)


Make = Callable[[Making], WeekMade | Refusal]


class WeekJobs:
    """The jobs since the start, newest last; only the newest can be running."""

    def __init__(self) -> None:
        self._jobs: dict[str, Making] = {}
        self._lock = threading.Lock()

    def begin(self, job_id: str, make: Make) -> str:
        """Begin a job, or join the one that is running; its id."""
        with self._lock:
            for running in self._jobs.values():
                if not running.state.is_over:
                    return running.id
            for old in list(self._jobs)[: -MOST_KEPT or None]:
                del self._jobs[old]
            job = self._jobs[job_id] = Making(job_id)
        threading.Thread(target=_run, args=(job, make), name=f"week-{job_id}", daemon=True).start()
        return job_id

    def shown(self, job_id: str) -> WeekJob | None:
        """A job as a page shows it, None where it isn't known."""
        job = self._jobs.get(job_id)
        return job.shown() if job else None

    def running(self) -> WeekJob | None:
        """The job that is running."""
        return next((job.shown() for job in self._jobs.values() if not job.state.is_over), None)

    def stop(self, job_id: str) -> bool:
        """Ask a job to end with the best it has."""
        job = self._jobs.get(job_id)
        if job is None:
            return False
        with job.lock:
            if job.state is JobState.RUNNING:
                job.state = JobState.STOPPING
        job.wish_to_stop.set()
        return True


def _run(job: Making, make: Make) -> None:
    refusal, problem, ended = None, "", JobState.DONE
    try:
        answer = make(job)
        if isinstance(answer, Refusal):
            refusal, ended = answer, JobState.FAILED
    except Exception as error:
        # Whatever went wrong must reach the person who waits; the week before it stays.
        problem, ended = f"{type(error).__name__}: {error}", JobState.FAILED
    with job.lock:
        job.state, job.refusal, job.problem, job.ended = ended, refusal, problem, time.monotonic()
