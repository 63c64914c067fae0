"""Findings as CSV for a spreadsheet."""

import csv
import io
from collections.abc import Iterable

from kerfsmith.errors import Finding
from kerfsmith.exchange.cells import shielded

COLUMNS = ("severity", "code", "file", "row", "field", "read", "problem", "remedy")


def findings_csv(findings: Iterable[Finding]) -> bytes:
    """All findings as CSV in UTF-8 with a byte-order mark, which spreadsheets need to know the letters.

    A text that a spreadsheet would work out as a formula gets an apostrophe in front.
    """
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer)
    writer.writerow(COLUMNS)
    for finding in findings:
        values = (finding.severity.value, finding.code, finding.file, finding.row)
        texts = (finding.field, finding.read, finding.problem, finding.remedy)
        writer.writerow([_harmless(value) for value in (*values, *texts)])
    return buffer.getvalue().encode("utf-8-sig")


def _harmless(value: str | int | None) -> str | int:
    if isinstance(value, str):
        return shielded(value)
    return "" if value is None else value
