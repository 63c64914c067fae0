"""Tables of faults at the saws and of what they turned out to be; both are only added to."""

from sqlalchemy import JSON, CheckConstraint, Column, ForeignKey, Index, String, Table, Text

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

faults = Table(
    "faults",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("saw", String(80), nullable=False),
    Column("symptom", String(40), nullable=False),
    Column("grade", String(200), nullable=False),
    Column("section", Text, nullable=False),
    Column("run_id", String(80)),
    Column("band_id", String(80)),
    Column("note", Text, nullable=False),
    Column("seen", JSON, nullable=False),
    Column("named", JSON, nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("by", String(200), nullable=False),
    CheckConstraint("saw <> ''", name="has_saw"),
    Index("ix_faults_symptom", "symptom"),
)

found_causes = Table(
    "found_causes",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("fault_id", ForeignKey("faults.id", ondelete="CASCADE"), nullable=False),
    Column("cause", String(120), nullable=False),
    Column("note", Text, nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("by", String(200), nullable=False),
    CheckConstraint("cause <> ''", name="has_cause"),
    Index("ix_found_causes_fault_id", "fault_id"),
)
