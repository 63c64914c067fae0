"""How many bars of a plan lie in the vise at once; whether a bar's far end is good for a last piece."""

from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns."""
    op.execute(
        "ALTER TABLE plan_bars ADD COLUMN at_once INTEGER DEFAULT 1 NOT NULL "
        "CONSTRAINT ck_plan_bars_whole_loads CHECK (at_once > 0 AND times % at_once = 0)"
    )
    op.execute(
        "ALTER TABLE bars ADD COLUMN end_is_good INTEGER DEFAULT 0 NOT NULL "
        "CONSTRAINT ck_bars_end_is_good_or_not CHECK (end_is_good IN (0, 1))"
    )


def downgrade() -> None:
    """Take them away."""
    op.execute("ALTER TABLE bars DROP COLUMN end_is_good")
    op.execute("ALTER TABLE plan_bars DROP COLUMN at_once")
