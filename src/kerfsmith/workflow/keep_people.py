"""People: added, changed, given passwords, PINs, badges and tokens, and shut out."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session, SessionKind
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.people_ports import Hasher, KnownPerson
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused, granted
from kerfsmith.workflow.sign_in import digest_of

LEAST_PASSWORD = 10
"""Characters; NIST SP 800-63B 5.1.1.2 asks for 8 at least, and for no rules of composition."""
MOST_PASSWORD = 200
PIN_DIGITS = range(4, 13)
LEAST_BADGE = 6


@dataclass(frozen=True, slots=True)
class NewSecrets:
    """Secrets to be set, None where one stays as it is. ``badge`` is the text that its code reads as."""

    password: str | None = None
    pin: str | None = None
    badge: str | None = None


@dataclass(frozen=True, slots=True)
class PersonTold:
    """What the ledger says of a change to a person: no secret."""

    name: str
    role: str
    active: bool
    set: tuple[str, ...]


def add_person(
    records: Records, hasher: Hasher, person: Person, new: NewSecrets, *, by: Person, at: datetime
) -> KnownPerson | Refusal:
    """Add a person. Refused: a name in use, a password, PIN or badge that won't do."""
    hashed = _hashed(hasher, new)

    def body(change: Change) -> KnownPerson:
        secrets = granted(hashed)
        if change.people.person(person.name) is not None:
            raise Refused(
                "name-taken",
                sentence("somebody is already called {person}", person=person.name),
                "Add a second name",
            )
        change.people.add(person, at=at)
        _set(change, person.name, secrets)
        return _known(change, person.name)

    return act(
        records,
        Verb.ADD_PERSON,
        body,
        answer_as=KnownPerson,
        told=_told(person.name, person.role, True, hashed),
        subject=person.name,
        by=by,
        at=at,
    )


def change_person(
    records: Records,
    hasher: Hasher,
    name: str,
    *,
    role: Role | None = None,
    active: bool | None = None,
    new: NewSecrets | None = None,
    by: Person,
    at: datetime,
) -> KnownPerson | Refusal:
    """Change role, entry or secrets of a person; all his sessions end. Refused: the last lead shut out."""
    hashed = _hashed(hasher, new or NewSecrets())

    def body(change: Change) -> KnownPerson:
        secrets = granted(hashed)
        known = _known(change, name)
        change.people.set_role(known.person.name, role or known.person.role)
        change.people.set_active(known.person.name, known.active if active is None else active)
        _set(change, known.person.name, secrets)
        if known.active and known.person.role is Role.LEAD and not _leads(change):
            raise Refused(
                "last-lead",
                sentence("{person} is the last lead", person=known.person.name),
                "Make somebody else a lead first",
            )
        change.people.revoke_all(known.person.name, at=at)
        return _known(change, known.person.name)

    return act(
        records,
        Verb.CHANGE_PERSON,
        body,
        answer_as=KnownPerson,
        told=_told(name, role, active is not False, hashed),
        subject=name,
        by=by,
        at=at,
    )


def set_own_password(
    records: Records, hasher: Hasher, *, old: str, new: str, by: Person, at: datetime
) -> KnownPerson | Refusal:
    """Change one's own password, knowing the old one; all one's sessions end."""
    hashed = _hashed(hasher, NewSecrets(password=new))
    with records.look() as look:
        known = look.people.person(by.name)
    right = known is not None and hasher.fits(
        old, records.perform(lambda change: change.people.secrets(by.name)).password
    )

    def body(change: Change) -> KnownPerson:
        if not right:
            raise Refused("wrong", "that is not your present password", "Try again")
        secrets = granted(hashed)
        _set(change, by.name, secrets)
        change.people.revoke_all(by.name, at=at)
        return _known(change, by.name)

    return act(
        records,
        Verb.SET_OWN_PASSWORD,
        body,
        answer_as=KnownPerson,
        told=_told(by.name, by.role, True, hashed),
        subject=by.name,
        by=by,
        at=at,
    )


