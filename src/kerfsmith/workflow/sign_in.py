"""Signing in at a desk, opening a panel for a shift, and who is behind a session. Guesses are throttled."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from kerfsmith.shop.person import Person
from kerfsmith.shop.session import FREE_TRIES, Session, SessionKind, wait_seconds
from kerfsmith.units.told import sentence
from kerfsmith.workflow.people_ports import Hasher, KnownPerson, Secrets
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, LedgerNote, Records
from kerfsmith.workflow.refusal import Refusal

FREE_TRIES_AN_ADDRESS = 5 * FREE_TRIES
"""A panel is used by several people, so one address is let guess more often than one name."""
FREE_TRIES_A_NAME = 4 * FREE_TRIES
"""At one name, from wherever nobody of that name has signed in yet; what many machines guess together."""
FREE_TRIES_IN_ALL = 100
"""At all names from everywhere within `BUSY_FOR`; where somebody has signed in before, it holds nobody up."""
REMEMBERED = timedelta(hours=24)
"""How far back wrong tries count."""
BUSY_FOR = timedelta(minutes=10)
KNOWN_FOR = timedelta(days=90)
"""How long an address is known as one's own after signing in there."""
_WRONG = Refusal("wrong", "name and secret don't belong together", "Try again, or ask a lead for a new one")


