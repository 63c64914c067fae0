"""Files of tables that a shop lays over the package's own."""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make it."""
    op.create_table(
        "own_table_files",
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("name <> ''", name=op.f("ck_own_table_files_has_name")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_own_table_files")),
    )


def downgrade() -> None:
    """Take it away."""
    op.drop_table("own_table_files")
