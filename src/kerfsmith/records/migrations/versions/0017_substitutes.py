"""What a line may be cut from instead, and what was ordered where a run cuts it from something else."""

from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

_COLUMNS = (
    ("order_lines", "or_grades", "JSON"),
    ("order_lines", "or_sections", "JSON"),
    ("run_lines", "ordered", "TEXT"),
)


def upgrade() -> None:
    """Add the columns. Tables stay as they are, and with them the triggers that keep their rows."""
    for table, column, kind in _COLUMNS:
        op.execute(f"ALTER TABLE {table} ADD COLUMN {column} {kind}")


def downgrade() -> None:
    """Take them away."""
    for table, column, _ in _COLUMNS:
        op.execute(f"ALTER TABLE {table} DROP COLUMN {column}")
