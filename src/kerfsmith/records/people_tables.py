"""Tables of people, their sessions, and tries to sign in. No secret is kept, only hashes."""

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, String, Table, Text

from kerfsmith.records.tables import UtcTime, metadata

people = Table(
    "people",
    metadata,
    Column("name", String(200), primary_key=True),
    Column("folded", String(200), nullable=False, unique=True),
    Column("role", String(20), nullable=False),
    Column("active", Integer, nullable=False),
    Column("password", Text),
    Column("pin", Text),
    Column("badge", String(64), unique=True),
    Column("added_at", UtcTime, nullable=False),
    CheckConstraint("role IN ('operator', 'planner', 'lead', 'guest')", name="role_known"),
    CheckConstraint("password LIKE '$argon2id$%'", name="password_hashed"),
    CheckConstraint("pin LIKE '$argon2id$%'", name="pin_hashed"),
    CheckConstraint("length(badge) = 64", name="badge_hashed"),
)

sessions = Table(
    "sessions",
    metadata,
    Column("digest", String(64), primary_key=True),
    Column("name", ForeignKey("people.name"), nullable=False),
    Column("role", String(20), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("place", String(200), nullable=False),
    Column("began_at", UtcTime, nullable=False),
    Column("ends_at", UtcTime, nullable=False),
    Column("revoked_at", UtcTime),
    CheckConstraint("length(digest) = 64", name="secret_hashed"),
    CheckConstraint("role IN ('operator', 'planner', 'lead', 'guest')", name="role_known"),
    CheckConstraint("kind IN ('desk', 'panel', 'token')", name="kind_known"),
    CheckConstraint("ends_at > began_at", name="ends_after_begun"),
    Index("ix_sessions_name", "name"),
)

tries = Table(
    "tries",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("who", String(240), nullable=False),
    Column("address", String(80), nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("good", Integer, nullable=False),
    CheckConstraint("good IN (0, 1)", name="good_or_not"),
    Index("ix_tries_who", "who", "at"),
    Index("ix_tries_address", "address", "at"),
)
