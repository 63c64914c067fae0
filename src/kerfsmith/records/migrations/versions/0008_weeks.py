"""Weeks that are put forward and kept, and a plan's groups as other saws would cut them."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "weeks",
        sa.Column(
            "number",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            autoincrement=True,
            nullable=False,
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("plan_id", sa.String(length=80), nullable=False),
        sa.Column("base_id", sa.String(length=80), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.String(length=200), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("settled_by", sa.String(length=200), nullable=True),
        sa.CheckConstraint(
            "state IN ('proposed', 'kept', 'refused', 'past')", name=op.f("ck_weeks_state_known")
        ),
        sa.CheckConstraint(
            "(state = 'proposed') = (settled_at IS NULL)", name=op.f("ck_weeks_settled_at_a_time")
        ),
        sa.CheckConstraint(
            "(settled_at IS NULL) = (settled_by IS NULL)", name=op.f("ck_weeks_settled_by_somebody")
        ),
        sa.CheckConstraint("base_id <> id", name=op.f("ck_weeks_changes_another")),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plans.id"], name=op.f("fk_weeks_plan_id_plans"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_weeks")),
        sa.UniqueConstraint("id", name=op.f("uq_weeks_id")),
    )
    for state in ("kept", "proposed"):
        only = sa.text(f"state = '{state}'")
        op.create_index(
            f"uq_weeks_{state}", "weeks", ["state"], unique=True, sqlite_where=only, postgresql_where=only
        )
    op.create_table(
        "plan_options",
        sa.Column("plan_id", sa.String(length=80), nullable=False),
        sa.Column("group_id", sa.String(length=200), nullable=False),
        sa.Column("saw", sa.String(length=80), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plans.id"], name=op.f("fk_plan_options_plan_id_plans"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("plan_id", "group_id", "saw", name=op.f("pk_plan_options")),
    )


def downgrade() -> None:
    """Take them away."""
    op.drop_table("plan_options")
    op.drop_table("weeks")
