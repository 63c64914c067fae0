"""Mending a plan: free a few of its loads, list everything their pieces could be cut by, and choose again."""

from collections.abc import Callable, Mapping, Sequence
from random import Random

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.listing import TRY_S, TooManyColumnsError, all_columns
from kerfsmith.nesting.engines.sawroom.plan import Chosen, chosen_of
from kerfsmith.nesting.engines.sawroom.rows import build, hinted
from kerfsmith.nesting.stop import Watch

Worth = Callable[[Sequence[Chosen]], int]
"""A plan's value for the aim at work."""

LISTED = 2_500
"""Most columns listed for the freed pieces."""

FEWEST, MOST = 2, 12
"""Loads freed at once, at least and at most."""


class Mending:
    """A plan that gets better for one aim, earlier aims held."""

    def __init__(
        self,
        room: Room,
        aim: Aim,
        held: Mapping[Aim, int],
        worth: Callable[[Sequence[Chosen]], int],
        seed: int,
    ) -> None:
        """``worth`` gives a plan's value for the aim."""
        self.room, self.aim, self.held, self.worth = room, aim, held, worth
        self.seed, self.chance = seed, Random(seed)
        self.freed = 4

    def mend(self, plan: tuple[Chosen, ...], bound: int, watch: Watch) -> tuple[Chosen, ...]:
        """Better plans until the bound is met, the watch is over, or many tries in a row have brought
        nothing."""
        vain = 0
        while vain < 40 and not watch.is_over and self.worth(plan) > bound:
            loads = [(one.column, size) for one in plan for size in one.loads]
            number = min(self.freed, len(loads))
            better = self._again(plan, loads, self._choose(loads, number), watch)
            if better is not None and self.worth(better) < self.worth(plan):
                plan, vain = better, 0
                watch.tell(self.worth(plan), bound, self.aim.value)
            else:
                vain += 1
                if better is not None and vain % 8 == 0:
                    self.freed = min(MOST, self.freed + 1)
            if number == len(loads) and better is not None:
                break
        return plan

    def _choose(self, loads: Sequence[tuple[Column, int]], number: int) -> set[int]:
        """Places of the loads to free: those with most left over, and of few bars, more often than others."""
        most = self.room.problem.bundle_most if self.room.time_matters else 1
        weights = [(1.0 + self._spare(column) * 4) * (1 + most - size) for column, size in loads]
        chosen: set[int] = set()
        while len(chosen) < number:
            chosen.update(self.chance.choices(range(len(loads)), weights))
        return chosen

    def _spare(self, column: Column) -> float:
        return column.remnant_um / self.room.problem.bars[column.bar].length_um

    def _again(
        self,
        plan: Sequence[Chosen],
        loads: Sequence[tuple[Column, int]],
        free: set[int],
        watch: Watch,
    ) -> tuple[Chosen, ...] | None:
        most = [0] * len(self.room.problem.pieces)
        fixed: dict[tuple[Column, int], int] = {}
        for number, (column, size) in enumerate(loads):
            if number in free:
                for item, count in column.counts:
                    most[self.room.items[item].piece] += count * size
            else:
                fixed[column, size] = fixed.get((column, size), 0) + 1
        try:
            fresh = all_columns(self.room, LISTED, most)
        except TooManyColumnsError:
            self.freed = max(FEWEST, self.freed - 1)
            return None
        columns = list(dict.fromkeys([*(one.column for one in plan), *fresh]))
        watch.count(TRY_S * len(columns))
        model = build(self.room, columns)
        rows: dict[tuple[Column, int], dict[int, int]] = {}
        for variable, (number, size, run) in model.loads.items():
            if (columns[number], size) in fixed:
                rows.setdefault((columns[number], size), {})[variable] = run
        for key, row in rows.items():
            model.program.row(row, fixed[key], None)
        for earlier, value in self.held.items():
            model.program.row(model.aims[earlier], None, value)
        now = {(one.column, size): one.loads.count(size) for one in plan for size in one.loads}
        hint = hinted(model, columns, now)
        answer = model.program.solve(model.aims[self.aim], watch.for_part(2.0), self.seed, hint=hint)
        if answer.value is None:
            return None
        return chosen_of(self.room, model, columns, answer.values)
