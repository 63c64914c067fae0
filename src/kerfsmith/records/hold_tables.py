"""What was decided on pieces that measured wrong, or were doubted; kept for good."""

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, String, Table, Text

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

decisions = Table(
    "decisions",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("cut_id", ForeignKey("cuts.id"), nullable=False),
    Column("inspection_id", ForeignKey("inspections.id"), unique=True),
    Column("kind", String(40), nullable=False),
    Column("reason", Text, nullable=False),
    Column("by", String(200), nullable=False),
    Column("at", UtcTime, nullable=False),
    CheckConstraint(
        "kind IN ('accepted as it is', 'cut again to length', 'measured again')", name="kind_known"
    ),
    CheckConstraint("kind <> 'accepted as it is' OR length(reason) > 0", name="accepted_for_a_reason"),
    CheckConstraint("kind = 'accepted as it is' OR inspection_id IS NOT NULL", name="settles_a_measure"),
    Index("ix_decisions_cut", "cut_id"),
)
