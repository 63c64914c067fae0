"""Quotes with their lines and what became of them, the shop's saw sheets, which-saw comparisons."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "comparisons",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_comparisons")),
        sa.UniqueConstraint("id"),
    )
    op.create_table(
        "quotes",
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("reference", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("valid_until", sa.Date(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("lines", sa.Integer(), nullable=False),
        sa.Column("total_parts", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("from_order", sa.String(length=80), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("number <> '' AND customer <> ''", name=op.f("ck_quotes_has_number_and_customer")),
        sa.CheckConstraint("lines >= 0 AND total_parts >= 0", name=op.f("ck_quotes_not_below_zero")),
        sa.CheckConstraint("revision >= 1", name=op.f("ck_quotes_revisions_from_one")),
        sa.CheckConstraint("valid_until >= day", name=op.f("ck_quotes_ends_after_it_begins")),
        sa.PrimaryKeyConstraint("number", "revision", name=op.f("pk_quotes")),
    )
    op.create_table(
        "saw_sheets",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("standing", sa.String(length=20), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("id <> '' AND name <> ''", name=op.f("ck_saw_sheets_has_name")),
        sa.CheckConstraint(
            "standing IN ('own', 'candidate', 'retired')", name=op.f("ck_saw_sheets_standing_known")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_saw_sheets")),
    )
    op.create_table(
        "quote_lines",
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("line_id", sa.String(length=120), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("each_parts", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("total_parts", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.CheckConstraint("count > 0", name=op.f("ck_quote_lines_count_above_zero")),
        sa.CheckConstraint(
            "total_parts = count * each_parts", name=op.f("ck_quote_lines_total_is_count_times_each")
        ),
        sa.ForeignKeyConstraint(
            ["number", "revision"],
            ["quotes.number", "quotes.revision"],
            name=op.f("fk_quote_lines_number_quotes"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("number", "revision", "position", name=op.f("pk_quote_lines")),
    )
    op.create_table(
        "quote_settlements",
        sa.Column("number", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("order_id", sa.String(length=80), nullable=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.CheckConstraint(
            "(state = 'accepted') = (order_id IS NOT NULL)",
            name=op.f("ck_quote_settlements_accepted_with_order"),
        ),
        sa.CheckConstraint(
            "state IN ('accepted', 'declined', 'replaced')", name=op.f("ck_quote_settlements_state_known")
        ),
        sa.ForeignKeyConstraint(
            ["number", "revision"],
            ["quotes.number", "quotes.revision"],
            name=op.f("fk_quote_settlements_number_quotes"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("number", "revision", name=op.f("pk_quote_settlements")),
    )
    with op.batch_alter_table("quote_settlements", schema=None) as batch_op:
        batch_op.create_index(
            "uq_quote_settlements_accepted",
            ["number"],
            unique=True,
            sqlite_where=sa.text("state = 'accepted'"),
            postgresql_where=sa.text("state = 'accepted'"),
        )
    keep_for_good("quotes", "quote_lines", "quote_settlements")


def downgrade() -> None:
    """Take them away."""
    drop_keeping("quote_settlements", "quote_lines", "quotes")
    for table in ("quote_settlements", "quote_lines", "saw_sheets", "quotes", "comparisons"):
        op.drop_table(table)
