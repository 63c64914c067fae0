"""The table of saws that stood."""

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, String, Table, Text, text

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

stops = Table(
    "stops",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("saw_id", ForeignKey("saws.id"), nullable=False),
    Column("run_id", ForeignKey("runs.id")),
    Column("reason", String(40), nullable=False),
    Column("note", Text, nullable=False),
    Column("began_at", UtcTime, nullable=False),
    Column("began_by", String(200), nullable=False),
    Column("ended_at", UtcTime),
    Column("ended_by", String(200), nullable=False),
    CheckConstraint("ended_at >= began_at", name="ended_after_begun"),
    Index(
        "uq_stops_lasting",
        "saw_id",
        unique=True,
        sqlite_where=text("ended_at IS NULL"),
        postgresql_where=text("ended_at IS NULL"),
    ),
)
