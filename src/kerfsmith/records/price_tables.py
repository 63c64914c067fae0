"""Tables of quotes, saw sheets and comparisons.

Prices stand in whole smallest parts of their currency, so that they add up exactly in any database.
"""

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    Date,
    ForeignKeyConstraint,
    Index,
    Integer,
    String,
    Table,
    Text,
    text,
)

from kerfsmith.records.tables import UtcTime, WholeNumber, metadata

quotes = Table(
    "quotes",
    metadata,
    Column("number", String(40), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("customer", Text, nullable=False),
    Column("reference", Text, nullable=False),
    Column("day", Date, nullable=False),
    Column("valid_until", Date, nullable=False),
    Column("currency", String(3), nullable=False),
    Column("lines", Integer, nullable=False),
    Column("total_parts", WholeNumber, nullable=False),
    Column("from_order", String(80), nullable=False),
    Column("document", JSON, nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("made_by", String(200), nullable=False),
    CheckConstraint("number <> '' AND customer <> ''", name="has_number_and_customer"),
    CheckConstraint("revision >= 1", name="revisions_from_one"),
    CheckConstraint("valid_until >= day", name="ends_after_it_begins"),
    CheckConstraint("lines >= 0 AND total_parts >= 0", name="not_below_zero"),
)

quote_lines = Table(
    "quote_lines",
    metadata,
    Column("number", String(40), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("position", Integer, primary_key=True),
    Column("line_id", String(120), nullable=False),
    Column("mark", Text, nullable=False),
    Column("count", Integer, nullable=False),
    Column("each_parts", WholeNumber, nullable=False),
    Column("total_parts", WholeNumber, nullable=False),
    Column("document", JSON, nullable=False),
    CheckConstraint("count > 0", name="count_above_zero"),
    CheckConstraint("total_parts = count * each_parts", name="total_is_count_times_each"),
    ForeignKeyConstraint(["number", "revision"], ["quotes.number", "quotes.revision"], ondelete="CASCADE"),
)

quote_settlements = Table(
    "quote_settlements",
    metadata,
    Column("number", String(40), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("state", String(20), nullable=False),
    Column("order_id", String(80)),
    Column("at", UtcTime, nullable=False),
    Column("by", String(200), nullable=False),
    CheckConstraint("state IN ('accepted', 'declined', 'replaced')", name="state_known"),
    CheckConstraint("(state = 'accepted') = (order_id IS NOT NULL)", name="accepted_with_order"),
    ForeignKeyConstraint(["number", "revision"], ["quotes.number", "quotes.revision"], ondelete="CASCADE"),
    Index(
        "uq_quote_settlements_accepted",
        "number",
        unique=True,
        sqlite_where=text("state = 'accepted'"),
        postgresql_where=text("state = 'accepted'"),
    ),
)

saw_sheets = Table(
    "saw_sheets",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("name", Text, nullable=False),
    Column("standing", String(20), nullable=False),
    Column("document", JSON, nullable=False),
    Column("kept_at", UtcTime, nullable=False),
    Column("kept_by", String(200), nullable=False),
    CheckConstraint("id <> '' AND name <> ''", name="has_name"),
    CheckConstraint("standing IN ('own', 'candidate', 'retired')", name="standing_known"),
)

comparisons = Table(
    "comparisons",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("customer", Text, nullable=False),
    Column("document", JSON, nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("made_by", String(200), nullable=False),
)
