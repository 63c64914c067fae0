"""Groups as a shop has them, each with some of the saw room's rules: how far from the best, and how long it
takes.

    .venv/bin/python -m benchmarks.nesting.shop_rooms [SECONDS] [SEEDS] [CASE] [FIRST]

Each case is drawn from its seed: 15 to 25 rows of 1 to 8 pieces on bars of 6 m and 7.5 m, a kerf of 1.6 mm,
facing 5 mm, a grip of 60 mm, four remnants; the seeds go up from FIRST. Prints for each case the aims
reached, their bounds, and the seconds."""

import sys
from collections.abc import Callable
from dataclasses import replace
from random import Random
from statistics import median
from time import process_time

from kerfsmith.nesting.aims import Aim, Leftovers, Rates, SawTime, WorthStep
from kerfsmith.nesting.check import check
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, Piece, Problem
from kerfsmith.nesting.solve import solve

MONEY = 1_000_000
WORTH = Leftovers(800_000, (WorthStep(800_000, MONEY), WorthStep(2_000_000, 3 * MONEY)))
Change = Callable[[Problem, Random], Problem]


def plain(seed: int) -> Problem:
    """A group with lengths, counts and remnants only; prices at 5 a metre, remnants at 3."""
    chance = Random(seed)
    pieces = tuple(
        Piece(f"P{row}", chance.randrange(180_000, 2_900_000, 500), chance.randint(1, 8))
        for row in range(chance.randint(15, 25))
    )
    bars = [
        BarStock("6 m", 6_000_000, None, 30 * MONEY, heat="H1"),
        BarStock("7.5 m", 7_500_000, 8, 37_500_000, heat="H2"),
    ]
    for number in range(4):
        length = chance.randrange(900_000, 3_500_000, 1000)
        bars.append(BarStock(f"R{number}", length, 1, 3 * length, is_remnant=True, heat="H1"))
    return Problem(1600, 5000, 60_000, tuple(bars), pieces)


def _remnants(problem: Problem, _: Random) -> Problem:
    return replace(problem, leftovers=WORTH, aims=(Aim.NET_MATERIAL, Aim.REMNANTS))


def _orders(problem: Problem, _: Random) -> Problem:
    aims = (Aim.NEW_STOCK, Aim.SCRAP, Aim.REMNANTS)
    return replace(problem, leftovers=replace(WORTH, most_new=3), aims=aims)


def _heats(problem: Problem, _: Random) -> Problem:
    pieces = tuple(replace(piece, order=f"O{n % 4}") for n, piece in enumerate(problem.pieces))
    return replace(problem, pieces=pieces, one_heat_orders=frozenset({"O1", "O2"}))


def _due(problem: Problem, chance: Random) -> Problem:
    day = 8 * 3_600_000
    pieces = tuple(replace(piece, due_ms=chance.choice([None, day, 2 * day])) for piece in problem.pieces)
    return replace(problem, pieces=pieces, saw_time=SawTime(300_000, (90_000,)), aims=(Aim.LATE, Aim.COST))


def _bundles(problem: Problem, _: Random) -> Problem:
    pieces = tuple(replace(piece, count=piece.count * 3) for piece in problem.pieces)
    times = SawTime(300_000, (60_000, 80_000, 100_000, 120_000))
    return replace(problem, pieces=pieces, bundle_most=4, saw_time=times, aims=(Aim.COST, Aim.LOADS))


def _mitres(problem: Problem, chance: Random) -> Problem:
    leans = ((100_000, -100_000), (0, -100_000), (0, 0), (57_735, 57_735))
    pieces = tuple(
        replace(piece, left_um=lean[0], right_um=lean[1])
        for piece in problem.pieces[:12]
        for lean in (leans[chance.randrange(4)],)
    )
    return replace(problem, pieces=pieces, depth_um=100_000, turns=frozenset(Turn))


def _money(problem: Problem, _: Random) -> Problem:
    return replace(
        problem,
        leftovers=WORTH,
        saw_time=SawTime(240_000, (75_000,)),
        rates=Rates(saw_per_second=16_000, per_load=500_000, per_remnant=800_000, per_pattern=400_000),
        aims=(Aim.MONEY,),
    )


CASES: dict[str, Change] = {
    "plain": lambda problem, _: problem,
    "worth of remnants": _remnants,
    "new stock, scrap, few remnants": _orders,
    "one heat for two orders": _heats,
    "due times": _due,
    "bundles of four": _bundles,
    "mitres": _mitres,
    "money": _money,
}


def main(seconds: float, seeds: int, only: str = "", first: int = 0) -> None:
    """Run every case (or those whose name holds ``only``) on each seed."""
    for name, change in CASES.items():
        if only not in name:
            continue
        spent, proven = [], 0
        for seed in range(first, first + seeds):
            problem = change(plain(seed), Random(seed))
            start = process_time()
            result = solve(problem, seconds=seconds, seed=seed, now=process_time)
            spent.append(process_time() - start)
            faults = check(problem, result)
            proven += result.status == "optimal"
            reached = "; ".join(f"{aim.aim} {aim.value} (bound {aim.bound})" for aim in result.aims)
            print(f"  {name} {seed}: {result.status} {spent[-1]:.2f} s; {reached} {faults or ''}", flush=True)
        print(f"{name}: {proven} of {seeds} proven, median {median(spent):.2f} s, worst {max(spent):.2f} s")


if __name__ == "__main__":
    words = [*sys.argv[1:], *("20", "3", "", "0")[len(sys.argv) - 1 :]]
    main(float(words[0]), int(words[1]), words[2], int(words[3]))
