"""Answers that programs got to requests with a key."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "kept_answers",
        sa.Column("person", sa.String(length=200), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("media", sa.String(length=120), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint("key <> ''", name=op.f("ck_kept_answers_has_key")),
        sa.PrimaryKeyConstraint("person", "key", name=op.f("pk_kept_answers")),
    )
    op.create_index("ix_kept_answers_began_at", "kept_answers", ["began_at"])


def downgrade() -> None:
    """Take it away."""
    op.drop_table("kept_answers")
