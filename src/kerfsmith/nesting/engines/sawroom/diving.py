"""Dives: loads are fixed one after the other where the linear program leans to them, until every piece is
cut."""

from collections.abc import Mapping, Sequence
from random import Random

from kerfsmith.nesting.engines.sawroom.columns import Column
from kerfsmith.nesting.engines.sawroom.filling import Loads
from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.knapsack import best_sets
from kerfsmith.nesting.engines.sawroom.limits import Variant

DIVE_ROUNDS = 2
"""Rounds of pricing after each load fixed."""


class Dive:
    """One dive from a linear program solved to its optimum."""

    def __init__(self, generation: Generation, chance: Random, whim: float) -> None:
        """Each load's part is weighed up by chance by at most ``whim``."""
        self.generation, self.chance, self.whim = generation, chance, whim
        self.room, self.master = generation.room, generation.master
        self.left = [piece.count for piece in self.room.problem.pieces]
        self.fixed: dict[int, int] = {}
        self.left_out: set[tuple[str, str]] = set()

    def run(self, values: Sequence[float]) -> Loads | None:
        """Loads of a whole plan, or None. ``values`` are those of the master's variants.

        Orders that must come from one heat choose theirs first.
        """
        self.left_out = self.master.choose_heats(self.chance, self.whim)
        if self.left_out:
            values = self.generation.to_optimum(self.left, rounds=DIVE_ROUNDS) or ()
        while any(self.left) and not self.generation.watch.is_over:
            number = self._largest(values)
            if number is None:
                number = self._fitting()
            if number is None:
                break
            value = values[number] if number < len(values) else 0.0
            self._take(number, int(value + 1e-6) - self.fixed.get(number, 0))
            again = self.generation.to_optimum(self.left, rounds=DIVE_ROUNDS)
            if again is None:
                break
            values = again
        for number in self.fixed:
            self.master.fix(number, 0)
        self.master.free_heats()
        return None if any(self.left) else self._loads()

    def _loads(self) -> Loads:
        loads: Loads = {}
        for number, times in self.fixed.items():
            key = self.master.variants[number].column, self.master.variants[number].bars
            loads[key] = loads.get(key, 0) + times * max(1, self.master.variants[number].run)
        return loads

    def _take(self, number: int, more: int) -> None:
        """Fix a variant at least once more, at most so often as pieces are left for."""
        used = self._used(self.master.variants[number])
        more = min([max(1, more)] + [self.left[place] // count for place, count in used.items()])
        for place, count in used.items():
            self.left[place] -= more * count
        self.fixed[number] = self.fixed.get(number, 0) + more
        self.master.fix(number, self.fixed[number])

    def _used(self, variant: Variant) -> dict[int, int]:
        used: dict[int, int] = {}
        for item, count in variant.column.counts:
            place = self.room.items[item].piece
            used[place] = used.get(place, 0) + count * variant.all_bars
        return used

    def _fits(self, variant: Variant) -> bool:
        return all(self.left[place] >= count for place, count in self._used(variant).items())

    def _largest(self, values: Sequence[float]) -> int | None:
        """The real variant with the largest part not fixed yet that fits what is left."""
        best: tuple[float, int] | None = None
        for number, value in enumerate(values):
            part = value - self.fixed.get(number, 0)
            variant = self.master.variants[number]
            if part > 1e-6 and variant.real and self._fits(variant):
                weight = part * (1 + self.whim * self.chance.random())
                if best is None or weight > best[0]:
                    best = weight, number
        return None if best is None else best[1]

    def _fitting(self) -> int | None:
        """A variant that fits what is left of pieces and bars, least reduced price for its length first."""
        pricer, prices = self.generation.pricer, self.master.prices()
        taken = self._bars_taken()
        best: tuple[float, Variant] | None = None
        for task in pricer.tasks(prices):
            supply = self.room.problem.bars[task.bar].count
            if supply is not None and supply - taken.get(task.bar, 0) < task.all_bars:
                continue
            for found in best_sets(pricer, task, prices, self.left, least=1 << 62):
                length = sum(pricer.sizes[item] * count for item, count in found.counts)
                for column in self.room.columns_of(task.bar, dict(found.counts)):
                    kept = found.kept and self.room.may_keep(column)
                    variant = Variant(column, task.bars, kept, run=task.run)
                    weight = self.master.reduced(variant, prices) / (length * task.all_bars)
                    better = best is None or weight < best[0]
                    if better and self._fits(variant) and self._is_allowed(column):
                        best = weight, variant
        if best is None:
            return None
        self.master.add([best[1]])
        return self.master.variants.index(best[1])

    def _bars_taken(self) -> Mapping[int, int]:
        taken: dict[int, int] = {}
        for number, times in self.fixed.items():
            variant = self.master.variants[number]
            taken[variant.column.bar] = taken.get(variant.column.bar, 0) + times * variant.all_bars
        return taken

    def _is_allowed(self, column: Column) -> bool:
        """Whether the column keeps to the heats chosen."""
        heat = self.room.problem.bars[column.bar].heat
        return not any((self.room.piece(item).order, heat) in self.left_out for item, _ in column.counts)
