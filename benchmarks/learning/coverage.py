"""How well learned factors hold: coverage of 90 % intervals, of the next cut, and what forecasts gain.

    python -m benchmarks.learning.coverage [shops]

Shops are drawn with true rates; what is learned from their cuts is set against these. The same functions are
tried with fewer shops in `tests/learning`. Times are process time.
"""

import sys
import time

from tests.learning.coverage import Held, try_shops
from tests.learning.shops import Spreads

SCENES: tuple[tuple[str, int, Spreads, float | None], ...] = (
    ("20 cuts", 20, Spreads(), None),
    ("60 cuts", 60, Spreads(), None),
    ("200 cuts", 200, Spreads(), None),
    ("600 cuts", 600, Spreads(), None),
    (
        "200 cuts, shops near the published figures",
        200,
        Spreads(0.1, 0.03, 0.06, 0.03, 0.02, 0.02, 0.1),
        None,
    ),
    ("200 cuts, shops far from them", 200, Spreads(0.25, 0.25, 0.3, 0.1, 0.1, 0.15, 0.2), None),
    ("200 cuts, no difference but by grade", 200, Spreads(0.2, 0.0, 0.15, 0.0, 0.0, 0.0, 0.12), None),
    ("200 cuts, heavy tails (t with 4 degrees)", 200, Spreads(), 4.0),
)


def told(name: str, found: Held, seconds: float) -> str:
    """One line."""
    slices = "  ".join(f"{about} {found.share(about):.3f}" for about in found.asked if about != "next cut")
    return (
        f"{name:46} all {found.share():.3f} ({slices})  next cut {found.share('next cut'):.3f}"
        f"  error ratio {found.ratio:.2f}  {seconds:.0f} s"
    )


def main(shops: int) -> None:
    """Every scene in turn."""
    for place, (name, cuts, spreads, tail) in enumerate(SCENES):
        began = time.process_time()
        found = try_shops(shops, cuts, spreads, 100 + place, tail=tail)
        print(told(name, found, time.process_time() - began), flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
