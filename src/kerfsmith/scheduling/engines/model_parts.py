"""What the constraint model is made of: runs on saws, and the variables that are read back."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from kerfsmith.scheduling.calendar import Span
from kerfsmith.scheduling.problem import Aim, Option, Run, Saw


@dataclass(slots=True)
class Place:
    """One run on one saw, if ``there``: from ``begins`` (set-up) over its loads' ``starts`` to ``end``."""

    run: Run
    option: Option
    there: Any
    begins: Any
    starts: list[Any]
    end: Any
    set_up: Any = 0
    """Ticks of its set-up, an expression."""
    change: Any = 0
    first_use: Any = None


@dataclass(slots=True)
class Model:
    """The solver's model with the variables that are read back."""

    cp: cp_model.CpModel
    places: dict[tuple[str, str], Place] = field(default_factory=dict)
    opened: dict[tuple[str, int], Any] = field(default_factory=dict)
    arcs: dict[tuple[str, str, str], Any] = field(default_factory=dict)
    """(saw, run before, run after) -> whether the one follows the other; "" is the row's end."""
    lifts: list[Any] = field(default_factory=list)
    minds: list[tuple[Any, int]] = field(default_factory=list)
    aims: dict[Aim, Any] = field(default_factory=dict)


def starts_within(spans: Sequence[Span], ticks: int) -> list[list[int]]:
    """Starts at which ``ticks`` fit in one of ``spans``."""
    return [[span.start, span.end - ticks] for span in spans if span.ticks >= ticks]


def both(one: list[list[int]], other: list[list[int]]) -> list[list[int]]:
    """What two rising lists of ranges have in common."""
    found = [
        [max(a[0], b[0]), min(a[1], b[1])] for a in one for b in other if max(a[0], b[0]) <= min(a[1], b[1])
    ]
    return sorted(found)


def shut(model: Model, saw: Saw, happens: Any, start: Any, ticks: int) -> None:
    """Nothing that ``happens`` lies within overtime that isn't asked for."""
    for number in saw.calendar.overtime:
        window = saw.calendar.windows[number]
        before = model.cp.new_bool_var("before")
        closed = [happens, model.opened[saw.id, number].negated()]
        model.cp.add(start + ticks <= window.start).only_enforce_if([*closed, before])
        model.cp.add(start >= window.end).only_enforce_if([*closed, before.negated()])
