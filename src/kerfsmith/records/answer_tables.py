"""The table of answers that programs got to requests with a key."""

from sqlalchemy import CheckConstraint, Column, Index, Integer, LargeBinary, String, Table

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
