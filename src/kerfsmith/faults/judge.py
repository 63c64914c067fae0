"""Likely causes in order: what is usual, what this shop found before, and what this cut's numbers say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kerfsmith.faults.circumstances import Circumstances
from kerfsmith.faults.clue import Clue
from kerfsmith.faults.clues import all_clues
from kerfsmith.faults.table import Cause, FaultTable, Symptom, Usual

TABLE_COUNTS_AS = 8.0
"""Cases that the table's order is worth beside the shop's own record: house rule."""


@dataclass(frozen=True, slots=True)
class LikelyCause:
    """A cause with what speaks for and against it.

    ``share`` is how likely it is beside the others (they add up to 1): rough, since the weights are the
    house's. ``found_before`` counts how often this shop found it behind the symptom.
    """

    cause: Cause
    usual: Usual
    share: float
    clues: tuple[Clue, ...]
    found_before: int


def likely_causes(
    symptom: Symptom,
    case: Circumstances,
    table: FaultTable,
    found: Mapping[str, int] | None = None,
) -> tuple[LikelyCause, ...]:
    """Causes of a symptom, likeliest first; ``found`` counts the causes this shop found behind it before.

    A cause starts with odds of 1 / rank (house rule: the table has the order, nobody the frequencies), mixed
    with the shop's record as a Dirichlet prior worth TABLE_COUNTS_AS cases; each clue multiplies its odds.
    A cause found before that the table doesn't name is judged too, ranked last.
    """
    found = found or {}
    rows = _candidates(symptom, table, found)
    clues: dict[str, list[Clue]] = {row.cause: [] for row in rows}
    for clue in all_clues(case):
        if clue.cause in clues:
            clues[clue.cause].append(clue)
    odds = {
        row.cause: start * _product(clues[row.cause])
        for row, start in zip(rows, _start(rows, found), strict=True)
    }
    total = sum(odds.values())
    ordered = sorted(rows, key=lambda row: (-odds[row.cause], row.rank))
    return tuple(
        LikelyCause(
            table.cause(row.cause),
            row,
            odds[row.cause] / total,
            tuple(sorted(clues[row.cause], key=lambda clue: -abs(clue.weight))),
            found.get(row.cause, 0),
        )
        for row in ordered
    )


def _candidates(symptom: Symptom, table: FaultTable, found: Mapping[str, int]) -> Sequence[Usual]:
    rows = list(table.usual[symptom])
    named = {row.cause for row in rows}
    last = rows[-1]
    rows += [
        Usual(cause, len(rows) + 1, "shop", "found here before", last.confidence)
        for cause, count in sorted(found.items())
        if count > 0 and cause not in named and cause in table.causes
    ]
    return rows


def _start(rows: Sequence[Usual], found: Mapping[str, int]) -> list[float]:
    whole = sum(1 / row.rank for row in rows)
    cases = sum(found.get(row.cause, 0) for row in rows)
    return [
        (TABLE_COUNTS_AS / row.rank / whole + found.get(row.cause, 0)) / (TABLE_COUNTS_AS + cases)
        for row in rows
    ]


def _product(clues: Sequence[Clue]) -> float:
    odds = 1.0
    for clue in clues:
        odds *= clue.weight.odds
    return odds
