"""What was decided of learned factors, and work done before these records; both are only added to."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "factor_decisions",
        sa.Column("number", _NUMBER, autoincrement=True, nullable=False),
        sa.Column("measure", sa.String(length=40), nullable=False),
        sa.Column("scope", sa.Text(), nullable=False),
        sa.Column("decision", sa.String(length=20), nullable=False),
        sa.Column("value", sa.Float(), nullable=True),
        sa.Column("low", sa.Float(), nullable=True),
        sa.Column("high", sa.Float(), nullable=True),
        sa.Column("count", sa.Integer(), nullable=True),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "decision IN ('accept', 'freeze', 'forget', 'follow')",
            name=op.f("ck_factor_decisions_decision_known"),
        ),
        sa.CheckConstraint(
            "measure IN ('cut time', 'index time', 'band life')",
            name=op.f("ck_factor_decisions_measure_known"),
        ),
        sa.CheckConstraint(
            "(decision = 'forget') = (value IS NULL)", name=op.f("ck_factor_decisions_forgotten_has_no_value")
        ),
        sa.CheckConstraint(
            "value IS NULL OR (low > 0 AND low <= value AND value <= high)",
            name=op.f("ck_factor_decisions_value_in_interval"),
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_factor_decisions")),
    )
    op.create_index("ix_factor_decisions_scope", "factor_decisions", ["measure", "scope"])
    op.create_table(
        "earlier_work",
        sa.Column("number", _NUMBER, autoincrement=True, nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.CheckConstraint("kind IN ('cut', 'band')", name=op.f("ck_earlier_work_kind_known")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_earlier_work")),
    )
    keep_for_good("factor_decisions", "earlier_work")


def downgrade() -> None:
    """Take them away."""
    drop_keeping("factor_decisions", "earlier_work")
    op.drop_table("earlier_work")
    op.drop_table("factor_decisions")
