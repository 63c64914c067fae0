"""Small problems drawn at random over every combination of the saw room's rules, for the engines to agree
on."""

from random import Random

from kerfsmith.nesting.aims import Aim, Leftovers, Rates, SawTime, WorthStep
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import BarStock, FormerBars, Piece, Placed, Problem, Promise

RULES = (
    "kerf", "trim", "grip", "good ends", "remnants", "worth", "few remnants", "mitres", "turns", "bundles",
    "heats", "one heat", "dues", "tolerance", "substitution", "begun", "promises", "former", "money",
    "angle times",
)  # fmt: skip

DEPTH = 4


def small_room(seed: int) -> tuple[Problem, frozenset[str]]:
    """A problem of at most five pieces, and the names of the rules it was given."""
    chance = Random(seed)
    rules = frozenset(rule for rule in RULES if chance.random() < 0.3)
    bars = _bars(chance, rules)
    pieces = _pieces(chance, rules, most=4 if rules & {"dues", "bundles"} else 5)
    bars = _begun(chance, rules, bars, pieces)
    leftovers = Leftovers(
        least_um=chance.choice([1, 4, 8]) if "remnants" in rules else 0,
        worth=(WorthStep(3, 100_000), WorthStep(9, 300_000)) if "worth" in rules else (),
        most_new=chance.randint(0, 2) if "few remnants" in rules else None,
    )
    problem = Problem(
        kerf_um=chance.randint(1, 3) if "kerf" in rules else 0,
        front_trim_um=chance.randint(1, 2) if "trim" in rules else 0,
        grip_um=chance.randint(3, 8) if "grip" in rules else 0,
        bars=bars,
        pieces=pieces,
        depth_um=DEPTH,
        turns=_turns(chance, rules),
        leftovers=leftovers,
        bundle_most=chance.randint(2, 3) if "bundles" in rules else 1,
        saw_time=SawTime(chance.randint(0, 5), (2, 3, 5), chance.randint(0, 2), _slanted(chance, rules)),
        due_clock=SawTime(1, (1,), 4) if "dues" in rules and chance.random() < 0.4 else None,
        rates=Rates(1000, 3000, 1500, 2500, 9000) if "money" in rules else Rates(),
        one_heat_orders=frozenset({"O1"}) if "one heat" in rules else frozenset(),
        promises=_promises(chance, rules, bars, pieces),
        former=_former(chance, rules, bars, pieces),
        most_changes=chance.choice([None, 1, 2]) if "former" in rules else None,
        aims=_aims(chance, rules),
    )
    return problem, rules


def _bars(chance: Random, rules: frozenset[str]) -> tuple[BarStock, ...]:
    return tuple(
        BarStock(
            f"B{number}",
            chance.randint(18, 40),
            chance.choice([None, None, 1, 2, 3]),
            chance.randint(1, 9) * 1000,
            is_remnant=chance.random() < 0.3,
            heat=chance.choice(["H1", "H2", ""]) if rules & {"heats", "one heat"} else "",
            material=chance.choice(["M1", "M2"]) if "substitution" in rules else "",
            end_is_good="good ends" in rules and chance.random() < 0.7,
        )
        for number in range(chance.randint(1, 3))
    )


def _pieces(chance: Random, rules: frozenset[str], most: int) -> tuple[Piece, ...]:
    pieces = []
    left = most
    for number in range(chance.randint(1, 3)):
        count = chance.randint(1, max(1, min(left, 3)))
        left -= count
        materials = chance.choice([("M1",), ("M1", "M2"), ("M2", "M1")])
        mitred = "mitres" in rules and chance.random() < 0.7
        pieces.append(
            Piece(
                f"P{number}",
                chance.randint(8 if mitred else 3, 14),
                count,
                left_um=chance.choice([-3, 0, 2, 4]) if mitred else 0,
                right_um=chance.choice([-4, -2, 0, 3]) if mitred else 0,
                over_um=chance.randint(0, 3) if "tolerance" in rules else 0,
                order=chance.choice(["O1", "O2"]),
                due_ms=chance.randint(6, 36) if "dues" in rules and chance.random() < 0.7 else None,
                heats=frozenset({"H1"}) if "heats" in rules and chance.random() < 0.3 else None,
                materials=materials if "substitution" in rules else ("",),
            )
        )
        if left <= 0:
            break
    return tuple(pieces)


def _turns(chance: Random, rules: frozenset[str]) -> frozenset[Turn]:
    if "turns" not in rules:
        return frozenset({Turn.AS_IS})
    return chance.choice([frozenset(Turn), frozenset({Turn.AS_IS, Turn.HALF_TURN})])


def _slanted(chance: Random, rules: frozenset[str]) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """Cut times of some of the slants pieces have; a slant may even be quicker than square."""
    if not {"mitres", "angle times"} <= rules:
        return ()
    leans = chance.sample([2, 4], chance.randint(1, 2))
    return tuple((lean, (chance.randint(0, 6), chance.randint(1, 9))) for lean in leans)


def _begun(
    chance: Random, rules: frozenset[str], bars: tuple[BarStock, ...], pieces: tuple[Piece, ...]
) -> tuple[BarStock, ...]:
    if "begun" not in rules:
        return bars
    piece = chance.choice(pieces)
    begun = BarStock("BEGUN", 30, 1, 0, heat="H1", material=piece.materials[0], begun=(Placed(piece.id),))
    return (*bars, begun)


def _promises(
    chance: Random, rules: frozenset[str], bars: tuple[BarStock, ...], pieces: tuple[Piece, ...]
) -> tuple[Promise, ...]:
    if "promises" not in rules:
        return ()
    return (Promise(chance.choice(pieces).id, chance.choice(bars).id, 1),)


def _former(
    chance: Random, rules: frozenset[str], bars: tuple[BarStock, ...], pieces: tuple[Piece, ...]
) -> tuple[FormerBars, ...]:
    if "former" not in rules:
        return ()
    bar, piece = chance.choice(bars), chance.choice(pieces)
    return (FormerBars(bar.id, ((piece.id, 1),), 1), FormerBars("GONE", ((piece.id, 1),), 1))


def _aims(chance: Random, rules: frozenset[str]) -> tuple[Aim, ...]:
    aims: list[Aim] = [aim for aim in Aim if aim is not Aim.MONEY]
    chosen = chance.sample(aims, chance.randint(1, 4))
    if "money" in rules:
        chosen.insert(chance.randint(0, len(chosen)), Aim.MONEY)
    if "dues" not in rules:
        chosen = [aim for aim in chosen if aim is not Aim.LATE] or [Aim.COST]
    return tuple(chosen)
