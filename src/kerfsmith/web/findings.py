"""Findings as pages show them."""

from collections.abc import Iterable
from dataclasses import dataclass

from kerfsmith.errors import Finding, Severity
from kerfsmith.web.words import retell, say, say_many, to_say

KIND = {
    Severity.ERROR: to_say("left out"),
    Severity.WARNING: to_say("kept, look at it"),
    Severity.NOTE: to_say("to know"),
}


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding, ready to be read; ``file`` is told only where the findings speak of several."""

    severity: str
    kind: str
    file: str
    row: str
    field: str
    read: str
    problem: str
    remedy: str


def finding_rows(findings: Iterable[Finding]) -> tuple[FindingRow, ...]:
    """Findings file by file in the order of their rows, those without a row first."""
    found = tuple(findings)
    files = {file: place for place, file in enumerate(dict.fromkeys(finding.file for finding in found))}
    ordered = sorted(found, key=lambda finding: (files[finding.file], finding.row or 0, finding.field or ""))
    return tuple(
        FindingRow(
            severity=str(finding.severity),
            kind=say(KIND[finding.severity]),
            file=finding.file if len(files) > 1 else "",
            row="" if finding.row is None else str(finding.row),
            field=say((finding.field or "").replace("_", " ")),
            read=finding.read,
            problem=retell(finding.problem),
            remedy=retell(finding.remedy),
        )
        for finding in ordered
    )


def findings_words(findings: Iterable[Finding]) -> str:
    """How many rows (of NC files how many files) were left out, and how many are to be looked at."""
    found = tuple(findings)
    # An NC file holds one part: whatever is wrong in it, the file is left out, and not a row.
    by_file = any(finding.code.startswith("nc-") for finding in found)
    errors = {(finding.file, not by_file and finding.row) for finding in found if finding.is_error}
    others = len(found) - sum(finding.is_error for finding in found)
    told = []
    if errors:
        count = len(errors)
        told.append(
            say_many("1 file left out", "{count} files left out", count)
            if by_file
            else say_many("1 row left out", "{count} rows left out", count)
        )
    if others:
        told.append(say_many("1 thing to look at", "{count} things to look at", others))
    return ", ".join(told) or say("nothing amiss")
