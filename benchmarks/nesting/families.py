"""Seeded instances of the classical families of cutting stock, drawn as their authors describe.

They are drawn anew, not the published files: the same law, other draws.

References
----------
Falkenauer 1996, "A hybrid grouping genetic algorithm for bin packing", J. Heuristics 2.
Scholl, Klein, Juergens 1997, "BISON", Computers & Operations Research 24.
Schwerin, Waescher 1997, "The bin-packing problem: a problem generator and some numerical experiments",
    International Transactions in Operational Research 4.
Waescher, Gau 1996, "Heuristics for the integer one-dimensional cutting stock problem", OR Spektrum 18.
Gau, Waescher 1995, "CUTGEN1: a problem generator for the standard one-dimensional cutting stock problem",
    European Journal of Operational Research 84.
Delorme, Iori, Martello 2016, "Bin packing and cutting stock problems", EJOR 255 (augmented families).
Caprara, Dell'Amico, Diaz-Diaz, Iori, Rizzi 2015, "Friendly bin packing instances without integer round-up
    property", Mathematical Programming 150.
Gschwind, Irnich 2016, "Dual inequalities for stabilized column generation revisited", INFORMS Journal on
    Computing 28.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from kerfsmith.nesting.engines.columns import ColumnsInstance, Item, Kind


@dataclass(frozen=True, slots=True)
class Case:
    """One instance: its family, its name, and its optimum where the construction proves it."""

    family: str
    name: str
    instance: ColumnsInstance
    optimum: int | None = None


def one_kind(capacity: int, sizes: list[int]) -> ColumnsInstance:
    """Bars of one capacity, cost 1, as many as wanted."""
    counted = sorted(Counter(sizes).items(), reverse=True)
    return ColumnsInstance((Kind(capacity),), tuple(Item(s, n) for s, n in counted))


def uniform(chance: Random, number: int) -> Case:
    """Falkenauer 1996, uniform: sizes 20..100 on bars of 150; 120, 250, 500, 1000 pieces."""
    n = (120, 250, 500, 1000)[number % 4]
    sizes = [chance.randint(20, 100) for _ in range(n)]
    return Case("Falkenauer uniform", f"u{n}_{number}", one_kind(150, sizes))


def triplet(chance: Random, number: int) -> Case:
    """Falkenauer 1996, triplets: 380..490, then 250..half the rest, then the rest; every bar of 1000 full."""
    n = (60, 120, 249, 501)[number % 4]
    sizes: list[int] = []
    for _ in range(n // 3):
        first = chance.randint(380, 490)
        second = chance.randint(250, (1000 - first) // 2)
        sizes += [first, second, 1000 - first - second]
    return Case("Falkenauer triplet", f"t{n}_{number}", one_kind(1000, sizes), n // 3)


def scholl_1(chance: Random, number: int) -> Case:
    """Scholl, Klein, Juergens 1997, set 1: 50..500 pieces of 1, 20 or 30 to 100 on bars of 100..150."""
    n = (50, 100, 200, 500)[number % 4]
    capacity = (100, 120, 150)[number // 4 % 3]
    least = (1, 20, 30)[number // 12 % 3]
    sizes = [chance.randint(least, 100) for _ in range(n)]
    return Case("Scholl 1", f"n{n}_c{capacity}_w{least}_{number}", one_kind(capacity, sizes))


def scholl_2(chance: Random, number: int) -> Case:
    """Scholl, Klein, Juergens 1997, set 2: bars of 1000, mean a 3rd, 5th, 7th, 9th, spread 20..90 %."""
    n = (50, 100, 200, 500)[number % 4]
    mean = 1000 / (3, 5, 7, 9)[number // 4 % 4]
    spread = (0.2, 0.5, 0.9)[number // 16 % 3]
    sizes = [chance.randint(round(mean * (1 - spread)), round(mean * (1 + spread))) for _ in range(n)]
    return Case("Scholl 2", f"n{n}_a{round(mean)}_d{spread}_{number}", one_kind(1000, sizes))


def scholl_3(chance: Random, number: int) -> Case:
    """Scholl, Klein, Juergens 1997, set 3: 200 pieces of 20000..35000 on bars of 100000."""
    sizes = [chance.randint(20000, 35000) for _ in range(200)]
    return Case("Scholl 3", f"hard_{number}", one_kind(100_000, sizes))


def schwerin_1(chance: Random, number: int) -> Case:
    """Schwerin and Waescher 1997, set 1: 100 pieces of 150..200 on bars of 1000."""
    sizes = [chance.randint(150, 200) for _ in range(100)]
    return Case("Schwerin 1", f"bpp_{number}", one_kind(1000, sizes))


def schwerin_2(chance: Random, number: int) -> Case:
    """Schwerin and Waescher 1997, set 2: 120 pieces of 150..200 on bars of 1000."""
    sizes = [chance.randint(150, 200) for _ in range(120)]
    return Case("Schwerin 2", f"bpp_{number}", one_kind(1000, sizes))


def waescher_gau(chance: Random, number: int) -> Case:
    """In the manner of Waescher and Gau 1996: bars of 10000, few of each of many sizes, broad spread.

    Their 17 test problems were picked among generated ones for being hard; these are drawn from the same
    generator (Gau and Waescher 1995: sizes uniform on v1..v2 of the bar, demands by cutting a total at
    random).
    """
    kinds = (30, 40, 50, 60)[number % 4]
    low, high = ((0.001, 0.75), (0.001, 0.5), (0.05, 0.35), (0.001, 1.0))[number // 4 % 4]
    sizes = [chance.randint(int(10_000 * low), int(10_000 * high)) or 1 for _ in range(kinds)]
    cuts = [chance.random() for _ in range(kinds)]
    total = kinds * (2 + number % 3)
    pieces = [
        s for s, c in zip(sizes, cuts, strict=True) for _ in range(max(1, round(total * c / sum(cuts))))
    ]
    return Case("Waescher-Gau manner", f"wg_{kinds}_{number}", one_kind(10_000, pieces))


def broad_1000(chance: Random, number: int) -> Case:
    """160..200 pieces of 1..800 on bars of 1000: the make of Schoenfield's 28 hard ones, not picked."""
    n = (160, 180, 200)[number % 3]
    sizes = [chance.randint(1, 800) for _ in range(n)]
    return Case("broad 160-200 on 1000", f"broad{n}_{number}", one_kind(1000, sizes))


