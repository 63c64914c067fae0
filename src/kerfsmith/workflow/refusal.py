"""Refusals: what could not be done, and why, as a result."""

from dataclasses import dataclass

from kerfsmith.errors import KerfsmithError
from kerfsmith.units.told import Told, marked


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a verb was not done: ``code`` for programs, ``reason`` and ``remedy`` for the person who asked.

    Lengths in them can be told in a reader's own measure by `units.told.in_measure`.
    """

    code: str
    reason: str
    remedy: str = ""

    @property
    def whole(self) -> Told:
        """Reason and remedy as one."""
        return Told(f"{marked(Told(self.reason))}. {marked(Told(self.remedy))}".strip())

    def __str__(self) -> str:
        return str(self.whole)


class Refused(KerfsmithError):
    """Raised inside a verb to undo what it has begun; `acting.act` turns it into its Refusal."""

    def __init__(self, code: str, reason: str, remedy: str = "") -> None:
        super().__init__(reason)
        self.refusal = Refusal(code, Told(reason), Told(remedy))


class RuleBroken(KerfsmithError):
    """The records' own constraint ``rule`` refused a change that the verb had let pass."""

    def __init__(self, rule: str) -> None:
        super().__init__(f"the records refused it by their rule {rule}")
        self.rule = rule
