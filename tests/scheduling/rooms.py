"""Small shops to schedule: single saws of the textbooks, random rooms, and a week of the usual size."""

import random
from collections.abc import Mapping, Sequence
from pathlib import Path

from kerfsmith.nesting.stop import Watch
from kerfsmith.scheduling.calendar import Calendar, Hours, Stop, Window
from kerfsmith.scheduling.problem import (
    NO_BAND,
    WEEK_AIMS,
    Aim,
    Crew,
    Load,
    Option,
    Pin,
    Problem,
    Run,
    Saw,
    Unattended,
)

NO_CLOCK = Watch(lambda: 0.0, 0.0, 1e6)
"""A watch that never runs out: what is found depends on counts alone."""

DAY = 1440


def open_saw(name: str, ticks: int, **more: object) -> Saw:
    """A saw with somebody there all the time."""
    return Saw(name, Calendar((Window(0, ticks),)), **more)  # type: ignore[arg-type]


def job(name: str, ticks: Mapping[str, int], **more: object) -> Run:
    """A run of one load that nobody lifts, with its ticks on each saw."""
    options = tuple(Option(saw, NO_BAND, (Load(0, 0, took),)) for saw, took in ticks.items())
    return Run(name, options, **more)  # type: ignore[arg-type]


def one_saw(
    times: Sequence[int],
    aims: tuple[Aim, ...],
    dues: Sequence[int | None] = (),
    weights: Sequence[int] = (),
    releases: Sequence[int] = (),
) -> Problem:
    """The textbooks' single machine: no set-ups, no crane, no shifts."""
    count = len(times)
    horizon = sum(times) + max(releases, default=0) + 1
    rows = zip(times, dues or [None] * count, weights or [1] * count, releases or [0] * count, strict=True)
    runs = tuple(
        job(f"j{k}", {"saw": ticks}, due=due, weight=weight, release=release)
        for k, (ticks, due, weight, release) in enumerate(rows)
    )
    return Problem(runs, (open_saw("saw", horizon),), horizon, crane=None, aims=aims)


def many_saws(times: Sequence[Sequence[int]], aims: tuple[Aim, ...]) -> Problem:
    """Unrelated parallel machines: times[job][saw]."""
    horizon = sum(max(row) for row in times) + 1
    names = [f"s{m}" for m in range(len(times[0]))]
    runs = tuple(job(f"j{k}", dict(zip(names, row, strict=True))) for k, row in enumerate(times))
    return Problem(runs, tuple(open_saw(name, horizon) for name in names), horizon, crane=None, aims=aims)


def published_tardiness() -> list[tuple[int, int, Problem]]:
    """Number, published optimum and problem of each instance kept in ``data``."""
    path = Path(__file__).parent / "data" / "weighted_tardiness_40.txt"
    figures = [int(word) for word in path.read_text().split()]
    found = []
    for place in range(0, len(figures), 122):
        number, optimum = figures[place : place + 2]
        times, weights, dues = (figures[place + 2 + 40 * k : place + 42 + 40 * k] for k in range(3))
        found.append((number, optimum, one_saw(times, (Aim.TARDINESS,), dues, weights)))
    return found


AIMS = (
    WEEK_AIMS,
    WEEK_AIMS,
    (Aim.MAKESPAN, Aim.HOURS),
    (Aim.MAX_LATENESS,),
    (Aim.COMPLETION, Aim.CHANGES),
    (Aim.LATE, Aim.TARDINESS),
)


def random_room(rng: random.Random, most_runs: int = 4) -> Problem:
    """A room small enough to try every week of, with a bit of everything in it."""
    bands = ["A", "B", "C"][: rng.randint(1, 3)]
    names = [f"s{m}" for m in range(rng.randint(1, 2))]
    saws = tuple(_random_saw(rng, name, bands) for name in names)
    runs = tuple(_random_run(rng, f"r{k}", names, bands) for k in range(rng.randint(1, most_runs)))
    horizon = 120
    crews = (Crew(0, 30, rng.randint(1, 2)), Crew(30, horizon, rng.randint(1, 2)))
    return Problem(
        runs,
        saws,
        horizon,
        crane=rng.choice([None, 1, 1]),
        crews=crews if rng.random() < 0.4 else (),
        aims=rng.choice(AIMS),
    )


