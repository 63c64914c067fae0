"""Run the families through the column engine and its peers; write docs/benchmarks/nesting.md.

    nice -n -10 taskset -c 1 python -m benchmarks.nesting.run --out docs/benchmarks/nesting.md

Every solver gets the same instances in the same order and the same limit. A peer goes on to the next instance
of a family until it has spent its share of time there, so that a run ends; how many it was given is shown.
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
from benchmarks.nesting.published import FAMILIES as PUBLISHED
from benchmarks.nesting.published import published

from kerfsmith.nesting.engines.columns import ColumnsInstance, solve_columns

Solver = Callable[[ColumnsInstance, float], PeerResult]

NOTES = Path(__file__).with_name("notes.md")


@dataclass(slots=True)
class Row:
    """Figures of one solver on one family."""

    tried: int = 0
    proven: int = 0
    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def shown(self) -> str:
        """Proven of tried, median and worst seconds: processor time / wall clock."""
        if not self.tried:
            return "- | - | -"
        return (
            f"{self.proven} of {self.tried} "
            f"| {statistics.median(self.cpu):.3f} / {statistics.median(self.wall):.3f} "
            f"| {max(self.cpu):.2f} / {max(self.wall):.2f}"
        )


def by_columns(instance: ColumnsInstance, seconds: float) -> PeerResult:
    """The engine, its limit in processor time as for the peers."""
    wall, cpu = time.perf_counter(), time.process_time()
    result = solve_columns(
        instance, seconds=seconds, seed=1, should_stop=lambda: False, now=time.process_time
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


def cases_of(family: str, samples: int, seed: int) -> list[Case]:
    """The instances of a family; augmented ones are named ani_201, ai_202 and so on, published ones
    published_u and so on: of these as many as are asked for, spread evenly.
    """
    if family.startswith("published_"):
        whole = [case for key, case in published() if key == family.removeprefix("published_")]
        return whole[:: max(1, len(whole) // samples)][:samples]
    if family in FAMILIES:
        return [draw(family, n, seed) for n in range(samples)]
    kind, pieces = family.split("_")
    with_property = kind == "ai"
    base = int(pieces) - with_property
    return [augmented(base, n, seed, with_property=with_property) for n in range(samples)]


def start_up() -> float:
    """Seconds until every kernel has been loaded and used once (instances that no table shows)."""
    began = time.perf_counter()
    for case in (draw("scholl_3", 999), draw("triplet", 999), augmented(201, 999, with_property=True)):
        by_columns(case.instance, 60.0)
    return time.perf_counter() - began


def run_family(cases: list[Case], given: argparse.Namespace) -> list[Row]:
    """The engine on all instances, each peer on as many of them as its share of time allows."""
    rows = [Row(), Row(), Row()]
    known = [measure(rows[0], by_columns, case, case.optimum, given.seconds) for case in cases]
    for row, peer in ((rows[1], arc_flow), (rows[2], assignment)):
        for case, optimum in zip(cases[: given.peer_samples], known, strict=False):
            measure(row, peer, case, optimum, given.seconds)
            if sum(row.cpu) > given.peer_share:
                break
    return rows


def options() -> argparse.ArgumentParser:
    """What the command line may say."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--samples", type=int, default=12)
    asked.add_argument("--augmented-samples", type=int, default=3)
    asked.add_argument("--peer-samples", type=int, default=3)
    asked.add_argument(
        "--peer-share", type=float, default=60.0, help="processor seconds a family after which a peer ends"
    )
    asked.add_argument("--seconds", type=float, default=60.0, help="limit an instance, for every solver")
    asked.add_argument("--seed", type=int, default=2026)
    asked.add_argument(
        "--families",
        nargs="*",
        default=[
            *(f"published_{key}" for key in PUBLISHED),
            *FAMILIES,
            "ani_201",
            "ai_202",
            "ani_402",
            "ai_403",
            "ani_600",
            "ai_601",
        ],
    )
    asked.add_argument("--out", type=Path, default=None)
    return asked


def main() -> None:
    """Read the options, run, print, write the table."""
    given = options().parse_args()
    load, began = os.getloadavg()[0], start_up()
    lines: list[str] = []
    wrong: list[str] = []
    for family in given.families:
        samples = given.augmented_samples if family.startswith(("ai_", "ani_")) else given.samples
        cases = cases_of(family, samples, given.seed)
        rows = run_family(cases, given)
        wrong += [fault for row in rows for fault in row.wrong]
        shown = f"{cases[0].family}{', published' if family.startswith('published_') else ''}"
        line = f"| {shown} | " + " | ".join(row.shown() for row in rows) + " |"
        print(line, *wrong, flush=True)
        lines.append(line)
        if given.out is not None:
            given.out.parent.mkdir(parents=True, exist_ok=True)
            given.out.write_text(page(lines, wrong, given, began, load), encoding="utf-8")


def page(lines: list[str], wrong: list[str], given: argparse.Namespace, began: float, load: float) -> str:
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
    cores = len(os.sched_getaffinity(0))
    return "\n".join(
        [
            "# Nesting: exact approaches side by side",
            "",
            f"Measured {time.strftime('%Y-%m-%d')} on {platform.machine()}, {os.cpu_count()} cores of which "
            f"{cores} for this run, priority {os.nice(0)}, Python {platform.python_version()}, load average "
            f"{load:.1f} at the start (other work ran beside it).",
            f"Command: `python -m benchmarks.nesting.run {shown}`.",
            f"Seconds an instance: processor time / wall clock. Limit: {given.seconds:g} s of processor time "
            "for every solver (the arc-flow's reductions before its search heed no limit).",
            f"Start-up of the engine with its first instances, apart: {began:.1f} s.",
            "Published instances are spread evenly over their family (`published.py` runs all 1,370); the "
            "others are drawn anew by the laws their authors published (`families.py`, `augmented.py`). The "
            "28 hard ones of Schoenfield 2002 are not among them, their data cannot be generated: `broad "
            "160-200 on 1000` has their make, `hard 160-200 on 1000` keeps the draws that first fit and two "
            "simple bounds leave open.",
            "Each peer is given the engine's instances in the same order, at most "
            f"{given.peer_samples} a family, and no more once it has spent {given.peer_share:g} s there; a "
            "peer that ends early without proof gave up on the size of its graph (more than 120 000 arcs).",
            f"Bounds or optima that contradict a known optimum: {'; '.join(wrong) if wrong else 'none'}.",
            "",
            head,
            "|" + "---|" * 10,
            *lines,
            "",
            NOTES.read_text(encoding="utf-8").rstrip(),
            "",
        ]
    )


if __name__ == "__main__":
    main()
