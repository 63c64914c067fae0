"""The linear program over the columns known so far, and its prices in whole numbers.

Its rows are the rules between bars. Prices are rounded to whole numbers and given the sign their row asks
for, so that a bound reckoned from them holds whatever the solver's tolerance (the idea of Held, Cook and
Sewell 2012 for colouring, here for bars)."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any

import highspy

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.engines.sawroom.columns import Room
from kerfsmith.nesting.engines.sawroom.limits import (
    OtherVariable,
    RowLimits,
    Rows,
    Variant,
    dearest_load,
    entries,
    lot_of,
    other_variables,
    pattern_prices,
    price,
)
from kerfsmith.nesting.engines.sawroom.lots import Key, LotRow

SCALE_BITS = 50
BRANCHED = ("supply", "kept")
"""Rows whose limits may be narrowed later, so that they may ask for something then."""


@dataclass(frozen=True, slots=True)
class Prices:
    """What one more unit on each row is worth, times ``scale``, and what each aim weighs. Absent is 0."""

    scale: int
    rows: Mapping[Key, int]
    weights: Mapping[Aim, int]
    lots: Mapping[tuple[str, int, int], int] = field(default_factory=dict)

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
    _others: list[OtherVariable] = field(default_factory=list)
    _helps: list[int] = field(default_factory=list)
    _first_other: int = 0
    _columns: list[int] = field(default_factory=list)
    _unit: float = 1.0
    _units: dict[Key, float] = field(default_factory=dict)
    _weights: dict[Key, int] = field(default_factory=dict)
    dearest: int = 1
    help_only: bool = False
    iterations: int = 0
    pattern_prices: dict[Aim, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Sets up rows, the variables that are no columns, and for each row that asks for something a
        help."""
        self.pattern_prices = pattern_prices(self.room)
        self.dearest = 1 if self.help_only else dearest_load(self.room, self.aim)
        self._unit = max(1.0, self.dearest / 1000)
        self._lp = highspy.Highs()
        self._lp.silent()
        infinite = highspy.kHighsInf
        for key in self.rows.limits:
            self._new_row(key)
        asking = [
            key
            for key, row in self.rows.limits.items()
            if row.least or (key[0] in BRANCHED and not self.help_only)
        ]
        for key in asking:
            self._helps.append(self._lp.getNumCol())
            self._lp.addCol(0.0, 0.0, infinite, 1, [self._place[key]], [1.0])
        self._first_other = self._lp.getNumCol()
        self._others = other_variables(self.room, self.aim, self.rows)
        for other in self._others:
            self._add(other.price, float(other.upper), other.terms)

    def _new_row(self, key: Key) -> None:
        row, infinite = self.rows.limits[key], highspy.kHighsInf
        self._place[key] = len(self._place)
        self._weights[key] = self._weight_of_one(key)
        unit = self._units[key] = max(1.0, self._weights[key] / 100)
        self._lp.addRow(
            -infinite if row.least is None else row.least / unit,
            infinite if row.most is None else row.most / unit, 0, [], [],
        )  # fmt: skip

    def add_lots(self, row: LotRow, least: int | None) -> None:
        """A further row, of lots."""
        if row.key in self._place:
            return
        self.rows.limits[row.key] = RowLimits(least, None)
        self.rows.lots.add(row, least)
        self._new_row(row.key)
        place, unit = self._place[row.key], self._units[row.key]
        for variant, number in zip(self.variants, self._columns, strict=True):
            held = ((self.room.items[item].piece, count) for item, count in variant.column.counts)
            value = self.rows.lots.entry(row, variant.column.bar, lot_of(self.room, variant), held)
            if value:
                self._lp.changeCoeff(place, number, value / unit)
        self._helps.append(self._lp.getNumCol())
        self._lp.addCol(0.0, 0.0, highspy.kHighsInf, 1, [place], [1.0])

    def _add(self, cost: float, upper: float, terms: Mapping[Key, float]) -> None:
        places = [self._place[key] for key in terms]
        values = [value / self._units[key] for key, value in terms.items()]
        self._lp.addCol(cost / self._unit, 0.0, upper, len(places), places, values)

    def add(self, variants: Iterable[Variant]) -> int:
        """Adds what isn't known yet; how many that was."""
        added = 0
        for variant in variants:
            if variant not in self.known:
                self.known.add(variant)
                self.variants.append(variant)
                cost = self._cost(variant)
                self._columns.append(self._lp.getNumCol())
                self._add(cost + self._share(variant, self.aim), highspy.kHighsInf, self._entries(variant))
                added += 1
        return added

    def _entries(self, variant: Variant) -> dict[Key, float]:
        """A variant's coefficients, its share of the price of its pattern in the rows of earlier aims with
        them."""
        found: dict[Key, float] = dict(entries(self.room, variant, self.rows))
        for aim in self.rows.aims:
            share = self._share(variant, aim)
            if share:
                found["aim", aim] = found.get(("aim", aim), 0) + share
        return found

    def _share(self, variant: Variant, aim: Aim) -> float:
        """A load's share of the price of its pattern.

        A pattern can be cut on so many bars at most as the pieces wanted say; each takes its part of that."""
        price = 0 if self.help_only or variant.run else self.pattern_prices.get(aim, 0)
        return price * variant.bars / self._uses(variant) if price else 0.0

    def _uses(self, variant: Variant) -> int:
        return max(1, self.room.most_bars(variant.column))

    def _cost(self, variant: Variant) -> int:
        return 0 if self.help_only else price(self.room, variant, self.aim)

    def fix(self, number: int, least: int) -> None:
        """Have a variant (by its place) at least so often."""
        self._lp.changeColBounds(self._columns[number], float(least), highspy.kHighsInf)

    def limit(self, key: Key, least: int | None, most: int | None) -> None:
        """Give a row other limits."""
        row, infinite, unit = self.rows.limits[key], highspy.kHighsInf, self._units[key]
        if (row.least, row.most) != (least, most):
            row.least, row.most = least, most
            self._lp.changeRowBounds(
                self._place[key],
                -infinite if least is None else least / unit,
                infinite if most is None else most / unit,
            )

    def choose_heats(self, chance: Random, whim: float) -> set[tuple[str, str]]:
        """Give each order that must come from one heat the heat it leans to most; the (order, heat) left
        out."""
        first = self._first_other
        values = self._lp.getSolution().col_value[first : first + len(self._others)]
        best: dict[str, tuple[float, str]] = {}
        for other, value in zip(self._others, values, strict=True):
            if other.chooses is not None:
                order, heat = other.chooses
                best[order] = max(best.get(order, (-1.0, "")), (value + whim * chance.random(), heat))
        left_out = set()
        for number, other in enumerate(self._others):
            if other.chooses is not None and other.chooses[1] != best[other.chooses[0]][1]:
                self._lp.changeColBounds(self._first_other + number, 0.0, 0.0)
                left_out.add(other.chooses)
        return left_out

    def free_heats(self) -> None:
        """Take back what `choose_heats` did."""
        for number, other in enumerate(self._others):
            if other.chooses is not None:
                self._lp.changeColBounds(self._first_other + number, 0.0, 1.0)

    def solve(self, help_price: float) -> tuple[list[float], float] | None:
        """Values of the variants and how much help is still needed; None where the solver failed."""
        for number in self._helps:
            self._lp.changeColCost(number, help_price / self._unit)
        self._lp.run()
        self.iterations = max(0, self._lp.getInfo().simplex_iteration_count)
        if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        values = list(self._lp.getSolution().col_value)
        return [values[number] for number in self._columns], sum(values[number] for number in self._helps)

    def prices(self) -> Prices:
        """The last solution's prices in whole numbers, each with the sign its row asks for."""
        raw = list(self._lp.getSolution().row_dual)
        duals = [d * self._unit / self._units[k] for k, d in zip(self.rows.limits, raw, strict=True)]
        largest = float(self.dearest)
        for key, dual in zip(self.rows.limits, duals, strict=True):
            largest = max(largest, abs(dual) * self._weights[key])
        bits = SCALE_BITS - int(largest).bit_length()
        scale = 1 << max(0, bits)
        rows: dict[Key, int] = {}
        weights = {} if self.help_only else {self.aim: scale}
        for (key, row), dual in zip(self.rows.limits.items(), duals, strict=True):
            whole = round(dual * scale)
            if row.least is None:
                whole = min(0, whole)
            if row.most is None:
                whole = max(0, whole)
            if self.help_only and row.least:
                # A unit of help costs 1: no row's price is above that.
                whole = min(whole, scale)
            if whole:
                rows[key] = whole
            if key[0] == "aim" and isinstance(key[1], Aim):
                weights[key[1]] = -whole
        return Prices(scale, rows, weights, self.rows.lots.worth(rows))

    def _weight_of_one(self, key: Key) -> int:
        """How much one load may count in a row at most, roughly: what its price may be multiplied with."""
        kind, name = key
        if kind == "aim" and isinstance(name, Aim):
            return dearest_load(self.room, name)
        if isinstance(name, LotRow):
            return max(weight for _, weight in name.weights)
        return dearest_load(self.room, Aim.SAW_TIME) if kind == "due" else 1

    def reduced(self, variant: Variant, prices: Prices) -> int:
        """A variant's price less what its entries are worth, times the scale."""
        counted = entries(self.room, variant, self.rows)
        worth = sum(prices.rows.get(key, 0) * value for key, value in counted.items())
        reduced = prices.scale * self._cost(variant) - worth
        if variant.run:
            return reduced
        patterns = sum(prices.weights.get(aim, 0) * price for aim, price in self.pattern_prices.items())
        return reduced + (patterns * variant.bars // self._uses(variant) if patterns else 0)

    def bound(self, prices: Prices, cheapest: Mapping[tuple[int, int], int]) -> int:
        """What any plan adds up to at least, times the scale.

        ``cheapest[bar, bars]`` is the least reduced price of any load of that many bars; below zero it counts
        as often as there could be such loads."""
        total = 0
        for key, row in self.rows.limits.items():
            worth = prices.rows.get(key, 0)
            limit = row.least if worth > 0 else row.most
            total += worth * (limit or 0)
        for other in self._others:
            worth = sum(prices.rows.get(key, 0) * value for key, value in other.terms.items())
            total += min(0, prices.scale * other.price - worth) * other.upper
        pieces = sum(piece.count for piece in self.room.problem.pieces)
        for (bar, bars), reduced in cheapest.items():
            count = self.room.problem.bars[bar].count
            most = pieces if count is None else min(pieces, count)
            total += min(0, reduced) * (most // bars)
        return total
