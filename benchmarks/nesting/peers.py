"""Two other exact ways through the same instances: arc-flow (MIP) and an assignment model (CP-SAT)."""

import json
import subprocess
import sys
import time
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import highspy
from benchmarks.nesting.families import first_fit

from kerfsmith.nesting.engines.columns import ColumnsInstance


@dataclass(frozen=True, slots=True)
class PeerResult:
    """Best number of bars (None: none found), proven bound, whether they meet, seconds (processor, too)."""

    cost: int | None
    lower_bound: int
    proven: bool
    wall: float = 0.0
    cpu: float = 0.0


def arc_flow(instance: ColumnsInstance, seconds: float) -> PeerResult:
    """Valerio de Carvalho 1999: flow over lengths reached, pieces longest first; HiGHS."""
    began, cpu = time.perf_counter(), time.process_time()
    capacity = instance.kinds[0].capacity
    items = sorted(instance.items, key=lambda item: -item.size)
    arcs: list[tuple[int, int, int]] = []
    reached = {0}
    for n, item in enumerate(items):
        grown: set[int] = set()
        for start in reached:
            for k in range(min(item.demand, (capacity - start) // item.size)):
                at = start + k * item.size
                arcs.append((at, at + item.size, n))
                grown.add(at + item.size)
        reached |= grown
        if len(arcs) > 120_000 or time.process_time() - cpu > seconds:
            wall = time.perf_counter() - began
            return PeerResult(len(first_fit(instance)), 0, False, wall, time.process_time() - cpu)
    arcs = sorted(set(arcs))
    nodes = sorted(reached | {capacity})
    arcs += [(a, b, -1) for a, b in pairwise(nodes[1:])]
    row_of = {node: r for r, node in enumerate(nodes)}
    model = _quiet()
    for node in nodes:
        ends = node in (0, capacity)
        model.addRow(-highspy.kHighsInf if ends else 0.0, highspy.kHighsInf if ends else 0.0, 0, [], [])
    for item in items:
        model.addRow(float(item.demand), float(item.demand), 0, [], [])
    starts: list[int] = []
    index: list[int] = []
    value: list[float] = []
    cost: list[float] = []
    upper: list[float] = []
    for a, b, n in arcs:
        starts.append(len(index))
        index += [row_of[a], row_of[b]] + ([len(nodes) + n] if n >= 0 else [])
        value += [-1.0, 1.0] + ([1.0] if n >= 0 else [])
        cost.append(1.0 if a == 0 else 0.0)
        upper.append(float(items[n].demand) if n >= 0 else highspy.kHighsInf)
    count = len(arcs)
    model.addCols(count, cost, [0.0] * count, upper, len(index), starts, index, value)
    model.changeColsIntegrality(count, list(range(count)), [highspy.HighsVarType.kInteger] * count)
    # the library's own limit is of wall clock, and its reductions heed neither
    model.cbMipInterrupt.subscribe(
        lambda event: event.interrupt() if time.process_time() - cpu > seconds else None
    )
    model.setOptionValue("mip_abs_gap", 0.999)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.run()
    info = model.getInfo()
    found = round(info.objective_function_value) if info.primal_solution_status == 2 else None
    bound = info.mip_dual_bound
    lower = int(-(-(bound - 1e-6) // 1)) if abs(bound) < 1e15 else 0
    wall = time.perf_counter() - began
    return PeerResult(found, lower, found is not None and lower >= found, wall, time.process_time() - cpu)


def assignment(instance: ColumnsInstance, seconds: float) -> PeerResult:
    """The model of `assignment_peer`, in a process of its own (its library and highspy cannot share one)."""
    asked = {
        "capacity": instance.kinds[0].capacity,
        "sizes": [item.size for item in instance.items],
        "demands": [item.demand for item in instance.items],
        "hint": first_fit(instance),
        "seconds": seconds,
    }
    script = Path(__file__).with_name("assignment_peer.py")
    done = subprocess.run(
        [sys.executable, str(script)], input=json.dumps(asked), capture_output=True, text=True, check=True
    )
    told = json.loads(done.stdout)
    return PeerResult(told["cost"], told["lower_bound"], told["proven"], told["wall"], told["cpu"])


def _quiet() -> Any:
    model: Any = highspy.Highs()
    model.setOptionValue("output_flag", False)
    return model
