"""A figure that answers "why?"."""

from dataclasses import dataclass

from kerfsmith.web.reasons import ReasonLine
from kerfsmith.web.settings import Dial


@dataclass(frozen=True, slots=True)
class Answerable:
    """A figure with the reasons that speak of it."""

    dial: Dial
    why: tuple[ReasonLine, ...]
