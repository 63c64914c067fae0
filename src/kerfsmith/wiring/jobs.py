"""Planning jobs of the running application: one at a time, with progress and a stop."""

import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.tasks import Task
from kerfsmith.units.told import Told, joined
from kerfsmith.web.backstage import GroupProgress, JobState, PlanJob


@dataclass
class _Running:
    """A job's changing state, read under the lock."""

    id: str
    order_ids: tuple[str, ...]
    began: float
    state: JobState
    groups: list[GroupProgress]
    ended: float | None = None
    problem: str = ""
    lock: threading.Lock = field(default_factory=threading.Lock)

    def shown(self) -> PlanJob:
        """The state as a page shows it."""
        with self.lock:
            seconds = (self.ended or time.monotonic()) - self.began
            return PlanJob(self.id, self.state, tuple(self.groups), seconds, self.problem)


PlanAndKeep = Callable[[Callable[[int, PlanGroup], None]], None]
"""Plans and keeps the plan; is handed what to tell of each finished group."""


class Jobs:
    """The planning jobs since the start, newest last; only the newest can be running."""

    def __init__(self, stop: Callable[[], None], clear: Callable[[], None]) -> None:
        self._stop = stop
        self._clear = clear
        self._jobs: dict[str, _Running] = {}
        self._lock = threading.Lock()

    def begin(self, job_id: str, order_ids: Sequence[str], tasks: Sequence[Task], plan: PlanAndKeep) -> str:
        """Begin a job, or join the one that is running; the job's id."""
        with self._lock:
            for running in self._jobs.values():
                if not running.state.is_over:
                    return running.id
            self._clear()
            groups = [_waiting(task) for task in tasks]
            job = _Running(job_id, tuple(order_ids), time.monotonic(), JobState.RUNNING, groups)
            self._jobs[job_id] = job
        threading.Thread(target=_run, args=(job, plan), name=f"plan-{job_id}", daemon=True).start()
        return job_id

    def shown(self, job_id: str) -> PlanJob | None:
        """A job as a page shows it, None where it isn't known."""
        job = self._jobs.get(job_id)
        return job.shown() if job else None

    def stop(self, job_id: str) -> bool:
        """Ask a job to end with the best it has; one that is over stops nothing that others began since."""
        job = self._jobs.get(job_id)
        if job is None:
            return False
        with job.lock:
            runs = job.state is JobState.RUNNING
            if runs:
                job.state = JobState.STOPPING
        if runs:
            self._stop()
        return True


def _waiting(task: Task) -> GroupProgress:
    """A row for a task; groups that substitutes join have one together."""
    works = task.works
    return GroupProgress(
        works[0].id,
        ", ".join(dict.fromkeys(work.grade for work in works)),
        ", ".join(dict.fromkeys(work.section.name for work in works)),
        sum(work.pieces for work in works),
        JobState.WAITING,
    )


def _with(row: GroupProgress, group: PlanGroup) -> GroupProgress:
    """The row with a finished group, beside those of its task that were finished before."""
    return replace(
        row,
        state=JobState.DONE,
        bars=(row.bars or 0) + group.bars_used,
        cost=(row.cost or 0.0) + group.cost,
        bound=(row.bound or 0.0) + group.lower_bound,
        words=joined(", ", dict.fromkeys(filter(None, (row.words, Told(group.status.value))))),
    )


def _run(job: _Running, plan: PlanAndKeep) -> None:
    def on_group(place: int, group: PlanGroup) -> None:
        with job.lock:
            job.groups[place] = _with(job.groups[place], group)

    try:
        plan(on_group)
        ended, problem = JobState.DONE, ""
    except Exception as error:
        # Whatever went wrong must reach the person who waits for the plan; the plan before it stays.
        ended, problem = JobState.FAILED, f"{type(error).__name__}: {error}"
    with job.lock:
        job.state, job.problem, job.ended = ended, problem, time.monotonic()