def digest_of(secret: str) -> str:
    """SHA-256 by which the records know a session's or token's secret, or a badge."""
    return hashlib.sha256(secret.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class SignIn:
    """``name`` and ``password`` as keyed, from ``address``; ``try_id`` is new for each try."""

    name: str
    password: str
    address: str
    try_id: str


@dataclass(frozen=True, slots=True)
class OpenPanel:
    """A badge, or a name with its PIN, at the panel ``panel``, from ``address``."""

    panel: str
    address: str
    try_id: str
    badge: str = ""
    name: str = ""
    pin: str = ""


@dataclass(frozen=True, slots=True)
class _SignedTold:
    """What the ledger says of a try: no secret."""

    place: str
    address: str


def sign_in(
    records: Records, hasher: Hasher, told: SignIn, *, secret: str, at: datetime, lasts: timedelta
) -> Session | Refusal:
    """Open a desk session known by ``secret`` (which the caller made, and gives to the browser).

    Refused: wrong name or password, said in the same words and time; too many wrong tries of late.
    """
    who = told.name.strip().casefold()
    session = _session(SessionKind.DESK, "desk", secret, at, lasts)
    return _enter(
        records,
        Verb.SIGN_IN,
        _Try(told.try_id, who, told.address, "desk"),
        lambda change: _named(change, told.name),
        lambda secrets: hasher.fits(told.password, secrets.password),
        session,
        at,
    )


def open_panel(
    records: Records, hasher: Hasher, told: OpenPanel, *, secret: str, at: datetime, until: datetime
) -> Session | Refusal:
    """Open a panel for a shift, with a badge or with name and PIN."""
    session = _session(SessionKind.PANEL, told.panel, secret, at, until - at)
    if told.badge:
        badge = digest_of(told.badge)
        known = _Try(told.try_id, f"badge {badge[:16]}", told.address, told.panel)
        return _enter(
            records,
            Verb.OPEN_PANEL,
            known,
            lambda change: _badged(change, badge),
            lambda _: True,
            session,
            at,
        )
    return _enter(
        records,
        Verb.OPEN_PANEL,
        _Try(told.try_id, f"pin {told.name.strip().casefold()}", told.address, told.panel),
        lambda change: _named(change, told.name),
        lambda secrets: hasher.fits(told.pin, secrets.pin),
        session,
        at,
    )


@dataclass(frozen=True, slots=True)
class _Try:
    id: str
    who: str
    address: str
    place: str


Found = tuple[KnownPerson | None, Secrets]


def _named(change: Change, name: str) -> Found:
    known = change.people.person(name.strip())
    return known, change.people.secrets(known.person.name) if known is not None else Secrets()


def _badged(change: Change, badge: str) -> Found:
    return change.people.by_badge(badge), Secrets()


def _session(
    kind: SessionKind, place: str, secret: str, at: datetime, lasts: timedelta
) -> Callable[[Person], Session]:
    return lambda person: Session(digest_of(secret), person, kind, place, at, at + lasts)


def _enter(
    records: Records,
    verb: Verb,
    one: _Try,
    find: Callable[[Change], Found],
    fits: Callable[[Secrets], bool],
    session: Callable[[Person], Session],
    at: datetime,
) -> Session | Refusal:
    """Count the try first, so that guesses made side by side all count; then hash; then open or refuse."""

    def begin(change: Change) -> Found | Refusal:
        change.people.hold_tries(one.who, one.address)
        wait_s = _wait_s(change, one, at)
        if wait_s > 0:
            refusal = Refusal(
                "wait",
                sentence("too many wrong tries; wait {wait} seconds", wait=f"{wait_s:.0f}"),
                "Ask a lead",
            )
            change.note(_note(verb, one, at, refusal), None)
            return refusal
        change.people.add_try(one.id, who=one.who, address=one.address, at=at)
        return find(change)

    found = records.perform(begin)
    if isinstance(found, Refusal):
        return found
    known, secrets = found
    # The secret is hashed whether or not the person is known: the time says nothing.
    right = fits(secrets) and known is not None and known.active

    def end(change: Change) -> Session | Refusal:
        if not right or known is None:
            change.note(_note(verb, one, at, _WRONG), None)
            return _WRONG
        change.people.pass_try(one.id)
        opened = session(known.person)
        change.people.open_session(opened)
        change.note(_note(verb, one, at, None, known.person.name), None)
        return opened

    return records.perform(end)


def _wait_s(change: Change, one: _Try, at: datetime) -> float:
    """Wait for this name from this address, for this address, and for a stranger to the name at all.

    Guesses made elsewhere at a name don't shut its owner out where he has signed in before: there only his
    own wrong tries count.
    """
    since, people = at - REMEMBERED, change.people
    limits = [
        (people.failures(who=one.who, address=one.address, since=since), FREE_TRIES),
        (people.failures(address=one.address, since=since), FREE_TRIES_AN_ADDRESS),
    ]
    if not people.has_entered(one.who, one.address, since=at - KNOWN_FOR):
        limits.append((people.failures(who=one.who, since=since), FREE_TRIES_A_NAME))
        limits.append((people.failures(since=at - BUSY_FOR), FREE_TRIES_IN_ALL))
    waits = [0.0]
    for failures, free in limits:
        if failures.last_at is not None:
            waits.append(wait_seconds(failures.count, free) - (at - failures.last_at).total_seconds())
    return max(waits)


def _note(verb: Verb, one: _Try, at: datetime, refusal: Refusal | None, name: str = "") -> LedgerNote:
    return LedgerNote(verb, name or "nobody", at, one.who, _SignedTold(one.place, one.address), refusal)


def who_is(records: Records, secret: str, *, at: datetime) -> Person | None:
    """The person behind a session's secret, None when the session does not hold at that moment."""
    with records.look() as look:
        session = look.people.session(digest_of(secret))
    return session.person if session is not None and session.holds(at) else None


def session_of(records: Records, secret: str) -> Session | None:
    """The session of a secret, ended or not; for events that reach the records after the shift."""
    with records.look() as look:
        return look.people.session(digest_of(secret))


def sign_out(records: Records, secret: str, *, at: datetime) -> None:
    """End a session; nothing happens for one that isn't known."""
    digest = digest_of(secret)

    def body(change: Change) -> None:
        session = change.people.session(digest)
        if session is not None and session.holds(at):
            change.people.revoke(digest, at=at)
            told = _SignedTold(session.place, "")
            change.note(LedgerNote(Verb.SIGN_OUT, session.person.name, at, session.place, told), None)

    records.perform(body)
