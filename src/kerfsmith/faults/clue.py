"""A clue: something known of the cut that speaks for or against a cause."""

import math
from dataclasses import dataclass
from enum import IntEnum

from kerfsmith.units.told import Told


class Weight(IntEnum):
    """How much a clue says, as a logarithm to base 2 of the odds it multiplies.

    House rule (common practice has the direction, nobody has measured the size): a strong clue makes a cause
    sixteen times likelier against the others, a faint one twice. What people record as the cause in the end
    corrects the starting odds, not these weights.
    """

    RULES_OUT = -4
    AGAINST = -2
    FAINTLY_AGAINST = -1
    FAINT = 1
    CLEAR = 2
    STRONG = 4

    @property
    def odds(self) -> float:
        """What the odds of the cause are multiplied by."""
        return math.pow(2.0, self.value)


@dataclass(frozen=True, slots=True)
class Clue:
    """``text`` says what is known; it speaks for ``cause`` where its weight is above 0."""

    cause: str
    weight: Weight
    text: Told
    source: str = ""

    @property
    def speaks_for(self) -> bool:
        """Whether it makes the cause likelier."""
        return self.weight > 0
