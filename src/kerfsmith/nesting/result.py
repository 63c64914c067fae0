"""What a solver hands back: the plan, its bound, and the reasons where there can be no plan."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.nesting.aims import Aim
from kerfsmith.nesting.problem import Placed


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
    says: str


@dataclass(frozen=True, slots=True)
class Result:
    """A plan with its proof. ``cost`` is the price of all bars used [millionths of the currency], None
    without a plan; ``lower_bound`` is proven whatever the status, and ``bound_source`` says by what.

    ``runs`` lie in the order they are to be cut. ``aims`` holds what was reached, aim by aim.
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
