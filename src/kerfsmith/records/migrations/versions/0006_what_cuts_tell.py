"""What a cut and a measured piece may tell of themselves: times, motor load, squareness."""

from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

_COLUMNS = {
    "cuts": ("motor_power_kw", "motor_load_percent", "ended_at", "began_at"),
    "inspections": ("out_of_square_um",),
}


def upgrade() -> None:
    """Add the columns. Tables stay as they are, and with them the triggers that keep and book their rows."""
    sqlite = op.get_bind().dialect.name == "sqlite"
    moment = "DATETIME" if sqlite else "TIMESTAMP WITH TIME ZONE"
    number, whole = ("FLOAT", "INTEGER") if sqlite else ("DOUBLE PRECISION", "BIGINT")
    op.execute(f"ALTER TABLE cuts ADD COLUMN began_at {moment}")
    op.execute(
        f"ALTER TABLE cuts ADD COLUMN ended_at {moment} "
        "CONSTRAINT ck_cuts_ended_after_begun CHECK (ended_at >= began_at)"
    )
    op.execute(f"ALTER TABLE cuts ADD COLUMN motor_load_percent {number}")
    op.execute(
        f"ALTER TABLE cuts ADD COLUMN motor_power_kw {number} "
        "CONSTRAINT ck_cuts_load_not_below_zero CHECK (motor_load_percent >= 0 AND motor_power_kw >= 0)"
    )
    op.execute(
        f"ALTER TABLE inspections ADD COLUMN out_of_square_um {whole} "
        "CONSTRAINT ck_inspections_squareness_not_below_zero CHECK (out_of_square_um >= 0)"
    )


def downgrade() -> None:
    """Take them away."""
    for table, columns in _COLUMNS.items():
        for column in columns:
            op.execute(f"ALTER TABLE {table} DROP COLUMN {column}")
