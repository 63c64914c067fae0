"""What the verbs about people and sessions ask of the records and of whoever hashes secrets."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from kerfsmith.shop.person import Person, Role
from kerfsmith.shop.session import Session


@dataclass(frozen=True, slots=True)
class KnownPerson:
    """A person on record; the secrets are told of only by whether there are any."""

    person: Person
    active: bool
    has_password: bool
    has_pin: bool
    has_badge: bool


@dataclass(frozen=True, slots=True)
class Secrets:
    """Hashes of a person's secrets, None where there is none."""

    password: str | None = None
    pin: str | None = None


@dataclass(frozen=True, slots=True)
class Failures:
    """Wrong tries in a row and when the last was, None for none."""

    count: int
    last_at: datetime | None


class Hasher(Protocol):
    """Slow, salted hashing of passwords and PINs."""

    def hash(self, secret: str) -> str:
        """Hash of a secret, different each time."""

    def fits(self, secret: str, hashed: str | None) -> bool:
        """Whether the hash is of this secret; as slow, and False, where there is no hash."""


class PeopleReading(Protocol):
    """People and sessions, to be read."""

    def people(self) -> tuple[KnownPerson, ...]:
        """Everybody, by name."""

    def person(self, name: str) -> KnownPerson | None:
        """One person by name, case apart."""

    def session(self, digest: str) -> Session | None:
        """A session by the SHA-256 of its secret, ended ones too; None where the person may not enter."""

    def sessions(self, name: str) -> tuple[Session, ...]:
        """A person's sessions, newest first."""


class PeopleBook(PeopleReading, Protocol):
    """People and sessions, to be changed."""

    def add(self, person: Person, *, at: datetime) -> None:
        """Keep a person."""

    def set_role(self, name: str, role: Role) -> None:
        """Change what a person is there for."""

    def set_active(self, name: str, active: bool) -> None:
        """Whether a person may sign in."""

    def set_secrets(self, name: str, secrets: Mapping[str, str | None]) -> None:
        """Set any of ``password``, ``pin`` (hashes) and ``badge`` (SHA-256)."""

    def secrets(self, name: str) -> Secrets:
        """A person's hashes."""

    def by_badge(self, badge: str) -> KnownPerson | None:
        """Whose badge it is, by its SHA-256."""

    def failures(self, *, who: str | None = None, address: str | None = None, since: datetime) -> Failures:
        """Tries that failed: by name or badge, from an address, of both, or all where neither is given.

        Of an address, and of a name from one, those since the last good one; of a name or of all every one.
        """

    def has_entered(self, who: str, address: str, *, since: datetime) -> bool:
        """Whether there was a good try by this name or badge from this address."""

    def hold_tries(self, who: str, address: str) -> None:
        """Keep all others from counting tries of this name or address until the transaction ends."""

    def add_try(self, try_id: str, *, who: str, address: str, at: datetime) -> None:
        """Count a try, as failed until it is known to be good."""

    def pass_try(self, try_id: str) -> None:
        """Mark a try as good."""

    def open_session(self, session: Session) -> None:
        """Keep a session."""

    def revoke(self, digest: str, *, at: datetime) -> None:
        """End a session now."""

    def revoke_all(self, name: str, *, at: datetime) -> int:
        """End all sessions of a person; how many there were."""
