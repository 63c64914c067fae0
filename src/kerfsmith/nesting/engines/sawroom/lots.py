"""Lots: the bars of one load cut at once, or all bars cut by one pattern where patterns have a price.

A lot of m bars gives m times what one bar gives. So the number of a piece that one bar of each lot holds,
added up over all lots of m bars, is a whole number n_m, and the sum of m n_m is the number of pieces wanted.
A linear program takes parts of lots and would have 21 pieces from five lots of four and a quarter of one;
the rows here forbid that: mixed-integer rounding of that equation (Nemhauser and Wolsey 1988).
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import gcd

Key = tuple[str, object]
"""A row: its rule, and which of the rule's rows."""


@dataclass(frozen=True, slots=True)
class LotRow:
    """What a lot counts in a row, by its size: for each of a piece on one of its bars (``kind`` "piece"), for
    being of one kind of bar ("bar"), or whatever it is ("any"). ``place``: which piece or bar. Sizes that
    aren't given count nothing."""

    kind: str
    place: int
    weights: tuple[tuple[int, int], ...]

    @property
    def key(self) -> Key:
        """The row's key."""
        return "lots", self


@dataclass(slots=True)
class Lots:
    """The rows there are, by what they look at."""

    known: dict[Key, int] = field(default_factory=dict)
    by: dict[tuple[str, int, int], list[tuple[Key, int]]] = field(default_factory=lambda: defaultdict(list))

    def add(self, row: LotRow, least: int | None) -> None:
        """One more row; ``least``: what every plan keeps, None where that isn't known."""
        if least is not None:
            self.known[row.key] = least
        for size, weight in row.weights:
            self.by[row.kind, row.place, size].append((row.key, weight))

    def entries(self, bar: int, size: int, held: Iterable[tuple[int, int]]) -> dict[Key, int]:
        """What a lot of this size counts in each row: ``held`` are the pieces on one of its bars."""
        found: dict[Key, int] = dict(self.by.get(("bar", bar, size), ()))
        found.update(self.by.get(("any", 0, size), ()))
        for place, count in held:
            for key, weight in self.by.get(("piece", place, size), ()):
                found[key] = found.get(key, 0) + weight * count
        return found

    def entry(self, row: LotRow, bar: int, size: int, held: Iterable[tuple[int, int]]) -> int:
        """What a lot of this size counts in one row."""
        weight = dict(row.weights).get(size, 0)
        if row.kind == "any":
            return weight
        if row.kind == "bar":
            return weight if row.place == bar else 0
        return weight * sum(count for place, count in held if place == row.place)

    def worth(self, prices: Mapping[Key, int]) -> dict[tuple[str, int, int], int]:
        """What a piece on one bar of a lot, or a kind of bar, is worth by the lot's size at these prices."""
        return {
            what: worth
            for what, rows in self.by.items()
            if (worth := sum(prices.get(key, 0) * weight for key, weight in rows))
        }


def rounded_rows(
    wanted: int, numbers: Mapping[int, float], place: int
) -> Iterator[tuple[float, LotRow, int]]:
    """Rows of one piece that ``numbers`` (of it on one bar of each lot, by the lot's size) don't keep: by how
    much they miss it, the row, and its least."""
    sizes = sorted(numbers)
    seen: set[tuple[tuple[tuple[int, int], ...], int]] = set()
    for modulus in range(2, max(sizes) + 1):
        for times in range(1, modulus):
            if gcd(times, modulus) > 1:
                continue
            weights, least = _rounded(wanted, sizes, modulus, times)
            if least == 0 or (weights, least) in seen:
                continue
            seen.add((weights, least))
            have = sum(weight * numbers[size] for size, weight in weights)
            if have < least * (1 - 1e-3):
                yield 1 - have / least, LotRow("piece", place, weights), least


def _rounded(
    wanted: int, sizes: Sequence[int], modulus: int, times: int
) -> tuple[tuple[tuple[int, int], ...], int]:
    """The equation times a fraction, rounded: every size's weight and the least of their sum."""
    part = times * wanted % modulus
    if part == 0:
        return (), 0
    weights = {}
    for size in sizes:
        rest = times * (size or 1) % modulus
        weights[size] = rest * (modulus - part) if rest <= part else part * (modulus - rest)
    least = part * (modulus - part)
    unit = gcd(least, *weights.values())
    return tuple((size, weight // unit) for size, weight in weights.items() if weight), least // unit
