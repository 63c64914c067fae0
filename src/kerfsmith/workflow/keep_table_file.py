"""Files of tables laid over the package's own: kept, replaced, taken away."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from kerfsmith.shop.own_words import OwnTableFile
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

LONGEST_NAME = 120
LARGEST_CHARACTERS = 500_000
"""A file is kept whole in the records: some hundred grades are a tenth of this."""


@dataclass(frozen=True, slots=True)
class Gone:
    """Names that nothing knows any more once a file is replaced or taken away."""

    grades: frozenset[str] = frozenset()
    bands: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class KeepTableFile:
    """A file by its name, its text, and the names of what it holds, for the ledger."""

    name: str
    text: str
    holds: tuple[str, ...]


def keep_table_file(
    records: Records, told: KeepTableFile, gone: Gone, *, by: Person, at: datetime
) -> OwnTableFile | Refusal:
    """Keep a file that has been read and found sound, in place of the one of its name.

    Refused for a name that is none, for a text beyond all measure, and where it no longer holds what is in
    use.
    """

    def body(change: Change) -> OwnTableFile:
        if not told.name.strip() or len(told.name) > LONGEST_NAME or not told.name.isprintable():
            raise Refused(
                "no-name",
                sentence("that is no name for a file: {name}", name=f"{told.name!r}"),
                sentence("Give it up to {longest_name} characters", longest_name=LONGEST_NAME),
            )
        if len(told.text) > LARGEST_CHARACTERS:
            raise Refused(
                "too-large", "the file is larger than any shop's tables", "Part it in several files"
            )
        _refuse_used(change, gone)
        kept = OwnTableFile(told.name, told.text, at, by.name)
        change.own.keep_table_file(kept)
        return kept

    return act(
        records,
        Verb.KEEP_TABLE_FILE,
        body,
        answer_as=OwnTableFile,
        told={"name": told.name, "holds": list(told.holds)},
        subject=told.name,
        by=by,
        at=at,
    )


def drop_table_file(
    records: Records, name: str, gone: Gone, *, by: Person, at: datetime
) -> OwnTableFile | Refusal:
    """Take a file away. Refused while a grade or a kind of band that only it knows is in use."""

    def body(change: Change) -> OwnTableFile:
        found = next((one for one in change.own.table_files() if one.name == name), None)
        if found is None:
            raise Refused(
                "unknown-file",
                sentence("no file of tables is called {name}", name=name),
                "Look at the tables",
            )
        _refuse_used(change, gone)
        change.own.drop_table_file(name)
        return found

    return act(
        records, Verb.DROP_TABLE_FILE, body, answer_as=OwnTableFile, told=name, subject=name, by=by, at=at
    )


def _refuse_used(change: Change, gone: Gone) -> None:
    used: Collection[str] = change.own.names_in_use(gone.grades, gone.bands)
    if used:
        raise Refused(
            "names-in-use",
            sentence("still in use, and nothing else knows it: {names}", names=", ".join(used)),
            "Finish that work, or keep these entries in the file",
        )
