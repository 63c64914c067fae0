"""How a section must lie for its mitred ends, with the lines of orders and of runs."""

from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None

_TABLES = ("order_lines", "run_lines")


def upgrade() -> None:
    """Add the columns. Tables stay as they are, and with them the triggers that keep their rows."""
    for table in _TABLES:
        op.execute(f"ALTER TABLE {table} ADD COLUMN lie VARCHAR(40)")


def downgrade() -> None:
    """Take them away."""
    for table in _TABLES:
        op.execute(f"ALTER TABLE {table} DROP COLUMN lie")
