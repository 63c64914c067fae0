"""Refusals: what could not be done, and why, as a result."""

from dataclasses import dataclass
from typing import TypeVar

from kerfsmith.errors import KerfsmithError
from kerfsmith.units.told import Told, marked

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a verb was not done: ``code`` for programs, ``reason`` and ``remedy`` for the person who asked.

    Both are sentences (`units.told.Told`), which a reader is told in his own measure and language.
    """

    code: str
    reason: str
    remedy: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "reason", Told(self.reason))
        object.__setattr__(self, "remedy", Told(self.remedy))

    @property
    def whole(self) -> Told:
        """Reason and remedy as one."""
        return Told(f"{marked(self.reason)}. {marked(self.remedy)}".strip())

    def __str__(self) -> str:
        return str(self.whole)


class Refused(KerfsmithError):
    """Raised inside a verb to undo what it has begun; `acting.act` turns it into its Refusal."""

    def __init__(self, code: str, reason: str, remedy: str = "") -> None:
        super().__init__(reason)
        self.refusal = Refusal(code, reason, remedy)


def granted(answer: Answer | Refusal) -> Answer:
    """What was found before the transaction began. Raises Refused where that was a refusal."""
    if isinstance(answer, Refusal):
        raise Refused(answer.code, answer.reason, answer.remedy)
    return answer


class RuleBroken(KerfsmithError):
    """The records' own constraint ``rule`` refused a change that the verb had let pass."""

    def __init__(self, rule: str) -> None:
        super().__init__(f"the records refused it by their rule {rule}")
        self.rule = rule