def _random_saw(rng: random.Random, name: str, bands: Sequence[str]) -> Saw:
    windows, t = [], rng.randint(0, 2)
    kinds = [Hours.ATTENDED, Hours.ATTENDED, Hours.ATTENDED, Hours.UNATTENDED, Hours.OVERTIME]
    for _ in range(4):
        ticks = rng.randint(6, 14)
        windows.append(Window(t, t + ticks, rng.choice(kinds)))
        t += ticks + rng.choice([0, 0, 3])
    windows.append(Window(t, t + 30))
    stops = (Stop(5, rng.randint(6, 9)),) if rng.random() < 0.3 else ()
    table = {(a, b): rng.randint(0, 3) for a in ("", *bands) for b in bands if a != b}
    fresh = {bands[0]: rng.randint(1, 3)} if rng.random() < 0.3 else {}
    mounted = rng.choice(["", *bands])
    return Saw(name, Calendar(tuple(windows), stops), mounted=mounted, set_ups=table, fresh=fresh)


def _random_run(rng: random.Random, name: str, saws: Sequence[str], bands: Sequence[str]) -> Run:
    chosen, usual = rng.sample(list(saws), rng.randint(1, len(saws))), rng.choice(bands)
    options = tuple(
        Option(
            saw,
            usual if rng.random() < 0.8 else rng.choice(bands),
            tuple(
                Load(rng.randint(0, 2), rng.randint(0, 1), rng.randint(1, 4))
                for _ in range(rng.choice([1, 1, 2]))
            ),
            rng.choice([0, 50, 100]),
        )
        for saw in chosen
    )
    pin = Pin(chosen[0], rng.choice([None, rng.randint(8, 20)])) if rng.random() < 0.15 else None
    return Run(
        name,
        options,
        due=rng.choice([None, rng.randint(4, 25)]),
        release=rng.choice([0, 0, rng.randint(0, 8)]),
        weight=rng.randint(1, 4),
        unattended=Unattended(rng.random() < 0.5),
        pin=pin,
    )


def shop_week(seed: int, count: int = 120, weeks: int = 2) -> Problem:
    """``count`` runs on three saws: two shifts with two people, unattended nights, Saturday as overtime,
    one crane.

    Ticks are minutes. A run takes one of six bands and one to five bars; two in three may go on several
    saws.
    """
    rng = random.Random(seed)
    bands = [f"band {k}" for k in range(1, 7)]
    table = {(a, b): 12 for a in ("", *bands) for b in bands if a != b}
    horizon = 7 * weeks * DAY
    saws = tuple(
        Saw(f"saw {m}", _two_shifts(weeks), mounted=bands[m], set_ups=table, fresh={bands[m + 3]: 20})
        for m in range(3)
    )
    runs = []
    for k in range(count):
        band, bars, cut = rng.choice(bands), rng.randint(1, 5), rng.randint(8, 30)
        options = tuple(
            Option(f"saw {m}", band, (Load(4, 2, int(cut * (1 + 0.1 * m))),) * bars, 50)
            for m in sorted(rng.sample(range(3), rng.choice([1, 2, 3])))
        )
        due, weight = rng.randint(1, 5) * DAY + 14 * 60, rng.randint(1, 20)
        safe = Unattended(rng.random() < 0.5)
        runs.append(Run(f"run {k}", options, due=due, weight=weight, unattended=safe))
    crews = tuple(
        Crew(day * DAY + 360 + 480 * shift, day * DAY + 840 + 480 * shift, 2)
        for day in range(7 * weeks)
        for shift in range(2)
    )
    return Problem(tuple(runs), saws, horizon, crews=crews)


def _two_shifts(weeks: int) -> Calendar:
    windows = []
    for day in range(7 * weeks):
        start = day * DAY
        if day % 7 < 5:
            windows += [Window(start + 360, start + 840), Window(start + 840, start + 1320)]
            if day % 7 < 4:
                windows.append(Window(start + 1320, start + DAY + 360, Hours.UNATTENDED))
        elif day % 7 == 5:
            windows.append(Window(start + 360, start + 840, Hours.OVERTIME))
    return Calendar(tuple(windows))