@dataclass(frozen=True, slots=True)
class IssueToken:
    """A program called ``label`` gets entry as ``name``, with ``role``, for so many ``days``."""

    name: str
    role: Role
    label: str
    days: int


def issue_token(
    records: Records, told: IssueToken, *, secret: str, by: Person, at: datetime
) -> Session | Refusal:
    """Give a program entry by ``secret`` (which the caller made and shows once).

    Refused: a role other than the person's own, unless it is guest, which only reads.
    """

    def body(change: Change) -> Session:
        known = _known(change, told.name)
        if told.role not in (known.person.role, Role.GUEST):
            raise Refused(
                "role",
                sentence(
                    "{person} is {role}, not {asked}",
                    person=known.person.name,
                    role=known.person.role,
                    asked=told.role,
                ),
            )
        if not 1 <= told.days <= 366:
            raise Refused("days", "a token holds for 1 to 366 days")
        session = Session(
            digest_of(secret),
            Person(known.person.name, told.role),
            SessionKind.TOKEN,
            told.label,
            at,
            at + timedelta(days=told.days),
        )
        change.people.open_session(session)
        return session

    return act(records, Verb.ISSUE_TOKEN, body, answer_as=Session, told=told, subject=told.name, by=by, at=at)


@dataclass(frozen=True, slots=True)
class SessionsRevoked:
    """How many sessions of a person were ended."""

    name: str
    count: int


def revoke_sessions(records: Records, name: str, *, by: Person, at: datetime) -> SessionsRevoked | Refusal:
    """End all sessions and tokens of a person at once."""

    def body(change: Change) -> SessionsRevoked:
        known = _known(change, name)
        return SessionsRevoked(known.person.name, change.people.revoke_all(known.person.name, at=at))

    return act(
        records, Verb.REVOKE_SESSIONS, body, answer_as=SessionsRevoked, told=name, subject=name, by=by, at=at
    )


def _known(change: Change, name: str) -> KnownPerson:
    known = change.people.person(name)
    if known is None:
        raise Refused("unknown-person", sentence("nobody is called {name}", name=name))
    return known


def _leads(change: Change) -> bool:
    return any(one.active and one.person.role is Role.LEAD for one in change.people.people())


def _hashed(hasher: Hasher, new: NewSecrets) -> dict[str, str | None] | Refusal:
    """Hashes of what is to be set, or why it won't do."""
    hashed: dict[str, str | None] = {}
    if new.password is not None:
        if not LEAST_PASSWORD <= len(new.password) <= MOST_PASSWORD:
            return Refusal(
                "password",
                sentence(
                    "a password has {least_password} to {most_password} characters",
                    least_password=LEAST_PASSWORD,
                    most_password=MOST_PASSWORD,
                ),
            )
        hashed["password"] = hasher.hash(new.password)
    if new.pin is not None:
        if not (new.pin.isascii() and new.pin.isdigit() and len(new.pin) in PIN_DIGITS):
            return Refusal("pin", "a PIN has 4 to 12 digits")
        hashed["pin"] = hasher.hash(new.pin)
    if new.badge is not None:
        if len(new.badge) < LEAST_BADGE:
            return Refusal(
                "badge",
                sentence("a badge's code has at least {least_badge} characters", least_badge=LEAST_BADGE),
            )
        hashed["badge"] = digest_of(new.badge)
    return hashed


def _set(change: Change, name: str, hashed: dict[str, str | None]) -> None:
    badge = hashed.get("badge")
    holder = change.people.by_badge(badge) if badge else None
    if holder is not None and holder.person.name != name:
        raise Refused("badge-taken", "that badge is somebody else's", "Take another badge")
    change.people.set_secrets(name, hashed)


def _told(name: str, role: Role | None, active: bool, hashed: dict[str, str | None] | Refusal) -> PersonTold:
    given = () if isinstance(hashed, Refusal) else tuple(sorted(hashed))
    return PersonTold(name, role.value if role else "", active, given)
