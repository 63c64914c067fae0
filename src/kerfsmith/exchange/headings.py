"""Which column holds what: headings matched to fields, and no guess where two could be meant."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from kerfsmith.errors import Finding
from kerfsmith.exchange.cells import MOST_COLUMNS, RawTable
from kerfsmith.exchange.columns import HARMLESS, SECTION_PARTS, Column, ColumnMatch, Confidence
from kerfsmith.exchange.heading_findings import bad_choice, lines_above, no_headings, unsure_columns
from kerfsmith.exchange.heading_words import FieldWords, fold
from kerfsmith.exchange.proposals import ranked
from kerfsmith.units.length import Unit
from kerfsmith.units.length_text import unit_named
from kerfsmith.units.text import shown
from kerfsmith.units.told import sentence

_ROWS_LOOKED_AT = 30
_LEAST_HEADINGS = 2
_LONGEST_HEADING = 60
_BRACKETED = re.compile(r"^(.*?)[\s,]*[(\[{/]\s*([^()\[\]{}/]+?)\s*[)\]}]?\s*$")
_CURRENCY = re.compile(r"\b(?:eur|usd|gbp|cad|aud|chf)\b|[€$£]")
_PER = re.compile(r"^(.*\S) (?:per|je|pro|par|por|each|a) (\S.*)$")


def known_headings(texts: Sequence[str], fields: Sequence[FieldWords]) -> float:
    """How many of the fields the texts name: one for each that is sure, a half for each that is likely."""
    score = 0.0
    names = [names for text in texts if text for names in [frozenset(_names(text))]]
    for field in fields:
        if any(field.sure & name for name in names):
            score += 1.0
        elif any(field.likely & name for name in names):
            score += 0.5
    return min(score, float(len(names)))


def match_columns(
    table: RawTable, fields: Sequence[FieldWords], *, columns: Mapping[str, str | int | None] | None = None
) -> tuple[ColumnMatch, tuple[Finding, ...]]:
    """The columns of ``table`` and what is unsure about them.

    ``columns`` says outright where fields stand: by heading, by index from 0, or None for not in this file.
    Findings of severity ERROR mean that the rows can't be read before somebody decides.
    """
    told = dict(columns or {})
    row_index = _heading_row(table, fields, told)
    if row_index is None and not (told and all(isinstance(where, int | None) for where in told.values())):
        return ColumnMatch(None, (), {}, (), _samples(table, 0)), (
            no_headings(table.name, _ROWS_LOOKED_AT, fields),
        )
    headings = table.rows[row_index].texts() if row_index is not None else ()
    found, findings = _match(table.name, headings, fields, told)
    used = {index for column in found.values() for index in (column.index, *column.alternatives)}
    unused = tuple(index for index, heading in enumerate(headings) if heading and index not in used)
    number = None if row_index is None else table.rows[row_index].number
    start = 0 if row_index is None else row_index + 1
    for field in fields:
        column = found[field.field]
        if field.required and column.confidence is Confidence.MISSING:
            proposals = ranked(field.field, table, start, unused)
            found[field.field] = replace(column, alternatives=proposals)
    match = ColumnMatch(number, headings, found, unused, _samples(table, start))
    above = [text for row in table.rows[: row_index or 0] for text in row.texts() if text]
    if above:
        findings.append(lines_above(table.name, match, above))
    return match, (*findings, *unsure_columns(table.name, match, fields))


def _names(heading: str) -> Iterator[str]:
    """Folded forms under which a heading may be listed: as it is, without its unit, without brackets."""
    if len(heading) > _LONGEST_HEADING:
        return
    folded = fold(heading)
    yield folded
    base, _ = split_heading(heading)
    if base and base != folded:
        yield base
    without_currency = _CURRENCY.sub("", base).strip()
    if without_currency and without_currency != base:
        yield without_currency


def split_heading(heading: str) -> tuple[str, str]:
    """Folded heading without its bracket, its part after a slash or its last word, a unit; and that part."""
    if len(heading) > _LONGEST_HEADING:
        return "", ""
    heading = re.sub(r"\+ ?/ ?-", "±", heading)
    per = _PER.match(fold(heading))
    if per:
        return per[1], per[2]
    bracketed = _BRACKETED.match(heading)
    if bracketed and bracketed[1].strip():
        return fold(bracketed[1]), bracketed[2].strip()
    words = re.split(r"[\s_,.]+", heading.strip(" .:_"))
    if len(words) > 1 and unit_named(words[-1]) is not None:
        return fold(" ".join(words[:-1])), words[-1]
    return fold(heading.strip(" .:")), ""


def heading_unit(heading: str) -> Unit | None:
    """The unit of length that a heading names: ``Length (mm)``, ``Länge [cm]``, ``Length, in``."""
    _, detail = split_heading(heading)
    return unit_named(detail) if detail and len(detail) <= 20 else None


def _heading_row(
    table: RawTable, fields: Sequence[FieldWords], told: Mapping[str, str | int | None]
) -> int | None:
    """Index of the row that names most fields, the first of equals; None where none names two.

    A heading that was told outright counts as known.
    """
    wanted = {fold(where) for where in told.values() if isinstance(where, str)}
    best, best_score = None, 0.0
    for index, row in enumerate(table.rows[:_ROWS_LOOKED_AT]):
        texts = row.texts()
        score = known_headings(texts, fields) + sum(fold(text) in wanted for text in texts if text)
        if score > best_score:
            best, best_score = index, score
    return best if best_score >= _LEAST_HEADINGS else None


def _match(
    name: str, headings: Sequence[str], fields: Sequence[FieldWords], told: Mapping[str, str | int | None]
) -> tuple[dict[str, Column], list[Finding]]:
    found, findings = _told(name, headings, fields, told)
    names = [frozenset(_names(heading)) if heading else frozenset() for heading in headings]
    for field in fields:
        if field.field not in found:
            taken = {column.index for column in found.values()}
            candidates = [at for at, known in enumerate(names) if known & field.sure and at not in taken]
            if candidates:
                found[field.field] = _chosen(field, headings, candidates, contested=False)
    _take_likely(found, headings, names, fields)
    _section_from_one_column(found, headings, told)
    for field in fields:
        if field.field not in found:
            found[field.field] = Column(field.field, None, "", Confidence.MISSING, "no heading that means it")
    return found, findings


def _told(
    name: str, headings: Sequence[str], fields: Sequence[FieldWords], told: Mapping[str, str | int | None]
) -> tuple[dict[str, Column], list[Finding]]:
    """The columns that were said outright, and findings for what can't be meant."""
    found: dict[str, Column] = {}
    findings: list[Finding] = []
    known = {field.field for field in fields}
    for field, where in told.items():
        index = _told_index(headings, where)
        if field not in known:
            findings.append(
                bad_choice(
                    name, field, str(where), sentence("{field} is no field of this list", field=f"{field!r}")
                )
            )
        elif where is not None and index is None:
            findings.append(
                bad_choice(name, field, str(where), "is not the heading of one column in this file")
            )
        elif index is None:
            found[field] = Column(field, None, "", Confidence.MISSING, "said not to be in this file")
        else:
            found[field] = _column(field, headings, index, "chosen")
    return found, findings


