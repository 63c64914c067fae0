"""Augmented instances without and with the integer round-up property; the construction proves the optima.

After Delorme, Iori, Martello 2016, section 7.1: a core of 15 pieces that fill three bars in the LP but
need four (Caprara and others 2015, by edge colouring), to which triplets that fill a bar are added one
by one so that the property stays; capacity and sizes are doubled where no triplet can be had. Drawn anew
with rules of our own where the paper leaves freedom.

Core: the edges of the Petersen graph, an edge as long as the numbers of its two vertices together, the
bar as long as all ten numbers together. A perfect matching fills a bar, the six matchings at one half
each cover every edge once, and the graph has no three disjoint ones; that no other sets of pieces fill
three bars is checked by search.

Triplet (a, b, rest), a + b + rest = bar: neither b nor b + rest is a sum of pieces already there, so in
a packing of full bars a stands with b; what fills their bar up is as long as rest and can be put in
rest's place elsewhere. So full bars for all mean full bars for the pieces before, and the core has none.
"""

from random import Random

from benchmarks.nesting.families import Case, one_kind

PETERSEN = [(i, (i + 1) % 5) for i in range(5)]
PETERSEN += [(i, i + 5) for i in range(5)]
PETERSEN += [(5 + i, 5 + (i + 2) % 5) for i in range(5)]

SHARES = (6, 8, 10, 12, 16, 20, 28, 40)
"""Least piece of a triplet as a share of the bar, the hardest that the capacity allows taken."""

VERTICES = (
    (13, 7, 45, 44, 26, 10, 32, 25, 29, 47),
    (45, 49, 8, 40, 12, 20, 19, 37, 25, 39),
    (39, 33, 5, 32, 21, 51, 4, 34, 46, 18),
    (10, 46, 20, 36, 13, 16, 28, 29, 38, 21),
    (57, 16, 36, 38, 17, 25, 29, 19, 14, 26),
    (15, 36, 13, 18, 27, 19, 39, 32, 12, 14),
    (13, 32, 41, 35, 1, 36, 31, 21, 26, 42),
    (46, 53, 30, 22, 37, 8, 19, 39, 11, 15),
    (48, 9, 24, 41, 33, 61, 52, 1, 13, 22),
    (41, 4, 14, 18, 35, 32, 30, 44, 8, 46),
)
"""Numbers of the vertices, found by drawing and testing some hundred thousand tens of numbers."""

CLASSES = {201: 2500, 402: 10_000, 600: 20_000, 801: 40_000, 1002: 80_000}
"""Pieces without the property (one more with it) and the capacity not to be exceeded."""


def augmented(pieces: int, number: int, seed: int = 2026, *, with_property: bool) -> Case:
    """An instance of `pieces` pieces (one more with the property): full bars are the optimum, or one more."""
    chance = Random(f"augmented/{seed}/{pieces}/{number}")
    grown = None
    for share in SHARES:
        grown = grown or _grow(chance, pieces, share)
    if grown is None:
        raise ValueError(f"no {pieces} pieces within the capacity")
    capacity, sizes, core = grown
    bars = sum(sizes) // capacity
    if not with_property:
        return Case(f"no round-up {pieces}", f"ani_{pieces}_{number}", one_kind(capacity, sizes), bars + 1)
    split = _split(chance, core, capacity)
    return Case(
        f"hidden round-up {pieces + 1}",
        f"ai_{pieces + 1}_{number}",
        one_kind(capacity, split + sizes[15:]),
        bars,
    )


def _core(chance: Random) -> tuple[int, list[int]]:
    """Fifteen pieces whose total is three bars and which do not fill three bars."""
    numbers = list(chance.choice(VERTICES))
    capacity = sum(numbers)
    sizes = [numbers[u] + numbers[v] for u, v in PETERSEN]
    if fill_bars(sizes, capacity):
        raise ValueError("the core must not fill three bars")
    return capacity, sizes


def fill_bars(sizes: list[int], capacity: int) -> bool:
    """True when the pieces can be parted into full bars (search over sets of pieces; for few pieces)."""
    sums = [0]
    for size in sizes:
        sums += [total + size for total in sums]
    full = [m for m, total in enumerate(sums) if total == capacity]

    def part(left: int) -> bool:
        if not left:
            return True
        lowest = left & -left
        return any(part(left & ~m) for m in full if m & lowest and m & left == m)

    return part((1 << len(sizes)) - 1)


def _grow(chance: Random, pieces: int, share: int) -> tuple[int, list[int], list[int]] | None:
    """Capacity, sizes, and the core in the final scale; None where the capacity allowed does not do."""
    capacity, sizes = _core(chance)
    while len(sizes) < pieces:
        reach = 1
        for size in sizes:
            reach |= reach << size & (1 << capacity) - 1
        triplet = _triplet(chance, reach, capacity, share)
        if triplet is not None:
            sizes += triplet
        else:
            capacity *= 2
            sizes = [2 * s for s in sizes]
            if capacity > CLASSES[pieces]:
                return None
    return capacity, sizes, sizes[:15]


def _triplet(chance: Random, reach: int, capacity: int, share: int) -> list[int] | None:
    """A triplet that keeps the property; long ones first, since they leave most lengths unreached."""
    least = max(1, capacity // share)
    holes = [n for n in range(capacity * 11 // 20, least, -1) if not reach >> n & 1]
    for both in holes[:8]:
        partners = [b for b in holes if b <= both - least][:12]
        if partners:
            b = chance.choice(partners)
            return [capacity - both, b, both - b]
    return None


def _split(chance: Random, core: list[int], capacity: int) -> list[int]:
    """The core with one piece cut in two so that it fills three bars."""
    while True:
        i = chance.randrange(15)
        part = chance.randint(1, core[i] - 1)
        split = [*core[:i], *core[i + 1 :], part, core[i] - part]
        if fill_bars(split, capacity):
            return split
