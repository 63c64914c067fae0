"""A good week soon: each run to the saw where it does least harm, due first, then the order bettered step
by step.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.engines.compiling import compiled
from kerfsmith.scheduling.engines.grid import (
    AIM_PLACE,
    FIXED,
    Grid,
    Ints,
    Opened,
    make_grid,
    overtime_windows,
    with_overtime,
)
from kerfsmith.scheduling.engines.kernels import BROKEN, Laid, room_for
from kerfsmith.scheduling.engines.reading import Sequences, due_first, put, sequences_of
from kerfsmith.scheduling.problem import Aim, Problem
from kerfsmith.units.told import Told

STEPS_A_PLACE = 200
"""The search from afar looks back over one place for so many steps."""
NEAR = 5
"""How many places the search from near the best looks back."""
CHUNK = 1_000
SHAKES = 4


@dataclass(slots=True)
class Found:
    """The best week so far, laid, with its arrays and the overtime it asks for."""

    grid: Grid
    week: Laid
    opened: dict[str, tuple[int, ...]]

    @property
    def holds(self) -> bool:
        """Whether it breaks nothing."""
        return int(self.week.values[BROKEN]) == 0


def order_of(problem: Problem) -> Ints:
    """Places of the aims in a row of values, what breaks the week first; ties go to what ends soonest."""
    wanted = [BROKEN, *(AIM_PLACE[aim] for aim in problem.aims)]
    rest = AIM_PLACE[Aim.COMPLETION]
    return np.array([*wanted, *([] if rest in wanted else [rest])], dtype=np.int64)


def relay(grid: Grid, week: Laid) -> Laid:
    """``week`` laid anew on ``grid``."""
    compiled("lay")(grid, week)
    return week


def is_better(one: Laid, other: Laid, order: Ints) -> bool:
    """Whether ``one`` is the better week by ``order``."""
    return [int(one.values[k]) for k in order] < [int(other.values[k]) for k in order]


def list_week(problem: Problem, grid: Grid, start: Sequences | None = None) -> Laid:
    """Runs put one after the other, due first, each where the week so far stays best.

    ``start`` is an order to begin with; its runs keep it and only the others are put in, anywhere among them.
    """
    order = order_of(problem)
    rows: dict[str, list[str]] = {saw.id: [] for saw in problem.saws}
    _settle(problem, rows, start or {})
    placed = {name for row in rows.values() for name in row}
    for name in due_first(problem):
        if name in placed:
            continue
        tried: list[tuple[list[int], str, int]] = []
        for option in problem.run(name).open_options:
            row = rows[option.saw]
            head = int(grid.saws[[saw.id for saw in problem.saws].index(option.saw), FIXED])
            places = range(head, len(row) + 1) if start else [len(row)]
            for place in places:
                trial = rows | {option.saw: [*row[:place], name, *row[place:]]}
                week = relay(grid, put(problem, grid, trial))
                tried.append(([int(week.values[k]) for k in order], option.saw, place))
        _, saw, place = min(tried)
        rows[saw].insert(place, name)
    return relay(grid, put(problem, grid, rows))


def _settle(problem: Problem, rows: dict[str, list[str]], start: Sequences) -> None:
    """The settled heads of each row, then what ``start`` has there and may stay."""
    ranked = sorted(
        (run for run in problem.runs if run.pin is not None and run.pin.rank is not None),
        key=lambda run: run.pin.rank if run.pin and run.pin.rank is not None else 0,
    )
    for run in ranked:
        if run.pin is not None:
            rows[run.pin.saw].append(run.id)
    settled = {run.id for run in ranked}
    known = {run.id: run for run in problem.runs}
    for saw, names in start.items():
        for name in names:
            run_or_none = known.get(name)
            if run_or_none is None or name in settled:
                continue
            if any(option.saw == saw for option in run_or_none.open_options):
                rows[saw].append(name)


def better_week(problem: Problem, found: Found, *, steps: int, seed: int, watch: Watch) -> Found:
    """The best week that up to ``steps`` neighbours lead to: half of them from afar, half from near the
    best.

    The first half looks far back and wanders; the second looks back a little and begins anew from near
    the best whenever it has run dry.
    """
    far = steps // 2
    found = _descend(problem, found, far, max(NEAR, far // STEPS_A_PLACE), seed, watch)
    return _descend(problem, found, steps - far, NEAR, seed + far, watch)


def _descend(problem: Problem, found: Found, steps: int, length: int, seed: int, watch: Watch) -> Found:
    """Late acceptance that looks ``length`` places back."""
    order, place = order_of(problem), AIM_PLACE[problem.aims[0]]
    week, trial, best = found.week, room_for(found.grid), room_for(found.grid)
    _copy(week, best)
    history = np.repeat(week.values.reshape(1, -1), length, axis=0)
    before = best.values.copy()
    for done in range(0, steps, CHUNK):
        if watch.is_over:
            break
        many = min(CHUNK, steps - done)
        compiled("descend")(found.grid, week, trial, best, history, order, many, seed + done)
        if length == NEAR and not (best.values != before).any():
            compiled("shake")(found.grid, week, trial, best, SHAKES, seed + done + 1)
            history[:] = week.values
        before = best.values.copy()
        watch.tell(int(best.values[place]), 0, Told("bettering the order"))
    return Found(found.grid, relay(found.grid, best), found.opened)


def best_moves(problem: Problem, found: Found, *, steps: int, watch: Watch) -> tuple[Found, int]:
    """Where few runs may be moved: the best move of all, again and again, for up to ``steps`` weeks;
    with their count.

    Random moves would use up what is allowed on moves that help little.
    """
    order = order_of(problem)
    week, tried = found.week, 0
    allowed = len(problem.runs) if problem.most_moves is None else problem.most_moves
    for _ in range(allowed):
        best, trial = room_for(found.grid), room_for(found.grid)
        _copy(week, best)
        tried += int(compiled("best_move")(found.grid, week, trial, best, order))
        if not is_better(best, week, order):
            break
        week = relay(found.grid, best)
        watch.tell(int(week.values[AIM_PLACE[problem.aims[0]]]), 0, Told("the best single moves"))
        if tried >= steps or watch.is_over:
            break
    return Found(found.grid, week, found.opened), tried


def _copy(source: Laid, target: Laid) -> None:
    for name in ("seq", "sizes", "values", "when"):
        getattr(target, name)[:] = getattr(source, name)


def first_week(problem: Problem, opened: Opened, start: Sequences | None = None) -> Found:
    """The week that is there at once."""
    grid = make_grid(problem, opened)
    return Found(grid, list_week(problem, grid, start), dict(opened))


def search(
    problem: Problem,
    *,
    seed: int,
    steps: int,
    watch: Watch,
    start: Sequences | None = None,
    opened: Opened | None = None,
) -> Found:
    """The best week that ``steps`` neighbours lead to, overtime asked for only where it helps an earlier aim.

    The same seed and steps give the same week, as long as ``watch`` doesn't run out.
    """
    found = first_week(problem, opened or {}, start)
    if problem.most_moves is not None and problem.most_moves < len(problem.runs):
        found, tried = best_moves(problem, found, steps=steps // 2, watch=watch)
        steps = max(0, steps - tried)
    windows = overtime_windows(problem)
    if not windows:
        return better_week(problem, found, steps=steps, seed=seed, watch=watch)
    found = better_week(problem, found, steps=steps // 3, seed=seed, watch=watch)
    if found.holds and not overtime_helps(problem, found):
        return better_week(problem, found, steps=steps - steps // 3, seed=seed + 1, watch=watch)
    everything = {saw.id: saw.calendar.overtime for saw in problem.saws}
    full = _reopened(problem, found, everything)
    full = better_week(problem, full, steps=steps // 3, seed=seed + 1, watch=watch)
    full = close_overtime(problem, full, windows)
    best = full if is_better(full.week, found.week, order_of(problem)) else found
    best = better_week(problem, best, steps=steps // 3, seed=seed + 2, watch=watch)
    return close_overtime(problem, best, windows)


def overtime_helps(problem: Problem, found: Found) -> bool:
    """Whether any aim that comes before the hours could still be better than it is."""
    before = problem.aims[: problem.aims.index(Aim.HOURS)] if Aim.HOURS in problem.aims else problem.aims
    least_is_none = (Aim.TARDINESS, Aim.LATE)
    return any(aim not in least_is_none or found.week.values[AIM_PLACE[aim]] > 0 for aim in before)


def _reopened(problem: Problem, found: Found, opened: Opened) -> Found:
    grid = with_overtime(found.grid, problem, opened)
    week = put(problem, grid, sequences_of(problem, found.week))
    return Found(grid, relay(grid, week), dict(opened))


def close_overtime(problem: Problem, found: Found, windows: Sequence[tuple[str, int]]) -> Found:
    """Overtime windows given up, the last first, wherever that makes the week better."""
    order = order_of(problem)
    for saw, place in reversed(windows):
        if place not in found.opened.get(saw, ()):
            continue
        fewer = {**found.opened, saw: tuple(p for p in found.opened[saw] if p != place)}
        trial = _reopened(problem, found, fewer)
        if is_better(trial.week, found.week, order):
            found = trial
    return found
