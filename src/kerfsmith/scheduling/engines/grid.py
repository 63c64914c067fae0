"""The problem as arrays over ticks, runs and saws, for the kernels that lay thousands of weeks a second."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import NO_BAND, WHOLE_PERSON, Aim, Problem
from kerfsmith.scheduling.wanted import wanted_of

Ints = npt.NDArray[np.int64]

NOT_HERE = -1
FAR = 1 << 60

AIM_PLACE = {aim: place for place, aim in enumerate(Aim, start=1)}
"""Where each aim stands in the kernels' row of values; place 0 counts what breaks the problem."""

Opened = Mapping[str, tuple[int, ...]]


# Columns of `Grid.options`, by run and saw.
FIRST_LOAD, N_LOADS, BAND, TENDING = range(4)
# Columns of `Grid.runs`.
SAFE, RELEASE, DUE, WEIGHT, PIN_START, OLD_SAW, OLD_RANK = range(7)
# Columns of `Grid.saws`.
MOUNTED, FIXED = range(2)
# Columns of `Grid.loads`.
CRANE, HAND, CUT, FIRST_WANTED, N_WANTED = range(5)
# Columns of `Grid.wanted`.
WANTED_BY, PIECES = range(2)
# Layers of `Grid.hours`: where the stretch that holds a tick ends (0 outside), and the first tick of one
# from there on.
ATT_END, RUN_END, NEXT_ATT, NEXT_RUN = range(4)
# Places in `Grid.figures`.
HORIZON, CRANES, MOST_MOVES, OVERTIME = range(4)


class Grid(NamedTuple):
    """Arrays by saw ``m``, run ``r``, band ``b`` (0: none), tick ``t`` and load ``k`` of a flat list.

    Few and wide, because compiled code pays for every array that it hands on.
    """

    hours: Ints
    """[layer, m, t]: attended stretches, and those in which the saw may cut with somebody there or not."""
    options: Ints
    """[r, m, column]; BAND is -1 where the run may not go on the saw."""
    loads: Ints
    """[k, column]: ticks, and which rows of `wanted` are its pieces."""
    wanted: Ints
    """[n, column]: pieces with a due time, which are there when their load ends."""
    runs: Ints
    """[r, column]."""
    set_up: Ints
    """[m, b before, b after]: ticks; a last row b before holds the ticks to break b after in."""
    saws: Ints
    """[m, column]; FIXED counts the runs at the head of the saw's row that are settled."""
    crew: Ints
    """[t]: hundredths of people; a single entry where there are people enough."""
    figures: Ints

    @property
    def horizon(self) -> int:
        """Where the calendar ends."""
        return int(self.figures[HORIZON])


def make_grid(problem: Problem, opened: Opened) -> Grid:
    """Arrays of ``problem`` with the overtime windows in ``opened`` asked for."""
    bands = bands_of(problem)
    options, loads, wanted = _options(problem, bands)
    n_saws = len(problem.saws)
    cranes = n_saws if problem.crane is None else problem.crane
    moves = len(problem.runs) if problem.most_moves is None else problem.most_moves
    return Grid(
        hours=_hours(problem, opened),
        options=options,
        loads=loads,
        wanted=wanted,
        runs=_runs(problem),
        set_up=_set_ups(problem, bands),
        saws=_saws(problem, bands),
        crew=_crew(problem),
        figures=np.array([problem.horizon, cranes, moves, overtime_of(problem, opened)], dtype=np.int64),
    )


def with_overtime(grid: Grid, problem: Problem, opened: Opened) -> Grid:
    """The same arrays with other overtime windows asked for."""
    figures = grid.figures.copy()
    figures[OVERTIME] = overtime_of(problem, opened)
    return grid._replace(hours=_hours(problem, opened), figures=figures)


def overtime_of(problem: Problem, opened: Opened) -> int:
    """Ticks of the windows opened."""
    return sum(saw.calendar.windows[place].ticks for saw in problem.saws for place in opened.get(saw.id, ()))


def bands_of(problem: Problem) -> tuple[str, ...]:
    """Every band named, the lack of one first."""
    named = {option.band for run in problem.runs for option in run.options}
    named |= {saw.mounted for saw in problem.saws}
    return (NO_BAND, *sorted(named - {NO_BAND}))


