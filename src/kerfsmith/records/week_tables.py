"""Tables of the week: weeks proposed and kept, and how a plan's groups would be cut on other saws."""

from sqlalchemy import JSON, CheckConstraint, Column, ForeignKey, Index, String, Table, Text, text

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

weeks = Table(
    "weeks",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("plan_id", ForeignKey("plans.id", ondelete="CASCADE"), nullable=False),
    Column("base_id", String(80), nullable=False),
    Column("state", String(20), nullable=False),
    Column("why", Text, nullable=False),
    Column("document", JSON, nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("made_by", String(200), nullable=False),
    Column("settled_at", UtcTime),
    Column("settled_by", String(200)),
    CheckConstraint("state IN ('proposed', 'kept', 'refused', 'past')", name="state_known"),
    CheckConstraint("(state = 'proposed') = (settled_at IS NULL)", name="settled_at_a_time"),
    CheckConstraint("(settled_at IS NULL) = (settled_by IS NULL)", name="settled_by_somebody"),
    CheckConstraint("base_id <> id", name="changes_another"),
    Index(
        "uq_weeks_kept",
        "state",
        unique=True,
        sqlite_where=text("state = 'kept'"),
        postgresql_where=text("state = 'kept'"),
    ),
    Index(
        "uq_weeks_proposed",
        "state",
        unique=True,
        sqlite_where=text("state = 'proposed'"),
        postgresql_where=text("state = 'proposed'"),
    ),
)
"""One week at most is in force, and one at most is put forward."""

plan_options = Table(
    "plan_options",
    metadata,
    Column("plan_id", ForeignKey("plans.id", ondelete="CASCADE"), primary_key=True),
    Column("group_id", String(200), primary_key=True),
    Column("saw", String(80), primary_key=True),
    Column("document", JSON, nullable=False),
)
"""Groups of a plan as they would be cut on other saws, bars included."""
