"""Lengths that move: what moved, since when, and what else changed then."""

import random
from datetime import UTC, datetime, timedelta

from kerfsmith.learning.watch import Point, watch

chance = random.Random(11)
begin = datetime(2026, 11, 23, 6, 0, tzinfo=UTC)
points = [
    Point(
        f"cut {number}",
        begin + timedelta(minutes=6 * number),
        chance.gauss(0.02 if number < 40 else 0.17, 0.05),
        {"band": "S-3" if number < 40 else "S-4", "person": "Omar"},
    )
    for number in range(60)
]
alarm = watch(points).lasting
assert alarm is not None
print(
    f"length moved by {alarm.by:.2f} mm ({alarm.by_low:.2f} to {alarm.by_high:.2f}), told at cut {alarm.at}"
)
for change in alarm.changes:
    print(f"{change.what} went from {change.before} to {change.after}, {change.off} cuts from the step")
