"""What is decided on pieces that measured wrong; marks found without regard to capitals."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "decisions",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("cut_id", sa.String(length=80), nullable=False),
        sa.Column("inspection_id", sa.String(length=80), nullable=True),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "kind IN ('accepted as it is', 'cut again to length', 'measured again')",
            name=op.f("ck_decisions_kind_known"),
        ),
        sa.CheckConstraint(
            "kind <> 'accepted as it is' OR length(reason) > 0",
            name=op.f("ck_decisions_accepted_for_a_reason"),
        ),
        sa.CheckConstraint(
            "kind = 'accepted as it is' OR inspection_id IS NOT NULL",
            name=op.f("ck_decisions_settles_a_measure"),
        ),
        sa.ForeignKeyConstraint(["cut_id"], ["cuts.id"], name=op.f("fk_decisions_cut_id_cuts")),
        sa.ForeignKeyConstraint(
            ["inspection_id"], ["inspections.id"], name=op.f("fk_decisions_inspection_id_inspections")
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_decisions")),
        sa.UniqueConstraint("id"),
        sa.UniqueConstraint("inspection_id"),
    )
    op.create_index("ix_decisions_cut", "decisions", ["cut_id"])
    keep_for_good("decisions")
    op.execute("CREATE INDEX ix_run_lines_mark ON run_lines (lower(mark))")


def downgrade() -> None:
    """Take them away."""
    op.drop_index("ix_run_lines_mark", table_name="run_lines")
    drop_keeping("decisions")
    op.drop_table("decisions")
