"""Bands and where they are mounted; runs with their lines and planned bars."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "saws",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_saws")),
    )
    op.create_table(
        "bands",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=120), nullable=False),
        sa.Column("break_in_cm2", sa.Float(), nullable=False),
        sa.Column("cut_before_cm2", sa.Float(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("added_by", sa.String(length=200), nullable=False),
        sa.Column("retired", sa.String(length=40), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "(retired IS NULL) = (retired_at IS NULL)", name=op.f("ck_bands_retired_with_reason")
        ),
        sa.CheckConstraint(
            "break_in_cm2 >= 0 AND cut_before_cm2 >= 0", name=op.f("ck_bands_areas_not_below_zero")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bands")),
    )
    op.create_table(
        "mountings",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("band_id", sa.String(length=80), nullable=False),
        sa.Column("saw_id", sa.String(length=80), nullable=False),
        sa.Column("mounted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("mounted_by", sa.String(length=200), nullable=False),
        sa.Column("removed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("removed_by", sa.String(length=200), nullable=False),
        sa.Column("why", sa.String(length=40), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "(removed_at IS NULL) = (why IS NULL)", name=op.f("ck_mountings_removed_with_reason")
        ),
        sa.CheckConstraint("removed_at >= mounted_at", name=op.f("ck_mountings_removed_after_mounted")),
        sa.ForeignKeyConstraint(["band_id"], ["bands.id"], name=op.f("fk_mountings_band_id_bands")),
        sa.ForeignKeyConstraint(["saw_id"], ["saws.id"], name=op.f("fk_mountings_saw_id_saws")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_mountings")),
        sa.UniqueConstraint("id"),
    )
    with op.batch_alter_table("mountings", schema=None) as batch_op:
        batch_op.create_index("ix_mountings_saw_time", ["saw_id", "mounted_at"], unique=False)
        batch_op.create_index(
            "uq_mountings_of_band",
            ["band_id"],
            unique=True,
            sqlite_where=sa.text("removed_at IS NULL"),
            postgresql_where=sa.text("removed_at IS NULL"),
        )
        batch_op.create_index(
            "uq_mountings_on_saw",
            ["saw_id"],
            unique=True,
            sqlite_where=sa.text("removed_at IS NULL"),
            postgresql_where=sa.text("removed_at IS NULL"),
        )
    op.create_table(
        "runs",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("plan_id", sa.String(length=80), nullable=False),
        sa.Column("group_id", sa.String(length=200), nullable=False),
        sa.Column("saw_id", sa.String(length=80), nullable=False),
        sa.Column("saw_name", sa.Text(), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("section", sa.JSON(), nullable=False),
        sa.Column("area_cm2", sa.Float(), nullable=False),
        sa.Column("kerf_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("grip_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("released_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("released_by", sa.String(length=200), nullable=False),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("finished_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint(
            "(state = 'finished') = (finished_at IS NOT NULL)", name=op.f("ck_runs_finished_at_a_time")
        ),
        sa.CheckConstraint("state IN ('released', 'finished')", name=op.f("ck_runs_state_known")),
        sa.CheckConstraint(
            "area_cm2 > 0 AND kerf_um >= 0 AND grip_um >= 0", name=op.f("ck_runs_sizes_not_below_zero")
        ),
        sa.ForeignKeyConstraint(
            ["plan_id", "group_id"],
            ["plan_groups.plan_id", "plan_groups.id"],
            name=op.f("fk_runs_plan_id_plan_groups"),
        ),
        sa.ForeignKeyConstraint(["saw_id"], ["saws.id"], name=op.f("fk_runs_saw_id_saws")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_runs")),
        sa.UniqueConstraint("id"),
        sa.UniqueConstraint("id", "grade", "section_key", name="uq_runs_kind"),
        sa.UniqueConstraint("id", "saw_id", name="uq_runs_saw"),
        sa.UniqueConstraint("plan_id", "group_id", name="uq_runs_group"),
    )
    with op.batch_alter_table("runs", schema=None) as batch_op:
        batch_op.create_index("ix_runs_saw_state", ["saw_id", "state"], unique=False)
    op.create_table(
        "run_lines",
        sa.Column("run_id", sa.String(length=80), nullable=False),
        sa.Column("line_id", sa.String(length=120), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kerf_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("wanted", sa.Integer(), nullable=False),
        sa.Column("good", sa.Integer(), nullable=False),
        sa.Column("surplus", sa.Integer(), nullable=False),
        sa.Column("scrapped", sa.Integer(), nullable=False),
        sa.Column("angle_a_deg", sa.Float(), nullable=False),
        sa.Column("angle_b_deg", sa.Float(), nullable=False),
        sa.Column("plus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("minus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("order_id", sa.String(length=80), nullable=False),
        sa.Column("order_name", sa.Text(), nullable=False),
        sa.Column("customer", sa.Text(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.CheckConstraint("good <= wanted", name=op.f("ck_run_lines_good_not_above_wanted")),
        sa.CheckConstraint(
            "good >= 0 AND surplus >= 0 AND scrapped >= 0", name=op.f("ck_run_lines_counts_not_below_zero")
        ),
        sa.CheckConstraint("length_um > 0 AND kerf_um >= 0", name=op.f("ck_run_lines_lengths_above_zero")),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=op.f("fk_run_lines_run_id_runs")),
        sa.PrimaryKeyConstraint("run_id", "line_id", name=op.f("pk_run_lines")),
    )
    with op.batch_alter_table("run_lines", schema=None) as batch_op:
        batch_op.create_index("ix_run_lines_line", ["line_id"], unique=False)
        batch_op.create_index("ix_run_lines_order", ["order_id"], unique=False)
    op.create_table(
        "run_bars",
        sa.Column("run_id", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("times", sa.Integer(), nullable=False),
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
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
            name=op.f("ck_run_bars_bar_adds_up"),
        ),
        sa.CheckConstraint("remnant_um >= 0", name=op.f("ck_run_bars_remnant_not_below_zero")),
        sa.CheckConstraint("times > 0", name=op.f("ck_run_bars_times_above_zero")),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=op.f("fk_run_bars_run_id_runs")),
        sa.PrimaryKeyConstraint("run_id", "revision", "position", name=op.f("pk_run_bars")),
        sa.UniqueConstraint("run_id", "revision", "position", "times", name="uq_run_bars_times"),
    )
    with op.batch_alter_table("run_bars", schema=None) as batch_op:
        batch_op.create_index("ix_run_bars_label", ["label"], unique=False)


def downgrade() -> None:
    """Take them away."""
    for table in ("run_bars", "run_lines", "runs", "mountings", "bands", "saws"):
        op.drop_table(table)
