"""How soon charts see a shift, and how often they are wrong, when mean and spread are only learned.

    python -m benchmarks.learning.charts [series]

Each series has 60 values as usual, then a lasting shift. Printed beside the run length for known mean and
spread.
"""

import sys
from datetime import UTC, datetime

import numpy as np

from kerfsmith.learning.cells import Floats
from kerfsmith.learning.charts.run_length import cusum_length
from kerfsmith.learning.watch import SINGLE, Point, Watched, watch

BEGAN = datetime(2026, 3, 2, tzinfo=UTC)
BEFORE, AFTER = 60, 240


def main(series: int) -> None:
    """Every shift in turn."""
    rng = np.random.default_rng(1)
    alarms = sum(len(_watched(rng.normal(size=400)).alarms) for _ in range(series))
    known = cusum_length(0, single=SINGLE)
    print(f"nothing moved: an alarm every {series * 400 / max(alarms, 1):.0f} values, {known:.0f} if known")
    for shift in (0.5, 1.0, 1.5, 2.0, 3.0):
        delays, held, sizes = [], 0, []
        for _ in range(series):
            values = np.concatenate([rng.normal(size=BEFORE), rng.normal(shift, 1, AFTER)])
            seen = next((one for one in _watched(values).alarms if one.at >= BEFORE and not one.single), None)
            if seen is not None:
                delays.append(seen.at - BEFORE + 1)
                held += seen.step.earliest <= BEFORE <= seen.step.latest
                sizes.append(seen.by)
        print(
            f"shift {shift:.1f}: seen in {len(delays) / series:.0%}, after {np.mean(delays):.1f} values in "
            f"the mean ({np.median(delays):.0f} median; {cusum_length(shift, single=SINGLE):.1f} if known), "
            f"its place within the range in {held / len(delays):.0%}, size told as {np.mean(sizes):.2f}"
        )


def _watched(values: Floats) -> Watched:
    return watch([Point(str(at), BEGAN, float(value), {}) for at, value in enumerate(values)])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
