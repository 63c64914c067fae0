"""Reading the question of one cut from the form, faults as findings."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar
from urllib.parse import urlencode

from starlette.datastructures import QueryParams

from kerfsmith.cutting.condition import BandState
from kerfsmith.errors import Finding, Severity, UnreadableText
from kerfsmith.units.parse import parse_angle, parse_quantity
from kerfsmith.web.backstage import CutQuestion
from kerfsmith.web.words import say

Number = TypeVar("Number", int, float)
_MOST_AT_ONCE = 400
MOST_HB = 1000.0


@dataclass(frozen=True, slots=True)
class Asked:
    """The form as filled in, the question it makes, and what could not be read of it."""

    texts: dict[str, str]
    question: CutQuestion
    findings: tuple[Finding, ...]

    def link(self, **other: str) -> str:
        """The page of this question with some fields otherwise."""
        return "/cut?" + urlencode({**self.texts, **other})


def read_question(query: QueryParams) -> Asked:
    """The question in a query; the first visit asks for a 4 in round of 4140."""
    first = "grade" not in query and "section" not in query
    texts = {
        "grade": query.get("grade", "4140" if first else "").strip()[:80],
        "section": query.get("section", "round 4 in" if first else "").strip()[:120],
        "saw": query.get("saw", ""),
        "band": query.get("band", ""),
        "angle": query.get("angle", "").strip()[:20] or "0",
        "bundle": query.get("bundle", "").strip()[:20] or "1",
        "coolant": "dry" if query.get("coolant") == "dry" else "flood",
        "hb": query.get("hb", "").strip()[:20],
        "state": query.get("state", "") if query.get("state") in list(BandState) else "",
        "choose": query.get("choose", "").strip()[:20],
    }
    findings: list[Finding] = []
    angle = _read(say("Head angle"), texts["angle"], parse_angle, findings)
    bundle = _read(say("Pieces at once"), texts["bundle"], parse_quantity, findings)
    if bundle is not None and bundle > _MOST_AT_ONCE:
        findings.append(
            _fault(
                say("Pieces at once"),
                texts["bundle"],
                say("is more than any vise holds"),
                say("Write fewer."),
            )
        )
    question = CutQuestion(
        texts["grade"],
        texts["section"],
        texts["saw"],
        texts["band"],
        angle or 0.0,
        bundle or 1,
        texts["coolant"] == "flood",
        texts["choose"],
        _read(say("Hardness, HB"), texts["hb"], parse_hardness, findings) if texts["hb"] else None,
        texts["state"],
    )
    for name in ("grade", "section"):
        if not texts[name]:
            findings.append(
                _fault(
                    name.capitalize(),
                    "",
                    say("is empty"),
                    say("Write the {name}, or take one from the list.", name=name),
                )
            )
    return Asked(texts, question, tuple(findings))


def parse_hardness(text: str) -> float:
    """A Brinell hardness, with or without its unit. Raises UnreadableText."""
    number = text.upper().removesuffix("HB").strip().replace(",", ".")
    try:
        found = float(number)
    except ValueError:
        found = 0.0
    if not 0 < found < MOST_HB:
        raise UnreadableText(
            text, say("is no Brinell hardness"), say("Write a number such as 250, or leave it empty.")
        )
    return found


def _read(name: str, text: str, parse: Callable[[str], Number], findings: list[Finding]) -> Number | None:
    try:
        return parse(text)
    except UnreadableText as fault:
        findings.append(_fault(name, text, fault.problem, fault.remedy))
        return None


def _fault(field: str, read: str, problem: str, remedy: str) -> Finding:
    return Finding("form", Severity.ERROR, "the form", None, field, read, problem, remedy)
