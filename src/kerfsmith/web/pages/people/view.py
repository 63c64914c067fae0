"""What the page of people shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session
from kerfsmith.web.floor_stage import PersonOnRecord
from kerfsmith.web.words import retell, say, to_say
from kerfsmith.workflow.permissions import Verb, may
from kerfsmith.workflow.refusal import Refusal

ROLES = {
    Role.OPERATOR: to_say("works at the saw"),
    Role.PLANNER: to_say("takes orders, plans, releases"),
    Role.LEAD: to_say("does everything, keeps the people"),
    Role.GUEST: to_say("only reads"),
}


@dataclass(frozen=True, slots=True)
class PersonRow:
    """One person."""

    key: str
    name: str
    role: str
    active: bool
    secrets: str
    sessions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PeoplePage:
    """Everybody; ``may_change`` is whether the reader keeps the people, ``typed`` who could not be added."""

    people: tuple[PersonRow, ...]
    roles: tuple[tuple[str, str], ...]
    may_change: bool
    problem: str
    me: str
    typed: Person | None


@dataclass(frozen=True, slots=True)
class FirstPage:
    """The first lead is asked for."""

    name: str
    problem: str


def people_page(
    people: Sequence[PersonOnRecord], reader: Person, refusal: Refusal | None, typed: Person | None
) -> PeoplePage:
    """The page for ``reader``; ``refusal`` is why his last change was not made."""
    return PeoplePage(
        people=tuple(_row(at, one) for at, one in enumerate(people)),
        roles=tuple((role.value, say(words)) for role, words in ROLES.items()),
        may_change=may(reader.role, Verb.CHANGE_PERSON),
        problem=problem_words(refusal),
        me=reader.name,
        typed=typed,
    )


def problem_words(refusal: Refusal | None) -> str:
    """A refusal as sentences, "" for none."""
    if refusal is None:
        return ""
    reason, remedy = retell(refusal.reason), retell(refusal.remedy)
    return f"{reason[:1].upper()}{reason[1:]}.{f' {remedy}.' if remedy else ''}"


def _row(at: int, one: PersonOnRecord) -> PersonRow:
    known = one.known
    ways = (
        (say("password"), known.has_password),
        (say("PIN"), known.has_pin),
        (say("badge"), known.has_badge),
    )
    has = [word for word, there in ways if there]
    return PersonRow(
        f"p{at}",
        known.person.name,
        known.person.role.value,
        known.active,
        ", ".join(has) or say("no way in yet"),
        tuple(map(_session, one.sessions)),
    )


def _session(session: Session) -> str:
    until = f"{session.ends_at.astimezone():%Y-%m-%d %H:%M}"
    place = f" {session.place}" if session.place != session.kind else ""
    return say("{where}, until {until}", where=f"{say(str(session.kind))}{place}", until=until)
