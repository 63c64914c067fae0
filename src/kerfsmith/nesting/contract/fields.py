"""Reading one JSON object field by field: what can't be used becomes a finding, and reading goes on."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from typing import Any, TypeVar

from kerfsmith.errors import Finding, Severity

T = TypeVar("T")

MOST_MM = Decimal(1_000_000_000)
MOST_COUNT = 10_000_000
MOST_COST = Decimal(1_000_000_000_000)
DUST = Decimal("1e-6")
"""A length this near to a whole micrometre [um] is that micrometre, written by a program in binary."""


@dataclass(slots=True)
class Findings:
    """Everything found so far."""

    all: list[Finding] = field(default_factory=list)

    def error(self, code: str, place: str, read: object, problem: str, remedy: str) -> None:
        """Something that can't be used."""
        self.all.append(Finding(code, Severity.ERROR, "problem", None, place, _short(read), problem, remedy))

    def warn(self, code: str, place: str, read: object, problem: str, remedy: str) -> None:
        """Something that was used in a way its author should know of."""
        self.all.append(
            Finding(code, Severity.WARNING, "problem", None, place, _short(read), problem, remedy)
        )

    @property
    def has_error(self) -> bool:
        """Whether anything can't be used."""
        return any(finding.is_error for finding in self.all)


def _short(read: object) -> str:
    if isinstance(read, int) and abs(read) > 10**40:
        return "a number of more than forty digits"
    text = "" if read is None else str(read)
    return text if len(text) <= 80 else text[:77] + "..."


