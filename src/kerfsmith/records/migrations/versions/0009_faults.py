"""Faults at the saws and what they turned out to be; both are only added to."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

_NUMBER = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "faults",
        sa.Column("number", _NUMBER, autoincrement=True, nullable=False),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("saw", sa.String(length=80), nullable=False),
        sa.Column("symptom", sa.String(length=40), nullable=False),
        sa.Column("grade", sa.String(length=200), nullable=False),
        sa.Column("section", sa.Text(), nullable=False),
        sa.Column("run_id", sa.String(length=80), nullable=True),
        sa.Column("band_id", sa.String(length=80), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("seen", sa.JSON(), nullable=False),
        sa.Column("named", sa.JSON(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("saw <> ''", name=op.f("ck_faults_has_saw")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_faults")),
        sa.UniqueConstraint("id", name=op.f("uq_faults_id")),
    )
    op.create_index("ix_faults_symptom", "faults", ["symptom"])
    op.create_table(
        "found_causes",
        sa.Column("number", _NUMBER, autoincrement=True, nullable=False),
        sa.Column("fault_id", sa.String(length=80), nullable=False),
        sa.Column("cause", sa.String(length=120), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("cause <> ''", name=op.f("ck_found_causes_has_cause")),
        sa.ForeignKeyConstraint(
            ["fault_id"], ["faults.id"], name=op.f("fk_found_causes_fault_id_faults"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_found_causes")),
    )
    op.create_index("ix_found_causes_fault_id", "found_causes", ["fault_id"])
    keep_for_good("faults", "found_causes")


def downgrade() -> None:
    """Take them away."""
    drop_keeping("faults", "found_causes")
    op.drop_table("found_causes")
    op.drop_table("faults")
