"""Loads: bars that lie in the vise together, and the passes of the band through them all."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.load_triggers import drop_loads, hold_loads

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them. Tables stay as they are, and with them the triggers that keep and book their rows."""
    op.execute(
        "ALTER TABLE run_bars ADD COLUMN at_once INTEGER DEFAULT 1 NOT NULL "
        "CONSTRAINT ck_run_bars_whole_loads CHECK (at_once > 0 AND times % at_once = 0)"
    )
    op.create_index(
        "uq_run_bars_at_once", "run_bars", ["run_id", "revision", "position", "at_once"], unique=True
    )
    op.create_table(
        "loads",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("run_id", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("at_once", sa.Integer(), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("begun_by", sa.String(length=200), nullable=False),
        sa.Column("fewer_why", sa.Text(), nullable=False),
        sa.CheckConstraint("at_once > 1", name=op.f("ck_loads_more_than_one")),
        sa.ForeignKeyConstraint(
            ["run_id", "revision", "position", "at_once"],
            ["run_bars.run_id", "run_bars.revision", "run_bars.position", "run_bars.at_once"],
            name="fk_loads_planned",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_loads")),
    )
    op.execute(
        "ALTER TABLE loaded_bars ADD COLUMN load_id VARCHAR(80) "
        "CONSTRAINT fk_loaded_bars_load_id_loads REFERENCES loads (id)"
    )
    op.create_index("ix_loaded_bars_load", "loaded_bars", ["load_id"])
    op.execute(
        "ALTER TABLE cuts ADD COLUMN load_id VARCHAR(80) "
        "CONSTRAINT fk_cuts_load_id_loads REFERENCES loads (id)"
    )
    op.execute(
        "ALTER TABLE cuts ADD COLUMN pass_id VARCHAR(80) "
        "CONSTRAINT ck_cuts_passes_go_through_loads CHECK ((pass_id IS NULL) = (load_id IS NULL))"
    )
    op.create_index(
        "uq_cuts_pass",
        "cuts",
        ["pass_id", "bar_id"],
        unique=True,
        sqlite_where=sa.text("kind <> 'undo'"),
        postgresql_where=sa.text("kind <> 'undo'"),
    )
    hold_loads()


def downgrade() -> None:
    """Take them away."""
    drop_loads()
    op.drop_index("uq_cuts_pass", table_name="cuts")
    for column in ("pass_id", "load_id"):
        op.execute(f"ALTER TABLE cuts DROP COLUMN {column}")
    op.drop_index("ix_loaded_bars_load", table_name="loaded_bars")
    op.execute("ALTER TABLE loaded_bars DROP COLUMN load_id")
    op.drop_table("loads")
    op.drop_index("uq_run_bars_at_once", table_name="run_bars")
    op.execute("ALTER TABLE run_bars DROP COLUMN at_once")
