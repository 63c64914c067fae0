"""Where a model holds: a span of one quantity, and an answer that says whether it was kept."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """The span of one quantity inside which a model was read or fitted, ends included."""

    quantity: str
    low: float
    high: float
    unit: str
    source: str
    where: str

    def holds(self, value: float) -> bool:
        """Whether ``value`` (in ``unit``) lies inside the span."""
        return self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Estimate:
    """A model's answer: ``value``, whether every input lay in range, and what to say when one did not."""

    value: float
    in_range: bool
    note: str = ""
