"""How charted figures are shown to one reader."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.learning.series import Charted
from kerfsmith.web.reading import Reading

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class Pick:
    """Something to choose; ``moved`` says that something has moved there and still stands."""

    words: str
    href: str
    here: bool
    moved: bool = False


@dataclass(frozen=True, slots=True)
class Shower:
    """How a figure is shown to one reader: its unit, the factor into it, and a value with its unit."""

    unit: str
    into: float
    decimals: int

    def value(self, value: float, *, signed: bool = False) -> str:
        """A value with its unit."""
        sign = "+" if signed else ""
        return f"{value * self.into:{sign}.{self.decimals}f} {self.unit}"


def shower_of(charted: Charted, reading: Reading) -> Shower:
    """How ``charted`` is shown."""
    match charted:
        case Charted.LENGTH:
            return Shower("mm", 1.0, 2) if reading.is_metric else Shower("in", 1 / MM_PER_INCH, 4)
        case Charted.SQUARENESS:
            return Shower("‰", 1.0, 2)
        case Charted.CUT_TIME | Charted.MOTOR_LOAD:
            return Shower("%", 1.0, 1)


def moment(at: datetime) -> str:
    """A moment to the minute."""
    return at.strftime("%Y-%m-%d %H:%M")