def _told_index(headings: Sequence[str], where: str | int | None) -> int | None:
    if isinstance(where, int):
        return where if 0 <= where < MOST_COLUMNS and (not headings or where < len(headings)) else None
    if where is None:
        return None
    for same in (lambda heading: heading == where.strip(), lambda heading: fold(heading) == fold(where)):
        matching = [index for index, heading in enumerate(headings) if heading and same(heading)]
        if len(matching) == 1:
            return matching[0]
    return None


def _take_likely(
    found: dict[str, Column],
    headings: Sequence[str],
    names: Sequence[frozenset[str]],
    fields: Sequence[FieldWords],
) -> None:
    """Give columns with a likely heading to the fields still open, where one field and one column fit."""
    taken = {column.index for column in found.values()}
    taken |= {index for column in found.values() for index in column.alternatives}
    open_fields = [field for field in fields if field.field not in found]
    candidates = {
        field.field: [at for at, known in enumerate(names) if known & field.likely and at not in taken]
        for field in open_fields
    }
    for field in open_fields:
        mine = candidates[field.field]
        contested = any(
            set(mine) & set(candidates[other.field]) for other in open_fields if other is not field
        )
        if mine:
            found[field.field] = _chosen(field, headings, mine, contested=contested)


def _section_from_one_column(
    found: dict[str, Column], headings: Sequence[str], told: Mapping[str, str | int | None]
) -> None:
    """Where no column is the section's and only one speaks of shape or size, that one holds the section."""
    if "section" in told or ("section" in found and found["section"].confidence is not Confidence.MISSING):
        return
    parts = [part for part in SECTION_PARTS if part in found and found[part].index is not None]
    if len(parts) == 1 and parts[0] in ("shape", "size"):
        index = found.pop(parts[0]).index
        if index is not None:
            found["section"] = _column(
                "section", headings, index, "the one column that speaks of the section"
            )


def _chosen(
    field: FieldWords, headings: Sequence[str], candidates: Sequence[int], *, contested: bool
) -> Column:
    """The column of a field with these candidates; a harmless field takes the first of several."""
    if len(candidates) == 1 and not contested:
        return _column(
            field.field,
            headings,
            candidates[0],
            sentence("its heading is {shown}", shown=f"{shown(headings[candidates[0]])!r}"),
        )
    if field.field in HARMLESS and not contested:
        first = _column(field.field, headings, candidates[0], "the first of several")
        return replace(first, confidence=Confidence.UNSURE, alternatives=tuple(candidates[1:]))
    reason = "another field could be meant" if len(candidates) == 1 else "more than one heading means it"
    return Column(field.field, None, "", Confidence.UNSURE, reason, tuple(candidates))


def _column(field: str, headings: Sequence[str], index: int, reason: str) -> Column:
    heading = headings[index] if index < len(headings) else ""
    _, detail = split_heading(heading)
    return Column(field, index, heading, Confidence.SURE, reason, (), heading_unit(heading), detail)


def _samples(table: RawTable, start: int) -> tuple[tuple[str, ...], ...]:
    filled = (row for row in table.rows[start : start + 20] if not row.is_blank)
    return tuple(row.texts() for _, row in zip(range(3), filled, strict=False))
