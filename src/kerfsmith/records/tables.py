"""The tables. Rules of the data stand here as constraints, so that no program can break them."""

from datetime import UTC, datetime

from sqlalchemy import (
    JSON,
    BigInteger,
    CheckConstraint,
    Column,
    Date,
    DateTime,
    Dialect,
    Float,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Numeric,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

from kerfsmith.errors import InvalidValue

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class UtcTime(TypeDecorator[datetime]):
    """Moments, kept in UTC. SQLite forgets the zone, so it is put on and taken off here."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, _dialect: Dialect) -> datetime | None:
        """To UTC. Raises InvalidValue for a time without zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise InvalidValue(f"{value} has no time zone")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, _dialect: Dialect) -> datetime | None:
        """In UTC."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


WholeNumber = BigInteger().with_variant(Integer, "sqlite")

ledger = Table(
    "ledger",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("at", UtcTime, nullable=False),
    Column("by", String(200), nullable=False),
    Column("verb", String(80), nullable=False),
    Column("subject", Text, nullable=False),
    Column("detail", JSON, nullable=False),
    Column("refused", Text),
    Column("event_id", String(80)),
    Index("uq_ledger_event", "event_id", unique=True),
)

shop_state = Table(
    "shop_state",
    metadata,
    Column("name", String(80), primary_key=True),
    Column("value", JSON, nullable=False),
)

orders = Table(
    "orders",
    metadata,
    Column("id", String(80), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("name", Text, nullable=False),
)

order_lines = Table(
    "order_lines",
    metadata,
    Column("order_id", ForeignKey("orders.id", ondelete="CASCADE"), primary_key=True),
    Column("id", String(120), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("mark", Text, nullable=False),
    Column("grade", String(120), nullable=False),
    Column("section_key", Text, nullable=False),
    Column("section", JSON, nullable=False),
    Column("length_um", WholeNumber, nullable=False),
    Column("quantity", Integer, nullable=False),
    Column("plus_um", WholeNumber),
    Column("minus_um", WholeNumber),
    Column("due", Date),
    Column("angle_a_deg", Float, nullable=False),
    Column("angle_b_deg", Float, nullable=False),
    Column("notes", Text, nullable=False),
    Column("order_name", Text, nullable=False),
    Column("customer", Text, nullable=False),
    Column("row", Integer),
    Column("lie", String(40)),
    Column("or_grades", JSON),
    Column("or_sections", JSON),
    CheckConstraint("length_um > 0", name="length_above_zero"),
    CheckConstraint("quantity > 0", name="quantity_above_zero"),
)

heats = Table(
    "heats",
    metadata,
    Column("number", String(120), primary_key=True),
    Column("mill", Text, nullable=False),
    Column("note", Text, nullable=False),
    CheckConstraint("number <> ''", name="has_number"),
)

files = Table(
    "files",
    metadata,
    Column("digest", String(64), primary_key=True),
    Column("kind", String(40), nullable=False),
    Column("size", Integer, nullable=False),
    Column("content", LargeBinary, nullable=False),
    CheckConstraint("kind IN ('application/pdf', 'image/png', 'image/jpeg')", name="kind_known"),
    CheckConstraint("size = length(content)", name="size_true"),
    CheckConstraint("length(digest) = 64", name="digest_whole"),
)

certificates = Table(
    "certificates",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("heat", ForeignKey("heats.number"), nullable=False),
    Column("name", String(200), nullable=False),
    Column("digest", ForeignKey("files.digest"), nullable=False),
    Column("added_at", UtcTime, nullable=False),
    Column("added_by", String(200), nullable=False),
    UniqueConstraint("heat", "digest", name="uq_certificates_heat_digest"),
)

bars = Table(
    "bars",
    metadata,
    Column("id", String(120), primary_key=True),
    Column("grade", String(120), nullable=False),
    Column("section_key", Text, nullable=False),
    Column("section", JSON, nullable=False),
    Column("length_um", WholeNumber, nullable=False),
    Column("count", Integer),
    Column("heat", ForeignKey("heats.number")),
    Column("place", Text, nullable=False),
    Column("price", Numeric(14, 4)),
    Column("kind", String(20), nullable=False),
    Column("row", Integer),
    Column("end_is_good", Integer, nullable=False, server_default="0"),
    CheckConstraint("length_um > 0", name="length_above_zero"),
    CheckConstraint("end_is_good IN (0, 1)", name="end_is_good_or_not"),
    CheckConstraint("count >= 0", name="count_not_below_zero"),
    CheckConstraint("count IS NOT NULL OR kind = 'to buy'", name="rack_is_counted"),
    CheckConstraint("kind IN ('bar', 'remnant', 'to buy')", name="kind_known"),
    UniqueConstraint("id", "grade", "section_key", "length_um", name="uq_bars_kind"),
    UniqueConstraint("id", "heat", name="uq_bars_heat"),
    Index("ix_bars_grade_section", "grade", "section_key"),
)

plans = Table(
    "plans",
    metadata,
    Column("number", WholeNumber, primary_key=True, autoincrement=True),
    Column("id", String(80), nullable=False, unique=True),
    Column("name", Text, nullable=False),
    Column("seed", Integer, nullable=False),
    Column("order_ids", JSON, nullable=False),
    Column("findings", JSON, nullable=False),
)

plan_groups = Table(
    "plan_groups",
    metadata,
    Column("plan_id", ForeignKey("plans.id", ondelete="CASCADE"), primary_key=True),
    Column("id", String(200), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("grade", String(120), nullable=False),
    Column("section_key", Text, nullable=False),
    Column("saw", String(80), nullable=False),
    Column("status", String(40), nullable=False),
    Column("cost", Float, nullable=False),
    Column("lower_bound", Float, nullable=False),
    Column("document", JSON, nullable=False),
)

plan_bars = Table(
    "plan_bars",
    metadata,
    Column("plan_id", String(80), primary_key=True),
    Column("group_id", String(200), primary_key=True),
    Column("position", Integer, primary_key=True),
    Column("bar_id", String(120), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("length_um", WholeNumber, nullable=False),
    Column("times", Integer, nullable=False),
    Column("at_once", Integer, nullable=False, server_default="1"),
    Column("heat", Text, nullable=False),
    Column("place", Text, nullable=False),
    Column("facing_um", WholeNumber, nullable=False),
    Column("facing_kerf_um", WholeNumber, nullable=False),
    Column("pieces_um", WholeNumber, nullable=False),
    Column("kerfs_um", WholeNumber, nullable=False),
    Column("remnant_um", WholeNumber, nullable=False),
    Column("keep", Integer, nullable=False),
    Column("pieces", JSON, nullable=False),
    CheckConstraint(
        "length_um = facing_um + facing_kerf_um + pieces_um + kerfs_um + remnant_um", name="bar_adds_up"
    ),
    CheckConstraint("times > 0", name="times_above_zero"),
    CheckConstraint("at_once > 0 AND times % at_once = 0", name="whole_loads"),
    CheckConstraint("remnant_um >= 0", name="remnant_not_below_zero"),
    ForeignKeyConstraint(
        ["plan_id", "group_id"], ["plan_groups.plan_id", "plan_groups.id"], ondelete="CASCADE"
    ),
)
