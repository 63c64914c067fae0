"""The linear program over the columns known so far, and its prices in whole numbers.

Its rows are the rules between bars. Prices are rounded to whole numbers and given the sign their row asks
for, so that a bound reckoned from them holds whatever the solver's tolerance (the idea of Held, Cook and
Sewell 2012 for colouring, here for bars)."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import highspy

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.limits import (
    Key,
    Rows,
    Variant,
    entries,
    other_variables,
    price,
)

SCALE_BITS = 50


@dataclass(frozen=True, slots=True)
class Prices:
    """What one more unit on each row is worth, times ``scale``, and what each aim weighs. Absent is 0."""

    scale: int
    rows: Mapping[Key, int]
    weights: Mapping[Aim, int]

    def of(self, kind: str, name: object) -> int:
        """The price of one row."""
        return self.rows.get((kind, name), 0)


@dataclass(slots=True)
class Master:
    """The linear program for one aim, its earlier aims held.

    With ``help_only`` loads cost nothing: what remains is how much help the rows need, whatever is cut.
    """

    room: Room
    aim: Aim
    rows: Rows
    variants: list[Variant] = field(default_factory=list)
    known: set[Variant] = field(default_factory=set)
    _lp: Any = None
    _place: dict[Key, int] = field(default_factory=dict)
    _others: list[tuple[int, int, dict[Key, int]]] = field(default_factory=list)
    _helps: int = 0
    dearest: int = 1
    help_only: bool = False

    def __post_init__(self) -> None:
        """Sets up rows, the variables that are no columns, and for each row that asks for something a
        help."""
        self._lp = highspy.Highs()  # type: ignore[no-untyped-call]  # the library's own class has no types
        self._lp.silent()
        infinite = highspy.kHighsInf
        for number, (key, row) in enumerate(self.rows.limits.items()):
            self._place[key] = number
            self._lp.addRow(
                -infinite if row.least is None else float(row.least),
                infinite if row.most is None else float(row.most), 0, [], [],
            )  # fmt: skip
        asking = [key for key, row in self.rows.limits.items() if row.least is not None and row.least > 0]
        for key in asking:
            self._lp.addCol(0.0, 0.0, infinite, 1, [self._place[key]], [1.0])
        self._helps = len(asking)
        self._others = other_variables(self.room, self.aim, self.rows)
        for cost, upper, terms in self._others:
            self._add(cost, float(upper), terms)

    def _add(self, cost: float, upper: float, terms: Mapping[Key, int]) -> None:
        places = [self._place[key] for key in terms]
        self._lp.addCol(cost, 0.0, upper, len(places), places, [float(v) for v in terms.values()])

    def add(self, variants: Iterable[Variant]) -> int:
        """Adds what isn't known yet; how many that was."""
        added = 0
        for variant in variants:
            if variant not in self.known:
                self.known.add(variant)
                self.variants.append(variant)
                cost = self._cost(variant)
                self.dearest = max(self.dearest, abs(cost))
                self._add(float(cost), highspy.kHighsInf, entries(self.room, variant, self.rows))
                added += 1
        return added

    def _cost(self, variant: Variant) -> int:
        return 0 if self.help_only else price(self.room, variant, self.aim)

    def fix(self, number: int, least: int) -> None:
        """Have a variant (by its place) at least so often."""
        self._lp.changeColBounds(self._helps + len(self._others) + number, float(least), highspy.kHighsInf)

    def solve(self, help_price: float) -> tuple[list[float], float] | None:
        """Values of the variants and how much help is still needed; None where the solver failed."""
        for number in range(self._helps):
            self._lp.changeColCost(number, help_price)
        self._lp.run()
        if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        values = list(self._lp.getSolution().col_value)
        return values[self._helps + len(self._others) :], sum(values[: self._helps])

    def prices(self) -> Prices:
        """The last solution's prices in whole numbers, each with the sign its row asks for."""
        duals = list(self._lp.getSolution().row_dual)
        largest = max([abs(dual) for dual in duals] + [float(self.dearest), 1.0])
        bits = SCALE_BITS - int(largest).bit_length()
        scale = 1 << max(0, bits)
        rows: dict[Key, int] = {}
        weights = {} if self.help_only else {self.aim: scale}
        for (key, row), dual in zip(self.rows.limits.items(), duals, strict=True):
            whole = round(dual * scale)
            if row.least is None:
                whole = min(0, whole)
            elif row.most is None:
                whole = max(0, whole)
            if self.help_only and row.least:
                # A unit of help costs 1: no row's price is above that.
                whole = min(whole, scale)
            if whole:
                rows[key] = whole
            if key[0] == "aim" and isinstance(key[1], Aim):
                weights[key[1]] = -whole
        return Prices(scale, rows, weights)

    def reduced(self, variant: Variant, prices: Prices) -> int:
        """A variant's price less what its entries are worth, times the scale."""
        counted = entries(self.room, variant, self.rows)
        worth = sum(prices.rows.get(key, 0) * value for key, value in counted.items())
        return prices.scale * self._cost(variant) - worth

    def bound(self, prices: Prices, cheapest: Mapping[tuple[int, int], int]) -> int:
        """What any plan adds up to at least, times the scale.

        ``cheapest[bar, bars]`` is the least reduced price of any load of that many bars; below zero it counts
        as often as there could be such loads."""
        total = 0
        for key, row in self.rows.limits.items():
            worth = prices.rows.get(key, 0)
            limit = row.least if worth > 0 else row.most
            total += worth * (limit or 0)
        for cost, upper, terms in self._others:
            reduced = prices.scale * cost - sum(prices.rows.get(k, 0) * v for k, v in terms.items())
            total += min(0, reduced) * upper
        pieces = sum(piece.count for piece in self.room.problem.pieces)
        for (bar, bars), reduced in cheapest.items():
            count = self.room.problem.bars[bar].count
            most = pieces if count is None else min(pieces, count)
            total += min(0, reduced) * (most // bars)
        return total
