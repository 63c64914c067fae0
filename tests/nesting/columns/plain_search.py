"""A slow honest search for small problems: the first piece left goes on every bar, in every company."""

from functools import cache
from itertools import product

from kerfsmith.nesting.engines.columns import ColumnsInstance, ColumnsResult


def least_cost(instance: ColumnsInstance) -> int | None:
    """The least cost by trying everything (None: cannot be cut)."""
    sizes = [item.size for item in instance.items]
    kinds = instance.kinds
    pieces = sum(item.demand for item in instance.items)

    @cache
    def best(left: tuple[int, ...], stock: tuple[int, ...]) -> int | None:
        first = next((i for i, n in enumerate(left) if n), None)
        if first is None:
            return 0
        found: int | None = None
        for k, kind in enumerate(kinds):
            if not stock[k]:
                continue
            rest_stock = (*stock[:k], stock[k] - 1, *stock[k + 1 :])
            for counts in product(*(range(n + 1) for n in left)):
                if not counts[first]:
                    continue
                if sum(c * s for c, s in zip(counts, sizes, strict=True)) > kind.capacity:
                    continue
                after = best(tuple(n - c for n, c in zip(left, counts, strict=True)), rest_stock)
                if after is not None and (found is None or after + kind.cost < found):
                    found = after + kind.cost
        return found

    return best(
        tuple(item.demand for item in instance.items),
        tuple(pieces if kind.supply is None else min(kind.supply, pieces) for kind in kinds),
    )


def faults(instance: ColumnsInstance, result: ColumnsResult) -> list[str]:
    """What is wrong with a plan: lengths, supplies, demands, cost, bound (empty: nothing)."""
    found = []
    cut = [0] * len(instance.items)
    taken = [0] * len(instance.kinds)
    cost = 0
    for use in result.patterns:
        kind = instance.kinds[use.kind]
        size = sum(instance.items[i].size * n for i, n in use.counts.items())
        if size > kind.capacity:
            found.append(f"pattern of {size} on a bar of {kind.capacity}")
        if use.times <= 0 or any(n <= 0 for n in use.counts.values()) or not use.counts:
            found.append("empty pattern or count")
        taken[use.kind] += use.times
        cost += kind.cost * use.times
        for i, n in use.counts.items():
            cut[i] += n * use.times
    if result.cost is not None and cut != [item.demand for item in instance.items]:
        found.append(f"cut {cut}")
    if any(k.supply is not None and t > k.supply for k, t in zip(instance.kinds, taken, strict=True)):
        found.append(f"taken {taken}")
    if result.cost is not None and cost != result.cost:
        found.append(f"cost {cost} given as {result.cost}")
    if result.cost is not None and result.lower_bound > result.cost:
        found.append("bound above cost")
    return found