@dataclass(slots=True)
class Fields:
    """One JSON object and its place in the problem ("bars[2]")."""

    values: Mapping[str, Any]
    place: str
    findings: Findings
    used: set[str] = field(default_factory=set)

    def where(self, name: str) -> str:
        """The place of a field."""
        return f"{self.place}.{name}" if self.place else name

    def raw(self, name: str) -> Any:
        """The field as it is, None where it is absent."""
        self.used.add(name)
        return self.values.get(name)

    def number(self, name: str, default: Decimal | None) -> Decimal | None:
        """A finite number. None, with a finding, for anything else; ``default`` where the field is absent."""
        read = self.raw(name)
        if read is None:
            if default is None:
                self.findings.error(
                    "missing", self.where(name), None, "this number is missing", "Write a number here"
                )
            return default
        number = as_number(read)
        if number is None:
            self.findings.error(
                "not-a-number", self.where(name), read, "isn't a number", "Write a number here"
            )
        return number

    def length_um(
        self, name: str, default: int | None, rounding: str = ROUND_CEILING, least: int = 0
    ) -> int | None:
        """A length given in millimetres, in whole micrometres; one finer than that goes the safe way, with
        a warning.
        """
        number = self.number(name, None if default is None else Decimal(default) / 1000)
        if number is None:
            return None
        if number > MOST_MM or number < 0:
            self.findings.error(
                "length", self.where(name), number, "isn't a length of 0 to 1000 km", "Write millimetres"
            )
            return None
        exact = number * 1000
        nearest = exact.to_integral_value(ROUND_HALF_EVEN)
        if abs(nearest - exact) > DUST:
            nearest = exact.to_integral_value(rounding)
            self.findings.warn(
                "finer-than-a-micrometre",
                self.where(name),
                number,
                f"is finer than a micrometre and was taken as {nearest / 1000} mm",
                "Write at most three decimals to have it taken as it is",
            )
        if nearest < least:
            self.findings.error("length", self.where(name), number, "must be above zero", "Write its length")
            return None
        return int(nearest)

    def signed_um(self, name: str) -> int | None:
        """A length that may be below zero, absent for 0, to the nearest micrometre."""
        number = self.number(name, Decimal(0))
        if number is None or abs(number) > MOST_MM:
            return None
        return int((number * 1000).to_integral_value(ROUND_HALF_EVEN))

    def whole(self, name: str, default: int | None, least: int = 0, most: int = MOST_COUNT) -> int | None:
        """A whole number between two limits; ``default`` where the field is absent."""
        number = self.number(name, None if default is None else Decimal(default))
        if number is None:
            return None
        if number != number.to_integral_value() or not least <= number <= most:
            self.findings.error(
                "not-a-count",
                self.where(name),
                number,
                f"isn't a whole number from {least} to {most}",
                "Write how many",
            )
            return None
        return int(number)

    def whole_or_none(self, name: str, most: int = MOST_COUNT) -> int | None:
        """A whole number, None where the field is absent (or, with a finding, where it can't be used)."""
        return None if self.raw(name) is None else self.whole(name, None, most=most)

    def millionths(self, name: str, default: int | None) -> int | None:
        """An amount of money in whole millionths; a finer one goes to the nearest, with a warning."""
        number = self.number(name, None if default is None else Decimal(default) / 1_000_000)
        if number is None:
            return None
        if not 0 <= number <= MOST_COST:
            self.findings.error(
                "money", self.where(name), number, "isn't an amount of 0 or more", "Write what it costs"
            )
            return None
        exact = number * 1_000_000
        nearest = exact.to_integral_value(ROUND_HALF_EVEN)
        if abs(nearest - exact) > Decimal("0.001"):
            self.findings.warn(
                "finer-than-a-millionth",
                self.where(name),
                number,
                "is finer than a millionth and was taken to the nearest",
                "Write at most six decimals to have it taken as it is",
            )
        return int(nearest)

    def text(self, name: str, default: str | None) -> str | None:
        """A text; a whole number is read as its digits. None, with a finding, for anything else."""
        read = self.raw(name)
        if read is None and default is not None:
            return default
        if isinstance(read, str) and (read or default is not None):
            return read
        if isinstance(read, int) and not isinstance(read, bool):
            return str(read)
        self.findings.error("not-a-name", self.where(name), read, "a name is needed", "Write a short text")
        return None

    def flag(self, name: str) -> bool:
        """True or false, false where it is absent."""
        read = self.raw(name)
        if read is None or isinstance(read, bool):
            return bool(read)
        self.findings.error(
            "not-a-flag", self.where(name), read, "isn't true or false", "Write true or false"
        )
        return False

    def texts(self, name: str) -> tuple[str, ...] | None:
        """A list of texts; None where it is absent."""
        read = self.raw(name)
        if read is None:
            return None
        if isinstance(read, list) and all(isinstance(item, str) for item in read):
            return tuple(read)
        self.findings.error("not-names", self.where(name), read, "isn't a list of names", "Write [...]")
        return None

    def objects(self, name: str, read_one: Callable[["Fields"], T | None], needed: bool) -> tuple[T, ...]:
        """A list of objects, each read by ``read_one``; those it can't use are left out."""
        read = self.raw(name)
        if read is None and not needed:
            return ()
        if not isinstance(read, list):
            self.findings.error(
                "not-a-list", self.where(name), read, "a list is needed", "Write [{...}, ...]"
            )
            return ()
        found = []
        for index, item in enumerate(read):
            place = f"{self.where(name)}[{index}]"
            if not isinstance(item, Mapping):
                self.findings.error("not-an-object", place, item, "isn't an object", "Write {...}")
                continue
            fields = Fields(item, place, self.findings)
            one = read_one(fields)
            fields.leftover()
            if one is not None:
                found.append(one)
        return tuple(found)

    def leftover(self) -> None:
        """Warn of every field nobody asked for."""
        for name in self.values:
            if name not in self.used:
                self.findings.warn(
                    "unknown-field",
                    self.where(str(name)),
                    None,
                    "isn't known here and was left out",
                    "Check it",
                )


def as_number(read: object) -> Decimal | None:
    """A JSON number as the decimal it was written as; None for anything else and for what isn't finite."""
    if isinstance(read, bool) or not isinstance(read, int | float | Decimal):
        return None
    number = Decimal(repr(read)) if isinstance(read, float) else Decimal(read)
    return number if number.is_finite() else None
