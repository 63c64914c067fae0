"""What the ledger's page shows."""

import ast
from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.web.words import retell, say, say_many
from kerfsmith.workflow.ports import LedgerEntry

SHOWN = 500
_LONGEST = 160


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One entry."""

    number: int
    at: str
    by: str
    verb: str
    subject: str
    detail: str
    refused: str


@dataclass(frozen=True, slots=True)
class LedgerPage:
    """The newest entries that fit what is wanted."""

    rows: tuple[LedgerRow, ...]
    by: str
    verb: str
    only_refused: bool
    people: tuple[str, ...]
    verbs: tuple[tuple[str, str], ...]
    words: str


def ledger_page(entries: Sequence[LedgerEntry], by: str, verb: str, only_refused: bool) -> LedgerPage:
    """Entries, newest first, of one person, one verb or only the refused where that is wanted."""
    fitting = [
        entry
        for entry in entries
        if (not by or entry.by == by)
        and (not verb or entry.verb == verb)
        and (not only_refused or entry.refused)
    ]
    return LedgerPage(
        rows=tuple(map(_row, fitting)),
        by=by,
        verb=verb,
        only_refused=only_refused,
        people=tuple(sorted({entry.by for entry in entries})),
        verbs=tuple((one, say(one)) for one in sorted({entry.verb for entry in entries})),
        words=say(
            "{fitting} of the newest {entries} entries. An entry is never changed or taken out.",
            fitting=len(fitting),
            entries=len(entries),
        )
        if len(fitting) < len(entries)
        else say_many(
            "{count} entry. It is never changed or taken out.",
            "{count} entries. An entry is never changed or taken out.",
            len(entries),
        ),
    )


def _row(entry: LedgerEntry) -> LedgerRow:
    return LedgerRow(
        entry.number,
        f"{entry.at.astimezone():%Y-%m-%d %H:%M:%S}",
        entry.by,
        say(entry.verb),
        entry.subject,
        _short(entry.detail),
        retell(entry.refused),
    )


def _short(detail: str) -> str:
    """Particulars as they were told, without what is empty, and no longer than a line or two."""
    try:
        text = _words(ast.literal_eval(detail))
    except (ValueError, SyntaxError):
        text = detail
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"


def _words(told: object) -> str:
    if isinstance(told, dict):
        return ", ".join(
            f"{str(key).replace('_', ' ')} {_words(value)}" for key, value in told.items() if value
        )
    if isinstance(told, list | tuple):
        return "; ".join(map(_words, told))
    return str(told)
