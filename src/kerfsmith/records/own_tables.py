"""Tables of what the shop adds to the package's: drawn sections, names of grades, files of tables."""

from sqlalchemy import JSON, CheckConstraint, Column, String, Table, Text, UniqueConstraint

from kerfsmith.records.tables import UtcTime, metadata

own_sections = Table(
    "own_sections",
    metadata,
    Column("folded", String(120), primary_key=True),
    Column("name", String(120), nullable=False),
    Column("key", Text, nullable=False),
    Column("file", Text, nullable=False),
    Column("document", JSON, nullable=False),
    Column("kept_at", UtcTime, nullable=False),
    Column("kept_by", String(200), nullable=False),
    CheckConstraint("folded <> '' AND name <> ''", name="has_name"),
    UniqueConstraint("key", name="uq_own_sections_key"),
)

own_grade_names = Table(
    "own_grade_names",
    metadata,
    Column("folded", String(160), primary_key=True),
    Column("word", String(160), nullable=False),
    Column("grade", String(120), nullable=False),
    Column("kept_at", UtcTime, nullable=False),
    Column("kept_by", String(200), nullable=False),
    CheckConstraint("folded <> '' AND word <> '' AND grade <> ''", name="has_word_and_grade"),
)

own_table_files = Table(
    "own_table_files",
    metadata,
    Column("name", String(120), primary_key=True),
    Column("text", Text, nullable=False),
    Column("kept_at", UtcTime, nullable=False),
    Column("kept_by", String(200), nullable=False),
    CheckConstraint("name <> ''", name="has_name"),
)
