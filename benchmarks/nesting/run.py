"""Run the families through the column engine and its peers; write docs/benchmarks/nesting.md.

    python -m benchmarks.nesting.run --samples 12 --peer-samples 3 --seconds 60 --peer-seconds 10

Start-up (loading the compiled kernels) is measured on its own and not part of the figures.
"""

import argparse
import os
import platform
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from benchmarks.nesting.augmented import augmented
from benchmarks.nesting.families import FAMILIES, Case, draw
from benchmarks.nesting.peers import PeerResult, arc_flow, assignment

from kerfsmith.nesting.engines.columns import ColumnsInstance, solve_columns

Solver = Callable[[ColumnsInstance, float], PeerResult]


@dataclass(slots=True)
class Row:
    """Figures of one solver on one family."""

    tried: int = 0
    proven: int = 0
    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def shown(self) -> str:
        """Proven of tried, median and worst seconds (processor time of this process in brackets)."""
        if not self.tried:
            return "- | - | -"
        return (
            f"{self.proven} of {self.tried} | {statistics.median(self.wall):.2f} "
            f"({statistics.median(self.cpu):.2f}) | {max(self.wall):.2f} ({max(self.cpu):.2f})"
        )


def by_columns(instance: ColumnsInstance, seconds: float) -> PeerResult:
    """The engine."""
    wall, cpu = time.perf_counter(), time.process_time()
    result = solve_columns(
        instance, seconds=seconds, seed=1, should_stop=lambda: False, now=time.perf_counter
    )
    return PeerResult(
        result.cost,
        result.lower_bound,
        result.status == "optimal",
        time.perf_counter() - wall,
        time.process_time() - cpu,
    )


def measure(row: Row, solver: Solver, case: Case, known: int | None, seconds: float) -> int | None:
    """Run one instance; its optimum as far as it is known afterwards."""
    told = solver(case.instance, seconds)
    row.wall.append(told.wall)
    row.cpu.append(told.cpu)
    row.tried += 1
    row.proven += told.proven
    if known is not None and (told.lower_bound > known or (told.proven and told.cost != known)):
        row.wrong.append(f"{case.name}: {told.cost} ({told.lower_bound}), optimum {known}")
    return told.cost if told.proven else known


def cases_of(family: str, samples: int) -> list[Case]:
    """The instances of a family; augmented ones are named ani_201, ai_202 and so on."""
    if family in FAMILIES:
        return [draw(family, n) for n in range(samples)]
    kind, pieces = family.split("_")
    with_property = kind == "ai"
    base = int(pieces) - with_property
    return [augmented(base, n, with_property=with_property) for n in range(samples)]


def main() -> None:
    """Read the options, run, print, write the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--samples", type=int, default=12)
    options.add_argument("--augmented-samples", type=int, default=3)
    options.add_argument("--peer-samples", type=int, default=3)
    options.add_argument("--seconds", type=float, default=60.0)
    options.add_argument("--peer-seconds", type=float, default=10.0)
    options.add_argument(
        "--families",
        nargs="*",
        default=[*FAMILIES, "ani_201", "ai_202", "ani_402", "ai_403", "ani_600", "ai_601"],
    )
    options.add_argument("--out", type=Path, default=None)
    given = options.parse_args()
    began = time.perf_counter()
    by_columns(draw("scholl_3", 999).instance, 60.0)
    start_up = time.perf_counter() - began
    load = os.getloadavg()[0]
    lines: list[str] = []
    wrong: list[str] = []
    for family in given.families:
        samples = given.samples if family in FAMILIES else given.augmented_samples
        cases = cases_of(family, samples)
        rows = [Row(), Row(), Row()]
        for n, case in enumerate(cases):
            known = measure(rows[0], by_columns, case, case.optimum, given.seconds)
            if n < given.peer_samples:
                measure(rows[1], arc_flow, case, known, given.peer_seconds)
                measure(rows[2], assignment, case, known, given.peer_seconds)
        wrong += [fault for row in rows for fault in row.wrong]
        line = f"| {cases[0].family} | " + " | ".join(row.shown() for row in rows) + " |"
        print(line, *wrong, flush=True)
        lines.append(line)
        if given.out is not None:
            given.out.parent.mkdir(parents=True, exist_ok=True)
            given.out.write_text(page(lines, wrong, given, start_up, load), encoding="utf-8")


def page(lines: list[str], wrong: list[str], given: argparse.Namespace, start_up: float, load: float) -> str:
    """The table with machine, date and command."""
    shown = " ".join(
        f"--{name.replace('_', '-')} {value if not isinstance(value, list) else ' '.join(value)}"
        for name, value in vars(given).items()
        if name != "out"
    )
    head = (
        "| family | columns: proven | median s | worst s | arc-flow, MIP: proven | median s | worst s "
        "| assignment, CP: proven | median s | worst s |"
    )
    return "\n".join(
        [
            "# Nesting: exact approaches side by side",
            "",
            f"Measured {time.strftime('%Y-%m-%d')} on {platform.machine()}, {os.cpu_count()} cores, Python "
            f"{platform.python_version()}, load average {load:.1f} at the start (other work ran beside it).",
            f"Command: `python -m benchmarks.nesting.run {shown}`.",
            "Seconds are wall clock, in brackets processor time. Limits: "
            f"{given.seconds:g} s for the column engine, {given.peer_seconds:g} s for each peer. "
            f"Start-up and first instance of the engine: {start_up:.1f} s.",
            "Instances are drawn anew by the laws their authors published (`benchmarks/nesting/families.py`, "
            "`augmented.py`); they are not the published files. The 28 hard ones of Schoenfield 2002 are not "
            "among them: their data cannot be generated; `broad 160-200 on 1000` has their make but is not "
            "picked for being hard.",
            "Arc-flow gives up without solving where its graph passes 120 000 arcs. Read the peers' columns "
            "with their own limit and sample in mind: where the limits differ, they had less time.",
            f"Bounds or optima that contradict a known optimum: {'; '.join(wrong) if wrong else 'none'}.",
            "",
            head,
            "|" + "---|" * 10,
            *lines,
            "",
        ]
    )


if __name__ == "__main__":
    main()
