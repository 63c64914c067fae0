"""A shop with a slow saw and a quick one: what 200 cuts teach, and how sure it is."""

import math
import random
from datetime import UTC, datetime, timedelta

from kerfsmith.learning.log import SawnCut
from kerfsmith.learning.observe import Observation
from kerfsmith.learning.times import learn_times
from kerfsmith.shop.factors import Measure

chance = random.Random(7)
true = {"north": 1.25, "yard": 0.9}
begin = datetime(2026, 11, 2, 6, 0, tzinfo=UTC)
records = []
for number in range(200):
    saw = "north" if number % 4 else "yard"
    cut = SawnCut(
        id=str(number),
        at=begin + timedelta(minutes=7 * number),
        by="Omar",
        saw=saw,
        saw_name=saw,
        grade="4140",
        section_kind="round",
        section_name="round 100",
        height_mm=100.0,
        area_cm2=78.5,
        band_kind="B34-3/4",
    )
    records.append(Observation(cut, math.log(true[saw]) + chance.gauss(0.0, 0.1)))
learned = learn_times(Measure.CUT_TIME, records)
for one in learned.factors:
    scope, factor = one.factor.scope, one.factor
    if scope.saw and not scope.grade:
        span = f"{factor.low:.2f} to {factor.high:.2f}"
        print(f"{scope.saw}: takes {factor.value:.2f} ({span}) of what is published")
        print(f"  from {factor.count} cuts; the next {one.next_low:.2f} to {one.next_high:.2f}")
