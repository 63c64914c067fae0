"""Tables of what was decided of learned factors, and of work done before these records; both only added
to.
"""

from sqlalchemy import JSON, CheckConstraint, Column, Float, Index, Integer, String, Table, Text

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

factor_decisions = Table(
    "factor_decisions",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("measure", String(40), nullable=False),
    Column("scope", Text, nullable=False),
    Column("decision", String(20), nullable=False),
    Column("value", Float),
    Column("low", Float),
    Column("high", Float),
    Column("count", Integer),
    Column("by", String(200), nullable=False),
    Column("at", UtcTime, nullable=False),
    CheckConstraint("decision IN ('accept', 'freeze', 'forget', 'follow')", name="decision_known"),
    CheckConstraint("measure IN ('cut time', 'index time', 'band life')", name="measure_known"),
    CheckConstraint("(decision = 'forget') = (value IS NULL)", name="forgotten_has_no_value"),
    CheckConstraint(
        "value IS NULL OR (low > 0 AND low <= value AND value <= high)", name="value_in_interval"
    ),
    Index("ix_factor_decisions_scope", "measure", "scope"),
)

earlier_work = Table(
    "earlier_work",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("kind", String(20), nullable=False),
    Column("source", Text, nullable=False),
    Column("document", JSON, nullable=False),
    CheckConstraint("kind IN ('cut', 'band')", name="kind_known"),
)
