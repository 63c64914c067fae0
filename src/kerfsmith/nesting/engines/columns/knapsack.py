"""The knapsack behind pricing: undominated (length, value) states, best value for its length first.

`grow_states` is plain Python on lists for small problems and compiled by numba for larger ones; both run the
same text. All arithmetic is in whole numbers: see `pricing` for the scale that keeps it inside 64 bits.
Lists of undominated states cut by the ratio bound: Pisinger, "A minimal algorithm for the bounded knapsack
problem" (INFORMS J. Computing 12, 2000); here for several capacities at once.
"""

from typing import Any


def grow_states(
    sizes: Any,
    values: Any,
    copies: Any,
    capacities: Any,
    wanted: Any,
    raised: Any,
    width: Any,
    length: Any,
    value: Any,
    parent: Any,
    item: Any,
    best_of_item: Any,
    best_of_kind: Any,
    current: Any,
    fresh: Any,
    merged: Any,
    newer: Any,
) -> int:
    """Build every undominated state that could still beat what is wanted.

    `sizes`, `values`, `copies`: the items by falling value for size. `capacities`: rising. `wanted[k]`: a
    pattern on kind k counts only when worth more; what is wanted rises `raised` percent of the way to
    the best found. Lists longer than `width` are thinned. `best_of_kind[k]` and `best_of_item[j]`
    receive states (0: none): the best on each kind, and that of most excess worth whose last item is j.
    The other arrays are room to work in. Gives the number of states, negative where lists were thinned,
    0 when out of room.
    """
    kinds = len(capacities)
    room = len(length)
    need = [wanted[k] for k in range(kinds)]
    length[0] = 0
    value[0] = 0
    parent[0] = -1
    item[0] = -1
    current[0] = 0
    n_current = 1
    n_states = 1
    thinned = False
    for j in range(len(sizes)):
        size = sizes[j]
        worth = values[j]
        # cut the list: what cannot beat its need even with the best ratio left goes
        kept = 0
        low = 0
        for a in range(n_current):
            s = current[a]
            at = length[s]
            while low < kinds and capacities[low] < at:
                low += 1
            for k in range(low, kinds):
                if value[s] + (capacities[k] - at) * worth // size > need[k]:
                    current[kept] = s
                    kept += 1
                    break
        n_current = kept
        if n_current == 0:
            break
        if n_current > width:
            # thin the list evenly, the longest state last: what is found still holds, its being best does not
            kept = 0
            for a in range(width):
                current[kept] = current[(a + 1) * n_current // width - 1]
                kept += 1
            n_current = kept
            thinned = True
        n_fresh = n_current
        for a in range(n_current):
            fresh[a] = current[a]
        best_excess = 0
        for _ in range(copies[j]):
            n_merged = 0
            n_newer = 0
            a = 0
            top = -1
            low = 0
            for b in range(n_fresh):
                s = fresh[b]
                at = length[s] + size
                while low < kinds and capacities[low] < at:
                    low += 1
                if low == kinds:
                    break
                gain = value[s] + worth
                while a < n_current and length[current[a]] <= at:
                    c = current[a]
                    a += 1
                    if value[c] > top:
                        top = value[c]
                        merged[n_merged] = c
                        n_merged += 1
                if gain <= top:
                    continue
                useful = False
                for k in range(low, kinds):
                    if gain + (capacities[k] - at) * worth // size > need[k]:
                        useful = True
                        break
                if not useful:
                    continue
                if n_states == room:
                    return 0
                top = gain
                length[n_states] = at
                value[n_states] = gain
                parent[n_states] = s
                item[n_states] = j
                if n_merged > 0 and length[merged[n_merged - 1]] == at:
                    n_merged -= 1
                merged[n_merged] = n_states
                n_merged += 1
                newer[n_newer] = n_states
                n_newer += 1
                for k in range(low, kinds):
                    if gain > wanted[k]:
                        if gain - wanted[k] > best_excess:
                            best_excess = gain - wanted[k]
                            best_of_item[j] = n_states
                        t = best_of_kind[k]
                        if t == 0 or gain > value[t]:
                            best_of_kind[k] = n_states
                            goal = wanted[k] + (gain - wanted[k]) // 100 * raised
                            if goal > need[k]:
                                need[k] = goal
                n_states += 1
            if n_newer == 0:
                break
            while a < n_current:
                c = current[a]
                a += 1
                if value[c] > top:
                    top = value[c]
                    merged[n_merged] = c
                    n_merged += 1
            n_current = n_merged
            for b in range(n_merged):
                current[b] = merged[b]
            n_fresh = n_newer
            for b in range(n_newer):
                fresh[b] = newer[b]
    return -n_states if thinned else n_states


def trace_states(states: Any, parent: Any, item: Any, out: Any) -> None:
    """Write the items of each state, last first, each as item + 1, with 0 at the end of a state."""
    at = 0
    for s in states:
        while parent[s] >= 0:
            out[at] = item[s] + 1
            at += 1
            s = parent[s]
        out[at] = 0
        at += 1
