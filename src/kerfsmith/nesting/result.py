"""What a solver hands back: the plan, its bound, and the reasons where there can be no plan."""

from dataclasses import dataclass, replace
from enum import StrEnum

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.problem import Placed
from kerfsmith.units.told import Told


class Status(StrEnum):
    """OPTIMAL and INFEASIBLE are proven. UNFINISHED: time ran out before any plan was found or refuted."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNFINISHED = "unfinished"


@dataclass(frozen=True, slots=True)
class Run:
    """Equal bars cut the same way, one after the other: ``loads`` holds how many bars lie on each load.

    ``placed`` is the order of pieces from the bar's front. ``ends_in_vise``: the last piece is the bar's own
    end, without a closing cut. ``remnant_um`` is what is left of each bar, grip included; of ``kept`` bars it
    goes back to the rack. ``cuts`` counts the saw's cuts through one load.
    """

    bar: str
    loads: tuple[int, ...]
    placed: tuple[Placed, ...]
    remnant_um: int
    cuts: int
    kept: int = 0
    ends_in_vise: bool = False

    @property
    def times(self) -> int:
        """How many bars are cut this way."""
        return sum(self.loads)

    @property
    def counts(self) -> dict[str, int]:
        """How many of each piece come off one bar, in the order they first appear."""
        found: dict[str, int] = {}
        for placed in self.placed:
            found[placed.piece] = found.get(placed.piece, 0) + 1
        return found


@dataclass(frozen=True, slots=True)
class AimValue:
    """What the plan reaches for one aim, and the proven least it could be with all earlier aims as they are.

    ``bound`` is None where nothing could be proven for this aim.
    """

    aim: Aim
    value: int
    bound: int | None

    @property
    def is_proven(self) -> bool:
        """Whether no plan does better on this aim without doing worse on an earlier one."""
        return self.bound is not None and self.bound >= self.value


class Want(StrEnum):
    """Why there can be no plan."""

    TOO_LONG = "too long for any bar"
    NO_BAR = "no bar that may serve"
    SHORT_OF_BARS = "short of bars"
    RULES = "the rules leave no plan"


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason why there can be no plan.

    TOO_LONG: ``piece`` is longer by ``length_um`` than the best bar can give. NO_BAR: no bar's heat or
    material will do for ``piece``. SHORT_OF_BARS: ``count`` of ``piece`` find no place in the best plan
    known for what bars there are, together ``length_um`` long. RULES: ``says`` tells which.
    """

    want: Want
    piece: str
    count: int
    length_um: int
    says: Told


@dataclass(frozen=True, slots=True)
class Result:
    """A plan with its proof. ``cost`` is the price of all bars used [millionths of the currency], None
    without a plan; ``lower_bound`` is proven whatever the status, and ``bound_source`` says by what.

    ``runs`` lie in the order they are to be cut. ``aims`` holds what was reached, aim by aim. ``cut_short``:
    the clock ended the search, or a part of it, so that a quicker machine may find another plan.
    """

    status: Status
    cost: int | None
    lower_bound: int
    bound_source: str
    runs: tuple[Run, ...]
    seconds: float
    engine: str
    aims: tuple[AimValue, ...] = ()
    reasons: tuple[Reason, ...] = ()
    cut_short: bool = False

    @property
    def bars_used(self) -> int:
        """How many bars the plan takes."""
        return sum(run.times for run in self.runs)

    @property
    def gap(self) -> float | None:
        """How far the cost may be above the best possible, as a share of the cost; None without a plan."""
        if self.cost is None:
            return None
        return (self.cost - self.lower_bound) / self.cost if self.cost else 0.0


def best_of(one: Result, other: Result) -> Result:
    """Of two results of the same problem the better plan, with the best bounds of both.

    A bound of a later aim holds with the earlier aims as they are, so it counts only where they agree.
    """
    if Status.INFEASIBLE in (one.status, other.status):
        return one if one.status is Status.INFEASIBLE else other
    bound, source = max((one.lower_bound, one.bound_source), (other.lower_bound, other.bound_source))
    if one.cost is None or other.cost is None:
        best = other if one.cost is None else one
        return replace(best, lower_bound=bound, bound_source=source, seconds=one.seconds + other.seconds)
    swap = [aim.value for aim in other.aims] < [aim.value for aim in one.aims]
    best, worse = (other, one) if swap else (one, other)
    aims: list[AimValue] = []
    same = True
    for mine, theirs in zip(best.aims, worse.aims, strict=True):
        known = [bound for bound in (mine.bound, theirs.bound if same else None) if bound is not None]
        aims.append(replace(mine, bound=min(max(known), mine.value) if known else None))
        same = same and mine.value == theirs.value
    proven = all(aim.is_proven for aim in aims)
    return replace(
        best,
        status=Status.OPTIMAL if proven else Status.FEASIBLE,
        aims=tuple(aims),
        lower_bound=bound,
        bound_source=source,
        seconds=one.seconds + other.seconds,
        cut_short=not proven and best.cut_short,
    )
