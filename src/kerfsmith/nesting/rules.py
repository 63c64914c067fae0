"""The saw room's rules one by one: which a problem has, the problem without one, and what each costs or
saves."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import Problem
from kerfsmith.nesting.result import Result


class Rule(StrEnum):
    """A rule that narrows a plan, or (the last six) a leave that widens it."""

    ONE_HEAT = "one heat for an order"
    HEATS = "approved heats"
    DUE = "due times"
    PROMISES = "promised bars"
    FORMER = "bars kept of the former plan"
    FEW_REMNANTS = "few new remnants"
    GRIP = "least grip"
    FACING = "facing cut"
    TURNS = "turning pieces"
    OVER_LENGTH = "over-length tolerance"
    SUBSTITUTES = "substitutes"
    GOOD_ENDS = "last piece in the vise"
    BUNDLES = "bundles"
    REMNANTS = "remnants of the rack"


LEAVES = frozenset(
    {Rule.TURNS, Rule.OVER_LENGTH, Rule.SUBSTITUTES, Rule.GOOD_ENDS, Rule.BUNDLES, Rule.REMNANTS}
)
"""What widens a plan: without it the plan can only get dearer."""


def without(problem: Problem, rule: Rule) -> Problem:
    """The problem with one rule or leave taken out; the very same problem where it had none."""
    pieces, bars = problem.pieces, problem.bars
    match rule:
        case Rule.ONE_HEAT:
            return replace(problem, one_heat_orders=frozenset())
        case Rule.HEATS:
            return replace(problem, pieces=tuple(replace(piece, heats=None) for piece in pieces))
        case Rule.DUE:
            return replace(problem, pieces=tuple(replace(piece, due_ms=None) for piece in pieces))
        case Rule.PROMISES:
            return replace(problem, promises=())
        case Rule.FORMER:
            return replace(problem, most_changes=None)
        case Rule.FEW_REMNANTS:
            return replace(problem, leftovers=replace(problem.leftovers, most_new=None))
        case Rule.GRIP:
            return replace(problem, grip_um=0)
        case Rule.FACING:
            return replace(problem, front_trim_um=0)
        case Rule.TURNS:
            return replace(problem, turns=frozenset({Turn.AS_IS}))
        case Rule.OVER_LENGTH:
            return replace(problem, pieces=tuple(replace(piece, over_um=0) for piece in pieces))
        case Rule.SUBSTITUTES:
            first = tuple(replace(piece, materials=piece.materials[:1]) for piece in pieces)
            return replace(problem, pieces=first)
        case Rule.GOOD_ENDS:
            return replace(problem, bars=tuple(replace(bar, end_is_good=False) for bar in bars))
        case Rule.BUNDLES:
            return replace(problem, bundle_most=1)
        case Rule.REMNANTS:
            # What is begun or promised is decided already: it stays.
            promised = {promise.bar for promise in problem.promises}
            kept = tuple(bar for bar in bars if not bar.is_remnant or bar.begun or bar.id in promised)
            return replace(problem, bars=kept)


def rules_of(problem: Problem) -> tuple[Rule, ...]:
    """The rules and leaves a problem has."""
    return tuple(rule for rule in Rule if without(problem, rule) != problem)


@dataclass(frozen=True, slots=True)
class RulePrice:
    """What a rule costs, or a leave saves: each aim's value without it less its value with it.

    ``differences`` is None where one of the two has no plan; ``is_proven`` says whether both plans are the
    best possible. ``bars`` is the difference in bars."""

    rule: Rule
    is_leave: bool
    bars: int | None
    differences: tuple[tuple[Aim, int], ...] | None
    without: Result
    is_proven: bool


def price_of_rules(
    problem: Problem, result: Result, solve_one: Callable[[Problem], Result]
) -> tuple[RulePrice, ...]:
    """What each rule and leave of the problem costs or saves against ``result``, its plan.

    ``solve_one`` solves a problem in whatever time the caller gives it.
    """
    return tuple(_priced(rule, result, solve_one(without(problem, rule))) for rule in rules_of(problem))


def _priced(rule: Rule, result: Result, other: Result) -> RulePrice:
    if result.cost is None or other.cost is None:
        return RulePrice(rule, rule in LEAVES, None, None, other, False)
    differences = tuple(
        (mine.aim, theirs.value - mine.value) for mine, theirs in zip(result.aims, other.aims, strict=True)
    )
    proven = all(aim.is_proven for aim in (*result.aims, *other.aims))
    return RulePrice(rule, rule in LEAVES, other.bars_used - result.bars_used, differences, other, proven)
