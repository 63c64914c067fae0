"""The shop's own names of grades: a word kept for a grade of the tables, and taken away again."""

from dataclasses import dataclass
from datetime import datetime

from kerfsmith.catalog.catalog import Catalog
from kerfsmith.catalog.naming import folded
from kerfsmith.errors import UnknownName
from kerfsmith.shop.own_words import OwnGradeName
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused

LONGEST_WORD = 80


@dataclass(frozen=True, slots=True)
class NameGrade:
    """A word and the grade it stands for, by any name of the tables."""

    word: str
    grade: str


def name_grade(
    records: Records, told: NameGrade, standard: Catalog, *, by: Person, at: datetime
) -> OwnGradeName | Refusal:
    """Keep a word for a grade, in place of what it stood for.

    ``standard`` are the tables without the shop's own names. Refused for a word that names a grade there: it
    would say one thing here and another everywhere else.
    """

    def body(change: Change) -> OwnGradeName:
        word = " ".join(told.word.split())
        if not folded(word) or len(word) > LONGEST_WORD or not word.isprintable():
            raise Refused(
                "no-name",
                sentence("that is no name of a grade: {word}", word=f"{told.word!r}"),
                "Write a word for it",
            )
        known = _known(word, standard)
        if known:
            raise Refused(
                "name-taken",
                sentence("{word} is {known} in the tables", word=word, known=known),
                "Leave that word as it is",
            )
        grade = _known(told.grade, standard)
        if not grade:
            raise Refused(
                "unknown-grade",
                sentence("{grade} is no grade of the tables", grade=f"{told.grade!r}"),
                "Choose a grade",
            )
        kept = OwnGradeName(word, grade, at, by.name)
        change.own.keep_grade_name(kept)
        return kept

    return act(
        records,
        Verb.NAME_GRADE,
        body,
        answer_as=OwnGradeName,
        told=told,
        subject=told.word,
        by=by,
        at=at,
    )


def drop_grade_name(records: Records, word: str, *, by: Person, at: datetime) -> OwnGradeName | Refusal:
    """Keep a word no longer. Lines read with it keep the grade it stood for."""

    def body(change: Change) -> OwnGradeName:
        found = next((one for one in change.own.grade_names() if folded(one.word) == folded(word)), None)
        if found is None:
            raise Refused(
                "unknown-name",
                sentence("{word} is no grade name of the shop", word=word),
                "Look at the grades",
            )
        change.own.drop_grade_name(found.word)
        return found

    return act(
        records, Verb.DROP_GRADE_NAME, body, answer_as=OwnGradeName, told=word, subject=word, by=by, at=at
    )


def _known(text: str, standard: Catalog) -> str:
    """The tables' name of the grade in ``text``, "" where it is none."""
    try:
        return standard.find_grade(text).name
    except UnknownName:
        return ""
