"""People of the shop and what they are there for."""

from dataclasses import dataclass
from enum import StrEnum

from kerfsmith.errors import InvalidValue


class Role(StrEnum):
    """What a person is there for. A guest only reads."""

    OPERATOR = "operator"
    PLANNER = "planner"
    LEAD = "lead"
    GUEST = "guest"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who may change records. ``name`` is unique, never changes, and is what the ledger says.

    Raises InvalidValue for an empty or overlong name.
    """

    name: str
    role: Role

    def __post_init__(self) -> None:
        if not self.name.strip() or len(self.name) > 200 or not self.name.isprintable():
            raise InvalidValue("a person's name has 1 to 200 printable characters")


HOUSE = Person("kerfsmith", Role.LEAD)
"""The program itself, where nobody asked: the demo at the first start."""
