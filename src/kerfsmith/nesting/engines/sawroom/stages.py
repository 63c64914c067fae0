"""Aim by aim over columns found as they are needed, each aim proven by listing what could still do better."""

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from random import Random

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.mip import Answer
from kerfsmith.nesting.engines.sawroom.answer import RoomAnswer
from kerfsmith.nesting.engines.sawroom.columns import Column, Room
from kerfsmith.nesting.engines.sawroom.counting import Counting, Limits
from kerfsmith.nesting.engines.sawroom.covering import cover
from kerfsmith.nesting.engines.sawroom.diving import Dive
from kerfsmith.nesting.engines.sawroom.filling import Loads
from kerfsmith.nesting.engines.sawroom.generation import Generation
from kerfsmith.nesting.engines.sawroom.greedy import columns_for, fillings
from kerfsmith.nesting.engines.sawroom.listed import solve_listed
from kerfsmith.nesting.engines.sawroom.listing import TooManyColumnsError, all_columns, columns_within
from kerfsmith.nesting.engines.sawroom.lots import Lots
from kerfsmith.nesting.engines.sawroom.mending import Mending
from kerfsmith.nesting.engines.sawroom.plan import Chosen, chosen_from, chosen_of, constant, runs_of
from kerfsmith.nesting.engines.sawroom.relaxing import relaxed
from kerfsmith.nesting.engines.sawroom.rows import ALL_SIZES, build, counted, hinted
from kerfsmith.nesting.engines.sawroom.values import granularity, reachable, value_of
from kerfsmith.nesting.result import AimValue, Result
from kerfsmith.nesting.stop import Watch, Work

Sized = dict[Column, Container[int]]
"""Columns, and the sizes of lots each may be in."""

DIVES = 4
START_SECONDS = 2.0
START_GUARD = 20.0
RUNS_FIRST = 2.0
"""Dives for a plan; seconds of work for the first plan, and of the clock at most; seconds for the best
mixture of columns where patterns have a price."""

FAR = 0.3
"""A plan of bundles so far above its bound is mended first: listing could hardly close the gap."""

WITHIN = 6_000
MOST_WITHIN = 50_000
FEW = 200
"""Most columns listed to close a gap: at first, when nothing else helps, and where one could branch on."""


