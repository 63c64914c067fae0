"""Published instances: OR-Library's weighted tardiness with 40 jobs, value and bound against the known
optimum.

python -m benchmarks.scheduling.instances [steps]

Prints a Markdown table for docs/benchmarks/scheduling.md.
"""

import sys
import time

from tests.scheduling.rooms import NO_CLOCK, published_tardiness

from kerfsmith.scheduling.check import faults
from kerfsmith.scheduling.solve import Effort, line_up


def main() -> None:
    """Print the table."""
    steps = int(sys.argv[1]) if len(sys.argv) > 1 else 90_000
    print("| instance | optimum | found (seeds 1 to 5) | bound | bound / optimum | processor s a seed |")
    print("|---|---|---|---|---|---|")
    for number, optimum, problem in published_tardiness():
        began = time.process_time()
        weeks = [
            line_up(problem, watch=NO_CLOCK, seed=k, effort=Effort(steps, 200_000_000, 0.0))
            for k in range(1, 6)
        ]
        spent = (time.process_time() - began) / len(weeks)
        assert not any(faults(problem, week) for week in weeks)
        found = ", ".join(str(week.aims[0].value) for week in weeks)
        bound = max(week.aims[0].bound or 0 for week in weeks)
        print(f"| wt40 no. {number} | {optimum} | {found} | {bound} | {bound / optimum:.1%} | {spent:.1f} |")


if __name__ == "__main__":
    main()
