"""What a search over pairs has decided: pieces put on one bar, and bars that this closes.

When two pieces stand together and another one is just as long as what they leave, it may as well stand with
them: whatever fills that place in a plan is no longer, so the two can change places. A plan that keeps all
pairs joined so far stays one that does, since only pieces not joined to anything change places with a whole
bar's rest. It may join pieces that the search has set apart, but then it belongs to a part of the search that
joins them, and of the parts a plan can move between the one that joins earliest keeps it. So a search that
leaves nothing out but what this closes still proves that there is no plan.

In the manner of Martello and Toth's dominance between bars (1990), for bars partly filled.
"""

import importlib
from dataclasses import dataclass, field
from typing import Any

from kerfsmith.nesting.engines.columns.pool import Pair, Pool


@dataclass(slots=True)
class Joining:
    """Patterns still `alive`, pieces wanted once that are `taken`, and copies `used` of the others."""

    pool: Pool
    alive: Any
    taken: set[int] = field(default_factory=set)
    used: dict[int, int] = field(default_factory=dict)

    def packed(self) -> "Joining":
        """The same in an eighth of the room."""
        np = importlib.import_module("numpy")
        return Joining(self.pool, np.packbits(self.alive), set(self.taken), dict(self.used))

    def unpacked(self) -> "Joining":
        """A packed one as it was, to go on from."""
        np = importlib.import_module("numpy")
        alive = np.unpackbits(self.alive, count=len(self.pool.alive))
        return Joining(self.pool, alive, set(self.taken), dict(self.used))

    def join(self, pair: Pair) -> None:
        """Put two pieces on one bar, and close it where one piece fills it."""
        pool, alive = self.pool, self.alive
        pool.together(*pair, alive)
        fresh = all(pool.single[i] and i not in self.taken for i in pair)
        for i in pair:
            self._take(i)
        third = pool.filler(pair) if fresh else None
        if third is None or not self._free(third):
            return
        pattern = pool.threes[tuple(sorted((*pair, third)))]
        if not alive[pattern]:
            return
        self._take(third)
        for i in (*pair, third):
            if pool.single[i]:
                pool.shut(i, alive)
        alive[pattern] = 1

    def _take(self, i: int) -> None:
        if self.pool.single[i]:
            self.taken.add(i)
        else:
            self.used[i] = self.used.get(i, 0) + 1

    def _free(self, i: int) -> bool:
        if self.pool.single[i]:
            return i not in self.taken
        return self.used.get(i, 0) < self.pool.problem.demands[i]
