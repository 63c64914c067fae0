"""Assignment model with CP-SAT, both cores, fixed seed: JSON in, JSON out.

How many of each item go on each bar; bars used from the first on; the bars of a greedy plan as a hint.
"""

import json
import sys
import threading
import time

from ortools.sat.python import cp_model


def stop_at(solver: cp_model.CpSolver, ended: threading.Event, cpu: float) -> None:
    """End the search once the process has had so much processor time (the library knows wall clock only)."""
    while not ended.wait(0.1):
        if time.process_time() > cpu:
            solver.stop_search()


def main() -> None:
    """Solve one problem."""
    asked = json.load(sys.stdin)
    capacity, sizes, demands, hint = asked["capacity"], asked["sizes"], asked["demands"], asked["hint"]
    began, cpu = time.perf_counter(), time.process_time()
    model = cp_model.CpModel()
    used = [model.new_bool_var(f"u{b}") for b in range(len(hint))]
    held = []
    for b, bar in enumerate(hint):
        counts = [
            model.new_int_var(0, min(d, capacity // s), f"x{b}_{i}")
            for i, (s, d) in enumerate(zip(sizes, demands, strict=True))
        ]
        held.append(counts)
        model.add(sum(x * s for x, s in zip(counts, sizes, strict=True)) <= capacity * used[b])
        for i, x in enumerate(counts):
            model.add_hint(x, bar.count(i))
    for i, demand in enumerate(demands):
        model.add(sum(counts[i] for counts in held) == demand)
    for b in range(1, len(used)):
        model.add_implication(used[b], used[b - 1])
    model.add(sum(used) >= -(-sum(s * d for s, d in zip(sizes, demands, strict=True)) // capacity))
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    ended = threading.Event()
    watch = threading.Thread(target=stop_at, args=(solver, ended, cpu + asked["seconds"]))
    watch.start()
    status = solver.solve(model)
    ended.set()
    found = round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    print(
        json.dumps(
            {
                "cost": found,
                "lower_bound": round(solver.best_objective_bound),
                "proven": status == cp_model.OPTIMAL,
                "wall": time.perf_counter() - began,
                "cpu": time.process_time() - cpu,
            }
        )
    )


main()
