"""The first tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "bars",
        sa.Column("id", sa.String(length=120), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("section", sa.JSON(), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("count", sa.Integer(), nullable=True),
        sa.Column("heat", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("price", sa.Numeric(precision=14, scale=4), nullable=True),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("row", sa.Integer(), nullable=True),
        sa.CheckConstraint("count IS NOT NULL OR kind = 'to buy'", name=op.f("ck_bars_rack_is_counted")),
        sa.CheckConstraint("kind IN ('bar', 'remnant', 'to buy')", name=op.f("ck_bars_kind_known")),
        sa.CheckConstraint("count > 0", name=op.f("ck_bars_count_above_zero")),
        sa.CheckConstraint("length_um > 0", name=op.f("ck_bars_length_above_zero")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bars")),
    )
    with op.batch_alter_table("bars", schema=None) as batch_op:
        batch_op.create_index("ix_bars_grade_section", ["grade", "section_key"], unique=False)

    op.create_table(
        "ledger",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("verb", sa.String(length=80), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("detail", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_ledger")),
    )
    op.create_table(
        "orders",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_orders")),
    )
    op.create_table(
        "plans",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("order_ids", sa.JSON(), nullable=False),
        sa.Column("findings", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_plans")),
        sa.UniqueConstraint("id"),
    )
    op.create_table(
        "shop_state",
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_shop_state")),
    )
    op.create_table(
        "order_lines",
        sa.Column("order_id", sa.String(length=80), nullable=False),
        sa.Column("id", sa.String(length=120), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("section", sa.JSON(), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("plus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("minus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("angle_a_deg", sa.Float(), nullable=False),
        sa.Column("angle_b_deg", sa.Float(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("order_name", sa.Text(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("row", sa.Integer(), nullable=True),
        sa.CheckConstraint("length_um > 0", name=op.f("ck_order_lines_length_above_zero")),
        sa.CheckConstraint("quantity > 0", name=op.f("ck_order_lines_quantity_above_zero")),
        sa.ForeignKeyConstraint(
            ["order_id"], ["orders.id"], name=op.f("fk_order_lines_order_id_orders"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("order_id", "id", name=op.f("pk_order_lines")),
    )
    op.create_table(
        "plan_groups",
        sa.Column("plan_id", sa.String(length=80), nullable=False),
        sa.Column("id", sa.String(length=200), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("saw", sa.String(length=80), nullable=False),
        sa.Column("status", sa.String(length=40), nullable=False),
        sa.Column("cost", sa.Float(), nullable=False),
        sa.Column("lower_bound", sa.Float(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plans.id"], name=op.f("fk_plan_groups_plan_id_plans"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("plan_id", "id", name=op.f("pk_plan_groups")),
    )
    op.create_table(
        "plan_bars",
        sa.Column("plan_id", sa.String(length=80), nullable=False),
        sa.Column("group_id", sa.String(length=200), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("bar_id", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("times", sa.Integer(), nullable=False),
        sa.Column("heat", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("facing_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("facing_kerf_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("pieces_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kerfs_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("remnant_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("keep", sa.Integer(), nullable=False),
        sa.Column("pieces", sa.JSON(), nullable=False),
        sa.CheckConstraint(
            "length_um = facing_um + facing_kerf_um + pieces_um + kerfs_um + remnant_um",
            name=op.f("ck_plan_bars_bar_adds_up"),
        ),
        sa.CheckConstraint("remnant_um >= 0", name=op.f("ck_plan_bars_remnant_not_below_zero")),
        sa.CheckConstraint("times > 0", name=op.f("ck_plan_bars_times_above_zero")),
        sa.ForeignKeyConstraint(
            ["plan_id", "group_id"],
            ["plan_groups.plan_id", "plan_groups.id"],
            name=op.f("fk_plan_bars_plan_id_plan_groups"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("plan_id", "group_id", "position", name=op.f("pk_plan_bars")),
    )
    _make_ledger_append_only()


def _make_ledger_append_only() -> None:
    if op.get_bind().dialect.name == "sqlite":
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER ledger_no_{verb.lower()} BEFORE {verb} ON ledger "
                "BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END"
            )
    else:
        op.execute(
            "CREATE FUNCTION ledger_refuse() RETURNS trigger AS "
            "$$ BEGIN RAISE EXCEPTION 'the ledger is append-only'; END $$ LANGUAGE plpgsql"
        )
        op.execute(
            "CREATE TRIGGER ledger_append_only BEFORE UPDATE OR DELETE ON ledger "
            "FOR EACH ROW EXECUTE FUNCTION ledger_refuse()"
        )


def downgrade() -> None:
    """Take them away."""
    if op.get_bind().dialect.name != "sqlite":
        op.execute("DROP FUNCTION ledger_refuse() CASCADE")
    op.drop_table("plan_bars")
    op.drop_table("plan_groups")
    op.drop_table("order_lines")
    op.drop_table("shop_state")
    op.drop_table("plans")
    op.drop_table("orders")
    op.drop_table("ledger")
    with op.batch_alter_table("bars", schema=None) as batch_op:
        batch_op.drop_index("ix_bars_grade_section")

    op.drop_table("bars")
