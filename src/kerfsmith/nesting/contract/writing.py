"""From a result to its JSON value. Lengths in millimetres, money in the currency, both exact to what is
stored.
"""

from decimal import Decimal
from typing import Any

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.ends import Turn
from kerfsmith.nesting.problem import Placed, Problem
from kerfsmith.nesting.result import AimValue, Reason, Result, Run

MONEY_AIMS = frozenset({Aim.COST, Aim.NEW_STOCK, Aim.NET_MATERIAL, Aim.MONEY})


def result_json(problem: Problem, result: Result) -> dict[str, Any]:
    """The result as the contract of ``kerfsmith nest`` has it, and after that what else is known.

    ``aims`` are in the currency for money, mm for scrap, seconds for saw time, numbers for what is counted.
    """
    return {
        "status": result.status.value,
        "cost": None if result.cost is None else _thousandths(result.cost, 6),
        "lower_bound": _thousandths(result.lower_bound, 6),
        "bars_used": result.bars_used,
        "seconds": round(result.seconds, 4),
        "patterns": [_pattern(problem, run) for run in result.runs],
        "bound_source": result.bound_source,
        "engine": result.engine,
        "cut_short": result.cut_short,
        "aims": [_aim(reached) for reached in result.aims],
        "reasons": [_reason(reason) for reason in result.reasons],
    }


def _pattern(problem: Problem, run: Run) -> dict[str, Any]:
    written: dict[str, Any] = {
        "bar": run.bar,
        "times": run.times,
        "pieces": [{"id": piece, "count": count} for piece, count in run.counts.items()],
        "remnant_mm": _thousandths(run.remnant_um, 3),
        "remnants_kept": run.kept,
        "cuts": run.cuts,
        "ends_in_vise": run.ends_in_vise,
    }
    if problem.bundle_most > 1:
        written["loads"] = list(run.loads)
    if any(placed.turn is not Turn.AS_IS or placed.over_um for placed in run.placed):
        written["placed"] = [_placed(placed) for placed in run.placed]
    return written


def _placed(placed: Placed) -> dict[str, Any]:
    return {"id": placed.piece, "turn": placed.turn.value, "over_mm": _thousandths(placed.over_um, 3)}


def _aim(reached: AimValue) -> dict[str, Any]:
    return {
        "aim": reached.aim.value,
        "value": _in_unit(reached.aim, reached.value),
        "bound": None if reached.bound is None else _in_unit(reached.aim, reached.bound),
    }


def _in_unit(aim: Aim, value: int) -> float | int:
    if aim in MONEY_AIMS:
        return _thousandths(value, 6)
    return _thousandths(value, 3) if aim in (Aim.SCRAP, Aim.SAW_TIME) else value


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "reason": reason.want.value,
        "piece": reason.piece,
        "count": reason.count,
        "length_mm": _thousandths(reason.length_um, 3),
        "says": reason.says,
    }


def _thousandths(value: int, places: int) -> float:
    """A whole number of the smallest unit as a float of the large one, the nearest there is."""
    return float(Decimal(value).scaleb(-places))