def hard_1000(chance: Random, number: int) -> Case:
    """In the manner of Schoenfield's 28 hard ones: broad draws as `broad_1000`, of which first fit, longest
    first, misses the bounds by length of material and by pieces beyond half a bar.
    """
    while True:
        case = broad_1000(chance, number)
        item, kind = case.instance.items, case.instance.kinds[0]
        length = -(-sum(i.size * i.demand for i in item) // kind.capacity)
        long_ones = sum(i.demand for i in item if 2 * i.size > kind.capacity)
        if len(first_fit(case.instance)) > max(length, long_ones):
            return Case("hard 160-200 on 1000", f"hard_{case.name}", case.instance)


def first_fit(instance: ColumnsInstance) -> list[list[int]]:
    """First fit, longest first: the items on each bar (one kind of bar)."""
    capacity = instance.kinds[0].capacity
    bars: list[list[int]] = []
    room: list[int] = []
    for i, item in sorted(enumerate(instance.items), key=lambda pair: -pair[1].size):
        for _ in range(item.demand):
            at = next((b for b, left in enumerate(room) if left >= item.size), None)
            if at is None:
                bars.append([])
                room.append(capacity)
                at = len(bars) - 1
            bars[at].append(i)
            room[at] -= item.size
    return bars


def long_bars(chance: Random, number: int) -> Case:
    """Gschwind and Irnich 2016: 125..500 sizes of 2..10 or 10..40 % and the like on bars of 1.5 million."""
    kinds = (125, 250, 500)[number % 3]
    low, high = ((0.02, 0.1), (0.1, 0.4), (0.2, 0.5), (0.1, 0.3))[number // 3 % 4]
    capacity = 1_500_000
    sizes = [chance.randint(int(capacity * low), int(capacity * high)) for _ in range(kinds)]
    pieces = [s for s in sizes for _ in range(chance.randint(1, 10))]
    return Case("long bars", f"gi_{kinds}_{number}", one_kind(capacity, pieces))


FAMILIES: dict[str, Callable[[Random, int], Case]] = {
    "uniform": uniform,
    "triplet": triplet,
    "scholl_1": scholl_1,
    "scholl_2": scholl_2,
    "scholl_3": scholl_3,
    "schwerin_1": schwerin_1,
    "schwerin_2": schwerin_2,
    "waescher_gau": waescher_gau,
    "broad_1000": broad_1000,
    "hard_1000": hard_1000,
    "long_bars": long_bars,
}


def draw(family: str, number: int, seed: int = 2026) -> Case:
    """Instance `number` of a family; the same for the same seed on every machine."""
    return FAMILIES[family](Random(f"{family}/{seed}/{number}"), number)