def _hours(problem: Problem, opened: Opened) -> Ints:
    layers = np.zeros((4, len(problem.saws), problem.horizon + 1), dtype=np.int64)
    for m, saw in enumerate(problem.saws):
        wanted = opened.get(saw.id, ())
        layers[ATT_END, m], layers[NEXT_ATT, m] = _stretches(saw.calendar.attended(wanted), problem.horizon)
        layers[RUN_END, m], layers[NEXT_RUN, m] = _stretches(saw.calendar.running(wanted), problem.horizon)
    return layers


def _stretches(spans: Iterable[Span], horizon: int) -> tuple[Ints, Ints]:
    end = np.zeros(horizon + 1, dtype=np.int64)
    following = np.full(horizon + 1, horizon, dtype=np.int64)
    reached = 0
    for span in spans:
        if span.start >= horizon:
            break
        stop = min(span.end, horizon)
        end[span.start : stop] = stop
        following[reached : span.start] = span.start
        following[span.start : stop] = np.arange(span.start, stop)
        reached = stop
    return end, following


def _options(problem: Problem, bands: tuple[str, ...]) -> tuple[Ints, Ints, Ints]:
    options = np.zeros((len(problem.runs), len(problem.saws), 4), dtype=np.int64)
    options[:, :, BAND] = NOT_HERE
    place = {saw.id: m for m, saw in enumerate(problem.saws)}
    loads: list[tuple[int, int, int, int, int]] = []
    wanted: list[tuple[int, int]] = []
    for r, run in enumerate(problem.runs):
        for option in run.open_options:
            tending = 0 if run.unattended.allowed else option.tending
            options[r, place[option.saw]] = (
                len(loads),
                len(option.loads),
                bands.index(option.band),
                tending,
            )
            owed: dict[int, list[tuple[int, int]]] = {}
            for at, one in wanted_of(run, option):
                owed.setdefault(at, []).append((one.due, one.pieces))
            for at, load in enumerate(option.loads):
                pieces = owed.get(at, [])
                loads.append((load.crane, load.hand, load.cut, len(wanted), len(pieces)))
                wanted += pieces
    return (
        options,
        np.array(loads, dtype=np.int64).reshape(-1, 5),
        np.array(wanted, dtype=np.int64).reshape(-1, 2),
    )


def _runs(problem: Problem) -> Ints:
    place = {saw.id: m for m, saw in enumerate(problem.saws)}
    old = {
        name: (place[saw], rank) for saw, names in problem.previous.items() for rank, name in enumerate(names)
    }
    rows = []
    for run in problem.runs:
        start = NOT_HERE if run.pin is None or run.pin.start is None else run.pin.start
        # The search looks after runs that end after the last of their dues; each piece is counted by its own.
        due = max((one.due for option in run.options for _, one in wanted_of(run, option)), default=FAR)
        was = old.get(run.id, (NOT_HERE, NOT_HERE))
        rows.append((int(run.unattended.allowed), run.release, due, run.weight, start, *was))
    return np.array(rows, dtype=np.int64).reshape(-1, 7)


def _crew(problem: Problem) -> Ints:
    if not problem.crews:
        return np.full(1, NOT_HERE, dtype=np.int64)
    crew = np.zeros(problem.horizon + 1, dtype=np.int64)
    for one in problem.crews:
        crew[one.start : min(one.end, problem.horizon)] = one.people * WHOLE_PERSON
    return crew


def _set_ups(problem: Problem, bands: tuple[str, ...]) -> Ints:
    number = {name: place for place, name in enumerate(bands)}
    table = np.zeros((len(problem.saws), len(bands) + 1, len(bands)), dtype=np.int64)
    for m, saw in enumerate(problem.saws):
        for (before, after), ticks in saw.set_ups.items():
            if before in number and after in number:
                table[m, number[before], number[after]] = ticks
        for name, ticks in saw.fresh.items():
            if name in number:
                table[m, len(bands), number[name]] = ticks
    return table


def _saws(problem: Problem, bands: tuple[str, ...]) -> Ints:
    settled = Counter(run.pin.saw for run in problem.runs if run.pin is not None and run.pin.rank is not None)
    rows = [(bands.index(saw.mounted), settled[saw.id]) for saw in problem.saws]
    return np.array(rows, dtype=np.int64).reshape(-1, 2)


def overtime_windows(problem: Problem) -> list[tuple[str, int]]:
    """Every overtime window: its saw and its place among the saw's windows."""
    return [(saw.id, place) for saw in problem.saws for place in saw.calendar.overtime]