class Stages:
    """The search through the aims: columns known, plan in hand, aims held so far."""

    def __init__(
        self, room: Room, watch: Watch, seed: int, within: int = WITHIN, known: Result | None = None
    ) -> None:
        """``within``: most columns listed to close a gap. ``known``: a plan, and its first aims held."""
        self.room, self.watch, self.seed, self.within = room, watch, seed, within
        self.known: dict[Aim, AimValue] = {}
        self.pool: dict[Column, None] = {}
        self.plan: tuple[Chosen, ...] | None = None
        self.held: dict[Aim, int] = {}
        self.past: list[tuple[Generation, int]] = []
        if known is not None:
            self._take_up(known)

    def solve(self) -> RoomAnswer:
        """Through all aims."""
        if self.plan is None:
            self._start()
        bounds: list[int | None] = []
        proven = True
        for number, aim in enumerate(self.room.problem.aims):
            after = len(self.room.problem.aims) - number - 1
            share = 1.0 if after == 0 else 0.7 if number == 0 else 1 / (after + 1)
            bound = self._solve_aim(aim, self.watch.for_share(share))
            if self.plan is None:
                return self._without_plan(bound)
            value = value_of(self.room, self.plan, aim)
            bound = bound if proven else None
            proven = proven and bound is not None and bound >= value
            bounds.append(None if bound is None else min(bound, value) + constant(self.room, aim))
            self.held[aim] = value
        assert self.plan is not None
        return RoomAnswer(runs_of(self.room, self.plan), tuple(bounds), "column generation")

    def _take_up(self, known: Result) -> None:
        """Begin with a known plan, where the room has its columns."""
        plan = chosen_from(self.room, known.runs)
        if plan is not None:
            self.plan = plan
            self.pool |= dict.fromkeys(one.column for one in plan)
            self.known = {reached.aim: reached for reached in known.aims}

    def _start(self) -> None:
        """A first plan, filled bar by bar, whatever time there is."""
        for loads in fillings(self.room, self.seed):
            self.pool |= columns_for(self.room, loads)
            # Filling may have taken all the time there was: the first plan is worth some more.
            clock = self.watch.by_clock
            work = Work(replace(clock, start=clock.now(), seconds=START_GUARD))
            self._improve(self.room.problem.aims[0], self.pool, work.watch(START_SECONDS), loads)
            self.watch.count(work.done)
            if work.cut_short:
                self.watch.was_late()
            if self.watch.is_over:
                break

    def _without_plan(self, bound: int | None) -> RoomAnswer:
        """Prove that there is no plan, or find one after all by listing everything, where that can be
        done."""
        if self._is_refuted():
            return RoomAnswer(None, (bound,), "column generation", refuted=True)
        try:
            most = self.within if self.watch.left < 1.0 else max(self.within, MOST_WITHIN)
            columns = all_columns(self.room, most)
        except TooManyColumnsError:
            return RoomAnswer(None, (bound,), "column generation")
        return solve_listed(self.room, columns, self.watch, self.seed)

    def _is_refuted(self) -> bool:
        """Whether the rows can't be met even by parts of loads: then by no plan."""
        first = Generation(self.room, self.room.problem.aims[0], {}, self.watch, help_only=True)
        first.seed_begun()
        first.to_optimum()
        return first.bound is not None and first.bound > 0

    def _solve_aim(self, aim: Aim, watch: Watch) -> int | None:
        """Improve the plan for one aim; its bound, where there is one."""
        stage = Generation(self.room, aim, self.held, watch)
        stage.seed_begun()
        if aim in self.known:
            stage.add(self.pool)
            stage.to_optimum()
            self._remember(stage, aim)
            proven = self.known[aim].bound
            return None if proven is None else proven - constant(self.room, aim)
        if self.plan is not None and self._bundles:
            # An earlier aim may not have cared which bars lie on a load together.
            self._improve(aim, [one.column for one in self.plan], watch.for_part(2.0), None)
        known = self._by_lengths(aim, watch.for_part(watch.left / 4))
        stage.add(self.pool)
        values = stage.tightened()
        step = granularity(self.room, aim)
        least = max((one for one in (stage.bound, known) if one is not None), default=None)
        bound = None if least is None else reachable(self.room, aim, -(-least // step) * step)
        if not self._is_met(aim, bound):
            self._find(stage, aim, values, watch.for_part(watch.left / 2))
        self.pool |= stage.real_columns()
        if self.plan is not None and bound is not None:
            bound = self._prove(stage, aim, bound, step, watch)
        self._remember(stage, aim)
        return bound

    def _by_lengths(self, aim: Aim, watch: Watch) -> int | None:
        """A bound from lengths alone, for aims that have one; where its plan can be cut it is tried."""
        found = relaxed(self.room, aim, watch, self.seed)
        if found is None:
            return None
        if found.loads is not None:
            self._improve(aim, {column: None for column, _ in found.loads}, watch.for_part(2.0), found.loads)
            self.pool |= {column: None for column, _ in found.loads}
        return found.bound

    def _find(self, stage: Generation, aim: Aim, values: Sequence[float] | None, watch: Watch) -> None:
        """Plans by dives, by covering and trimming, and by the best mixture of all columns known."""
        tried: list[Loads] = []
        if values is not None and not stage.needs_help:
            tried.append(self._dive(stage, aim, values, watch.for_part(watch.left / 2)) or {})
        self.pool |= stage.real_columns()
        if stage.knows_runs:
            watch = watch.for_part(RUNS_FIRST)
        covering = watch.for_part(watch.left / 3)
        tried.append(cover(self.room, self.pool, aim, self.held, covering, self.seed) or {})
        tried = sorted((loads for loads in tried if loads), key=lambda loads: self._price(loads, aim))
        for loads in tried:
            # Few columns, tried in no time: a plan in hand, should the large program find none.
            self._improve(aim, {column: None for column, _ in loads}, watch.for_part(2.0), loads)
            self.pool |= {column: None for column, _ in loads}
        self._improve(aim, self.pool, watch, tried[0] if tried else None)

    def _prove(self, stage: Generation, aim: Aim, bound: int, step: int, watch: Watch) -> int:
        """Close the gap: by listing columns, by branching on numbers of bars, and where neither does by
        mending the plan and listing more; the bound."""
        worth = partial(value_of, self.room, aim=aim)
        within = self.within
        far = self.plan is not None and worth(self.plan) - bound > FAR * abs(worth(self.plan))
        if far and self._bundles:
            self._mend(aim, bound, watch.for_part(watch.left / 3))
        while self.plan is not None and not self._is_met(aim, bound) and not watch.is_over:
            before = worth(self.plan), bound
            if not stage.knows_runs:
                bound = self._closed(stage, aim, bound, step, watch.for_part(watch.left / 4))
            if not self._is_met(aim, bound):
                share = 0.7 if stage.knows_runs else 0.5
                bound = self._counted(stage, aim, bound, step, watch.for_part(share * watch.left))
            if not self._is_met(aim, bound):
                self._mend(aim, bound, watch.for_part(watch.left / 3))
            if (worth(self.plan), bound) == before and self.within >= MOST_WITHIN:
                break
            self.within *= 2
        self.within = within
        return bound

    @property
    def _bundles(self) -> bool:
        """Whether it counts how many bars lie on a load together."""
        return self.room.time_matters and self.room.problem.bundle_most > 1

    def _mend(self, aim: Aim, bound: int, watch: Watch) -> None:
        """A better plan by freeing some of its loads at a time."""
        assert self.plan is not None
        mending = Mending(self.room, aim, self.held, partial(value_of, self.room, aim=aim), self.seed)
        self.plan = mending.mend(self.plan, bound, watch)
        self.pool |= dict.fromkeys(one.column for one in self.plan)

    def _closed(self, stage: Generation, aim: Aim, bound: int, step: int, watch: Watch) -> int:
        """Close the gap as long as that makes the plan better; the bound then."""
        while self.plan is not None and not self._is_met(aim, bound) and not watch.is_over:
            before = value_of(self.room, self.plan, aim)
            bound = self._close(stage, aim, bound, step, watch)
            if value_of(self.room, self.plan, aim) == before:
                break
        return bound

    def _counted(self, stage: Generation, aim: Aim, bound: int, step: int, watch: Watch) -> int:
        """The bound after branching on the numbers of bars."""

        def rounded(value: int) -> int:
            return reachable(self.room, aim, -(-value // step) * step)

        def best() -> int:
            assert self.plan is not None
            return value_of(self.room, self.plan, aim)

        def close(limits: Limits, least: int, must: bool) -> int | None:
            part = watch.for_part(watch.left / 4)
            within = self.within
            self.within = within if must else FEW
            closed = self._close(stage, aim, least, step, part, limits, whole=not must)
            self.within = within
            return closed if must or closed > least or self._is_met(aim, closed) else None

        return min(best(), Counting(stage, best, rounded, close).raised(bound, watch))

    def _dive(self, stage: Generation, aim: Aim, values: Sequence[float], watch: Watch) -> Loads | None:
        """The best of a few dives, each leaning another way."""
        best: Loads | None = None
        for number in range(DIVES):
            dive = Dive(stage, Random(self.seed + number), 0.0 if number == 0 else 0.5)
            loads = dive.run(values)
            if loads is not None and (best is None or self._price(loads, aim) < self._price(best, aim)):
                best = loads
            if watch.is_over:
                break
        return best

    def _price(self, loads: Mapping[tuple[Column, int], int], aim: Aim) -> int:
        total = 0
        for (column, bars), times in loads.items():
            kept = min(0, self.room.price_of_keeping(column, aim)) if self.room.may_keep(column) else 0
            total += times * (self.room.price(column, bars, aim) + bars * kept)
        return total

    def _is_met(self, aim: Aim, bound: int | None) -> bool:
        return self.plan is not None and bound is not None and value_of(self.room, self.plan, aim) <= bound

    def _remember(self, stage: Generation, aim: Aim) -> None:
        """Keep what this aim says of columns: later aims may not make it worse."""
        if self.plan is not None and stage.prices is not None:
            value = value_of(self.room, self.plan, aim)
            self.past.append((stage, value * stage.prices.scale - stage.scaled_bound))

    def _close(
        self,
        stage: Generation,
        aim: Aim,
        bound: int,
        step: int,
        watch: Watch,
        limits: Limits | None = None,
        whole: bool = False,
    ) -> int:
        """List the columns that a better plan could use, and find that plan or that there is none.

        ``limits``: the numbers of bars the plan is to keep to, those of the stage's own bound.

        Where there are too many, list those nearest the bound, unless ``whole``: a plan that uses any other
        is further from it than all of these."""
        assert self.plan is not None
        assert stage.prices is not None
        scale = stage.prices.scale
        value = value_of(self.room, self.plan, aim)
        gap = (value - step) * scale - stage.scaled_bound
        listed, reach = self._columns_within(stage, gap, watch, whole_first=limits is not None)
        if listed is None or (whole and reach < gap):
            return bound
        columns = list(listed)
        sizes = list(listed.values())
        answer = self._improve(aim, columns, watch, None, value - step, limits, sizes, stage.rows.lots)
        beyond = value if reach >= gap else -(-(stage.scaled_bound + reach) // scale)
        if answer.ended != "infeasible":
            beyond = min(beyond, answer.bound if answer.bound is not None else bound)
        beyond = reachable(self.room, aim, -(-beyond // step) * step)
        return max(bound, min(beyond, value_of(self.room, self.plan, aim)))

    def _columns_within(
        self, stage: Generation, gap: int, watch: Watch, whole_first: bool
    ) -> tuple[Sized | None, int]:
        """Columns within the gap, else within as large a part of it as gives few enough; and that part."""
        limits = [(stage, gap), *self.past]
        for earlier, most in reversed(self.past):
            listed = self._listed(earlier, most, watch.for_part(watch.left / 8))
            if listed is not None:
                return self._passing(listed, limits), gap
        best: Sized | None = None
        reach = -1
        if whole_first:
            listed = self._listed(stage, gap, watch.for_part(watch.left / 2))
            if listed is not None:
                return self._passing(listed, [(stage, gap), *self.past]), gap
        for parts in (1024, 256, 64, 16, 4, 2, 1):
            listed = self._listed(stage, gap // parts, watch.for_part(watch.left / 3))
            if listed is None:
                break
            reach = gap // parts
            best = self._passing(listed, [(stage, reach), *self.past])
            if len(listed) > self.within // 2:
                break
        return best, reach

    def _listed(self, stage: Generation, gap: int, watch: Watch) -> dict[Column, None] | None:
        if stage.prices is None:
            return None
        try:
            listed = columns_within(stage.pricer, stage.prices, gap, self.within, watch)
        except TooManyColumnsError:
            return None
        # What cuts a bar as the former plan said is worth more than the listing knows.
        return listed | dict.fromkeys(stage.former)

    def _passing(self, listed: Iterable[Column], stages: Sequence[tuple[Generation, int]]) -> Sized:
        """The columns that a plan within these gaps may use, with the sizes of lots they may be in."""
        found: Sized = {}
        for column in listed:
            sizes: frozenset[int] | None = None
            for stage, gap in stages:
                if stage.prices is not None:
                    within = stage.sizes_within(column, stage.prices, gap)
                    sizes = within if sizes is None else sizes & within
            if sizes is None or sizes:
                found[column] = ALL_SIZES if sizes is None else sizes
        return found

    def _improve(
        self,
        aim: Aim,
        columns: Iterable[Column],
        watch: Watch,
        hint: Mapping[tuple[Column, int], int] | None,
        below: int | None = None,
        limits: Limits | None = None,
        sizes: Sequence[Container[int]] | None = None,
        lots: Lots | None = None,
    ) -> Answer:
        """The best plan over these columns, taken where it is better than the one in hand."""
        listed = list(columns)
        model = build(self.room, listed, sizes=sizes, lots=lots)
        for earlier, value in self.held.items():
            model.program.row(model.aims[earlier], None, value)
        if below is not None:
            model.program.row(model.aims[aim], None, below)
        for key, (least, most) in (limits or {}).items():
            terms = counted(model, self.room, listed, key)
            if terms is not None:
                model.program.row(terms, least, most)
        if hint is None and self.plan is not None and below is None:
            hint = {(one.column, size): one.loads.count(size) for one in self.plan for size in one.loads}
        answer = model.program.solve(
            model.aims[aim], watch, self.seed, hint=hinted(model, listed, hint or {})
        )
        if answer.value is not None and (
            self.plan is None or answer.value < value_of(self.room, self.plan, aim)
        ):
            self.plan = tuple(chosen_of(self.room, model, listed, answer.values))
            watch.tell(answer.value, answer.bound or 0, aim.value)
        return answer
