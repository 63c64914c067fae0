"""Errors that are raised and findings that are returned.

A programmer's mistake or an impossible value raises a subclass of :class:`KerfsmithError`. What a user
sent that can't be used becomes a :class:`Finding` and travels back to him beside everything that was good.
"""

from dataclasses import dataclass
from enum import StrEnum


class KerfsmithError(Exception):
    """Base of everything Kerfsmith raises on purpose."""

    @property
    def said(self) -> str:
        """What it says, with the wording and fields that it was raised with."""
        return self.args[0] if self.args and isinstance(self.args[0], str) else str(self)


class InvalidValue(KerfsmithError, ValueError):
    """A value object was asked to hold what it must not hold."""


class UnreadableText(KerfsmithError, ValueError):
    """Text that a person wrote could not be read as the quantity, section or date it should be.

    ``problem`` says what is wrong with it and ``remedy`` what to write instead; both are whole phrases
    fit for a :class:`Finding`.
    """

    def __init__(self, read: str, problem: str, remedy: str) -> None:
        super().__init__(f"{read!r}: {problem}; {remedy}")
        self.read = read
        self.problem = problem
        self.remedy = remedy


class UnknownName(KerfsmithError, LookupError):
    """A grade, section, saw, band or record that isn't known; ``near`` holds the closest known names."""

    def __init__(self, kind: str, name: str, near: tuple[str, ...] = ()) -> None:
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        super().__init__(f"no {kind} is called {name!r}{hint}")
        self.kind = kind
        self.name = name
        self.near = near


class Severity(StrEnum):
    """How much a finding matters: an error row is left out, a warning row is kept, a note only tells."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found wrong (or worth knowing) in what a user sent, with its place and its remedy.

    ``row`` counts as the user's own program does: the first line of the file is row 1. ``read`` is the text
    as found, ``problem`` what is the matter with it, ``remedy`` what to do.
    """

    code: str
    severity: Severity
    file: str
    row: int | None
    field: str | None
    read: str
    problem: str
    remedy: str

    @property
    def is_error(self) -> bool:
        """Whether the row it speaks of was left out."""
        return self.severity is Severity.ERROR

    def __str__(self) -> str:
        place = self.file + (f", row {self.row}" if self.row is not None else "")
        field = f", {self.field}" if self.field else ""
        read = f" (read {self.read!r})" if self.read else ""
        return f"{place}{field}: {self.problem}{read}. {self.remedy}"
