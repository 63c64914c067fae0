"""People, sessions and tries to sign in, in the tables."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, func, insert, select, update

from kerfsmith.records.locks import hold
from kerfsmith.records.people_tables import people, sessions, tries
from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session, SessionKind
from kerfsmith.workflow.people_ports import Failures, KnownPerson, Secrets


class PeopleRead:
    """`workflow.people_ports.PeopleReading` over one connection."""

    def __init__(self, run: Connection) -> None:
        self._run = run

    def people(self) -> tuple[KnownPerson, ...]:
        """Everybody, by name."""
        return tuple(_read_person(row) for row in self._run.execute(select(people).order_by(people.c.name)))

    def person(self, name: str) -> KnownPerson | None:
        """One person by name, case apart."""
        return self._one(people.c.folded == name.strip().casefold())

    def _one(self, wanted: ColumnElement[bool]) -> KnownPerson | None:
        row = self._run.execute(select(people).where(wanted)).first()
        return _read_person(row) if row is not None else None

    def session(self, digest: str) -> Session | None:
        """A session by the SHA-256 of its secret, ended ones too; None where the person may not enter."""
        of_person = sessions.join(people, people.c.name == sessions.c.name)
        wanted = select(sessions).select_from(of_person)
        row = self._run.execute(wanted.where(sessions.c.digest == digest, people.c.active == 1)).first()
        return _read_session(row) if row is not None else None

    def sessions(self, name: str) -> tuple[Session, ...]:
        """A person's sessions, newest first."""
        wanted = select(sessions).where(sessions.c.name == name).order_by(sessions.c.began_at.desc())
        return tuple(_read_session(row) for row in self._run.execute(wanted))


class PeopleWrite(PeopleRead):
    """`workflow.people_ports.PeopleBook` over the connection of one open change."""

    def add(self, person: Person, *, at: datetime) -> None:
        """Keep a person."""
        self._run.execute(
            insert(people).values(
                name=person.name,
                folded=person.name.strip().casefold(),
                role=person.role.value,
                active=1,
                added_at=at,
            )
        )

    def set_role(self, name: str, role: Role) -> None:
        """Change what a person is there for."""
        self._set(name, {"role": role.value})

    def set_active(self, name: str, active: bool) -> None:
        """Whether a person may sign in."""
        self._set(name, {"active": int(active)})

    def set_secrets(self, name: str, secrets: Mapping[str, str | None]) -> None:
        """Set any of ``password``, ``pin`` (hashes) and ``badge`` (SHA-256)."""
        if secrets:
            self._set(name, dict(secrets))

    def _set(self, name: str, values: Mapping[str, Any]) -> None:
        self._run.execute(update(people).where(people.c.name == name).values(**values))

    def secrets(self, name: str) -> Secrets:
        """A person's hashes."""
        columns = people.c.password, people.c.pin
        row = self._run.execute(select(*columns).where(people.c.name == name)).first()
        return Secrets(row.password, row.pin) if row is not None else Secrets()

    def by_badge(self, badge: str) -> KnownPerson | None:
        """Whose badge it is, by its SHA-256."""
        return self._one(people.c.badge == badge)

    def failures(self, *, who: str | None = None, address: str | None = None, since: datetime) -> Failures:
        """Tries that failed: by name or badge, from an address, of both, or all where neither is given."""
        of = [tries.c.at >= since]
        if who is not None:
            of.append(tries.c.who == who[:240])
        if address is not None:
            of.append(tries.c.address == address[:80])
        failed = select(func.count(), func.max(tries.c.at)).where(*of, tries.c.good == 0)
        if address is not None:
            good = select(func.max(tries.c.at)).where(*of, tries.c.good == 1).scalar_subquery()
            failed = failed.where(tries.c.at >= func.coalesce(good, since))
        count, last_at = self._run.execute(failed).one()
        return Failures(count, last_at)

    def has_entered(self, who: str, address: str, *, since: datetime) -> bool:
        """Whether there was a good try by this name or badge from this address."""
        good = tries.c.who == who[:240], tries.c.address == address[:80], tries.c.good == 1
        found = select(tries.c.id).where(*good, tries.c.at >= since).limit(1)
        return self._run.execute(found).first() is not None

    def hold_tries(self, who: str, address: str) -> None:
        """Keep all others from counting tries of this name or address until the transaction ends."""
        # Tries of all are counted too, so they go one after the other; the hashing is done after.
        for name in sorted(("all", f"who {who}", f"address {address}")):
            hold(self._run, "tries", name)

    def add_try(self, try_id: str, *, who: str, address: str, at: datetime) -> None:
        """Count a try, as failed until it is known to be good."""
        self._run.execute(insert(tries).values(id=try_id, who=who[:240], address=address[:80], at=at, good=0))

    def pass_try(self, try_id: str) -> None:
        """Mark a try as good."""
        self._run.execute(update(tries).where(tries.c.id == try_id).values(good=1))

    def open_session(self, session: Session) -> None:
        """Keep a session."""
        self._run.execute(
            insert(sessions).values(
                digest=session.digest,
                name=session.person.name,
                role=session.person.role.value,
                kind=session.kind.value,
                place=session.place[:200],
                began_at=session.began_at,
                ends_at=session.ends_at,
            )
        )

    def revoke(self, digest: str, *, at: datetime) -> None:
        """End a session now."""
        standing = sessions.c.digest == digest, sessions.c.revoked_at.is_(None)
        self._run.execute(update(sessions).where(*standing).values(revoked_at=at))

    def revoke_all(self, name: str, *, at: datetime) -> int:
        """End all sessions of a person; how many there were."""
        standing = sessions.c.name == name, sessions.c.revoked_at.is_(None), sessions.c.ends_at > at
        return self._run.execute(update(sessions).where(*standing).values(revoked_at=at)).rowcount


def _read_person(row: Any) -> KnownPerson:
    return KnownPerson(
        Person(row.name, Role(row.role)),
        active=bool(row.active),
        has_password=row.password is not None,
        has_pin=row.pin is not None,
        has_badge=row.badge is not None,
    )


def _read_session(row: Any) -> Session:
    return Session(
        digest=row.digest,
        person=Person(row.name, Role(row.role)),
        kind=SessionKind(row.kind),
        place=row.place,
        began_at=row.began_at,
        ends_at=row.ends_at,
        revoked_at=row.revoked_at,
    )
