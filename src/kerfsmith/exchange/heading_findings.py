"""What is told about columns that can't be matched without somebody's word."""

from collections.abc import Sequence

from kerfsmith.errors import Finding, Severity
from kerfsmith.exchange.columns import HARMLESS, SECTION_PARTS, ColumnMatch, Confidence
from kerfsmith.exchange.heading_words import FieldWords
from kerfsmith.units.text import shown
from kerfsmith.units.told import Told, either, sentence


def unsure_columns(name: str, match: ColumnMatch, fields: Sequence[FieldWords]) -> list[Finding]:
    """A finding for each field whose column has to be chosen, and one for the columns that nobody reads."""
    findings: list[Finding] = []
    split = match.has("shape") and any(match.has(part) for part in SECTION_PARTS if part != "shape")
    for field in fields:
        column = match.columns[field.field]
        if column.confidence is Confidence.UNSURE:
            harmless = field.field in HARMLESS
            findings.append(
                _choose(name, match, field.field, column.reason, column.alternatives, harmless=harmless)
            )
        elif (
            column.confidence is Confidence.MISSING
            and field.required
            and not (field.field == "section" and split)
        ):
            findings.append(
                _choose(name, match, field.field, column.reason, column.alternatives, harmless=False)
            )
    unused = [match.headings[index] for index in match.unused]
    if unused:
        findings.append(
            Finding(
                "columns-unused",
                Severity.NOTE,
                name,
                match.heading_row,
                None,
                shown(", ".join(unused)),
                "columns with these headings were not read",
                "Nothing, unless one of them matters: then say which field it holds",
            )
        )
    return findings


def _choose(
    name: str, match: ColumnMatch, field: str, reason: str, alternatives: Sequence[int], *, harmless: bool
) -> Finding:
    proposals = [match.headings[index] for index in alternatives]
    told = [
        sentence("{proposal} in column {column}", proposal=f"{proposal!r}", column=index + 1)
        if proposals.count(proposal) > 1
        else repr(proposal)
        for proposal, index in zip(proposals, alternatives, strict=True)
    ]
    choice = either(told[:4]) if told else ""
    return Finding(
        "columns-unsure",
        Severity.WARNING if harmless else Severity.ERROR,
        name,
        match.heading_row,
        field,
        shown(", ".join(proposals)),
        sentence(
            "it is not sure which column holds the {field}: {reason}",
            field=Told(field.replace("_", " ")),
            reason=Told(reason),
        ),
        sentence("Say which column it is, such as {choice}", choice=choice)
        if choice
        else "Say which column it is, or add one",
    )


def bad_choice(name: str, field: str, read: str, problem: str) -> Finding:
    return Finding(
        "columns-unsure",
        Severity.ERROR,
        name,
        None,
        field,
        shown(read),
        problem,
        "Name a field of the list and the heading that stands over its column",
    )


def lines_above(name: str, match: ColumnMatch, texts: Sequence[str]) -> Finding:
    """The note that what stands above the headings was not read."""
    return Finding(
        "lines-above",
        Severity.NOTE,
        name,
        1,
        None,
        shown(" ".join(texts)),
        sentence(
            "stands above the headings in row {heading_row} and was not read", heading_row=match.heading_row
        ),
        "Nothing, unless it matters: then give it a column",
    )


def no_headings(name: str, rows_looked_at: int, fields: Sequence[FieldWords]) -> Finding:
    needed = ", ".join(field.field for field in fields if field.required)
    return Finding(
        "headings-missing",
        Severity.ERROR,
        name,
        None,
        None,
        "",
        sentence(
            "no row in the first {rows_looked_at} has headings that are known", rows_looked_at=rows_looked_at
        ),
        sentence(
            "Put a row of headings over the columns ({needed}), or say which column holds what", needed=needed
        ),
    )
