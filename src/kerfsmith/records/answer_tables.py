"""Tables of answers: what programs got to requests with a key, and panels to each of their events."""

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    Index,
    Integer,
    LargeBinary,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from kerfsmith.records.tables import UtcTime, metadata

kept_answers = Table(
    "kept_answers",
    metadata,
    Column("person", String(200), primary_key=True),
    Column("key", String(200), primary_key=True),
    Column("digest", String(64), nullable=False),
    Column("began_at", UtcTime, nullable=False),
    Column("status", Integer),
    Column("media", String(120), nullable=False),
    Column("body", LargeBinary, nullable=False),
    CheckConstraint("key <> ''", name="has_key"),
    Index("ix_kept_answers_began_at", "began_at"),
)

panel_events = Table(
    "panel_events",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("panel", String(80), nullable=False),
    Column("number", Integer, nullable=False),
    Column("verb", String(80), nullable=False),
    Column("subject", Text, nullable=False),
    Column("told", JSON, nullable=False),
    Column("by", String(200), nullable=False),
    Column("happened_at", UtcTime, nullable=False),
    Column("received_at", UtcTime, nullable=False),
    Column("accepted", Integer, nullable=False),
    Column("answer", JSON, nullable=False),
    CheckConstraint("number > 0", name="number_above_zero"),
    CheckConstraint("accepted IN (0, 1)", name="accepted_or_not"),
    UniqueConstraint("panel", "number", name="uq_panel_events_number"),
)
