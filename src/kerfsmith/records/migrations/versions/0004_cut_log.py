"""Loaded bars, the cut log that is booked on them, inspections, remnants, stops, events of panels."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.booking_triggers import book_cuts, drop_booking
from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "loaded_bars",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("run_id", sa.String(length=80), nullable=False),
        sa.Column("saw_id", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("times", sa.Integer(), nullable=False),
        sa.Column("copy", sa.Integer(), nullable=False),
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("heat", sa.String(length=120), nullable=True),
        sa.Column("labelled_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("trims_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kerfs_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("pieces_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("scrap_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("left_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.Column("facing_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("facing_kerf_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("pattern", sa.JSON(), nullable=False),
        sa.Column("loaded_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("loaded_by", sa.String(length=200), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint(
            "(state IN ('loaded', 'finished')) = (closed_at IS NULL)",
            name=op.f("ck_loaded_bars_closed_at_a_time"),
        ),
        sa.CheckConstraint(
            "state <> 'returned uncut' OR left_um = length_um", name=op.f("ck_loaded_bars_returned_whole")
        ),
        sa.CheckConstraint(
            "state IN ('loaded', 'finished', 'put away', 'remnant scrapped', 'returned uncut')",
            name=op.f("ck_loaded_bars_state_known"),
        ),
        sa.CheckConstraint("copy BETWEEN 1 AND times", name=op.f("ck_loaded_bars_not_more_than_planned")),
        sa.CheckConstraint(
            "length_um = trims_um + kerfs_um + pieces_um + scrap_um + left_um",
            name=op.f("ck_loaded_bars_bar_adds_up"),
        ),
        sa.CheckConstraint(
            "trims_um >= 0 AND kerfs_um >= 0 AND pieces_um >= 0 AND scrap_um >= 0 AND left_um >= 0",
            name=op.f("ck_loaded_bars_parts_not_below_zero"),
        ),
        sa.ForeignKeyConstraint(["heat"], ["heats.number"], name=op.f("fk_loaded_bars_heat_heats")),
        sa.ForeignKeyConstraint(
            ["label", "grade", "section_key", "labelled_um"],
            ["bars.id", "bars.grade", "bars.section_key", "bars.length_um"],
            name="fk_loaded_bars_kind_of_label",
        ),
        sa.ForeignKeyConstraint(
            ["label", "heat"], ["bars.id", "bars.heat"], name="fk_loaded_bars_heat_of_label"
        ),
        sa.ForeignKeyConstraint(
            ["run_id", "grade", "section_key"],
            ["runs.id", "runs.grade", "runs.section_key"],
            name="fk_loaded_bars_kind_of_run",
        ),
        sa.ForeignKeyConstraint(
            ["run_id", "revision", "position", "times"],
            ["run_bars.run_id", "run_bars.revision", "run_bars.position", "run_bars.times"],
            name=op.f("fk_loaded_bars_run_id_run_bars"),
        ),
        sa.ForeignKeyConstraint(
            ["run_id", "saw_id"], ["runs.id", "runs.saw_id"], name="fk_loaded_bars_saw_of_run"
        ),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_loaded_bars")),
        sa.UniqueConstraint("id"),
        sa.UniqueConstraint("id", "left_um", name="uq_loaded_bars_left"),
        sa.UniqueConstraint("id", "run_id", name="uq_loaded_bars_run"),
    )
    with op.batch_alter_table("loaded_bars", schema=None) as batch_op:
        batch_op.create_index("ix_loaded_bars_heat", ["heat"], unique=False)
        batch_op.create_index("ix_loaded_bars_label", ["label"], unique=False)
        batch_op.create_index("ix_loaded_bars_run", ["run_id"], unique=False)
        batch_op.create_index(
            "uq_loaded_bars_copy",
            ["run_id", "revision", "position", "copy"],
            unique=True,
            sqlite_where=sa.text("state <> 'returned uncut'"),
            postgresql_where=sa.text("state <> 'returned uncut'"),
        )
    op.create_table(
        "cuts",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("bar_id", sa.String(length=80), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("line_id", sa.String(length=120), nullable=True),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("outcome", sa.String(length=20), nullable=True),
        sa.Column("reason", sa.String(length=40), nullable=True),
        sa.Column("trims_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("kerfs_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("pieces_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("scrap_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("good", sa.Integer(), nullable=False),
        sa.Column("surplus", sa.Integer(), nullable=False),
        sa.Column("scrapped", sa.Integer(), nullable=False),
        sa.Column("area_cm2", sa.Float(), nullable=False),
        sa.Column("saw_id", sa.String(length=80), nullable=False),
        sa.Column("mounting_id", sa.String(length=80), nullable=True),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("corrects", sa.String(length=80), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "(kind IN ('piece', 'reject')) = (outcome IS NOT NULL)", name=op.f("ck_cuts_pieces_have_outcome")
        ),
        sa.CheckConstraint(
            "(kind IN ('undo', 'reject')) = (corrects IS NOT NULL)",
            name=op.f("ck_cuts_corrections_name_what"),
        ),
        sa.CheckConstraint(
            "(outcome = 'scrapped') = (reason IS NOT NULL) OR outcome IS NULL",
            name=op.f("ck_cuts_scrap_has_reason"),
        ),
        sa.CheckConstraint(
            "kind <> 'piece' OR good + surplus + scrapped = 1", name=op.f("ck_cuts_a_piece_is_one")
        ),
        sa.CheckConstraint(
            "kind <> 'reject' OR (good + surplus = -1 AND scrapped = 1)",
            name=op.f("ck_cuts_a_reject_moves_one"),
        ),
        sa.CheckConstraint(
            "kind <> 'reject' OR (pieces_um = -scrap_um AND trims_um = 0 AND kerfs_um = 0)",
            name=op.f("ck_cuts_a_reject_moves_its_length"),
        ),
        sa.CheckConstraint(
            "kind IN ('facing', 'piece', 'trim', 'undo', 'reject')", name=op.f("ck_cuts_kind_known")
        ),
        sa.CheckConstraint(
            "kind IN ('undo', 'reject') OR "
            "(trims_um >= 0 AND kerfs_um >= 0 AND pieces_um >= 0 AND scrap_um >= 0)",
            name=op.f("ck_cuts_cuts_not_below_zero"),
        ),
        sa.CheckConstraint(
            "kind NOT IN ('facing', 'trim') OR (good = 0 AND surplus = 0 AND scrapped = 0)",
            name=op.f("ck_cuts_waste_is_none"),
        ),
        sa.CheckConstraint(
            "kind NOT IN ('piece', 'reject') OR line_id IS NOT NULL", name=op.f("ck_cuts_pieces_have_line")
        ),
        sa.ForeignKeyConstraint(
            ["bar_id", "run_id"],
            ["loaded_bars.id", "loaded_bars.run_id"],
            name=op.f("fk_cuts_bar_id_loaded_bars"),
        ),
        sa.ForeignKeyConstraint(["corrects"], ["cuts.id"], name=op.f("fk_cuts_corrects_cuts")),
        sa.ForeignKeyConstraint(
            ["mounting_id"], ["mountings.id"], name=op.f("fk_cuts_mounting_id_mountings")
        ),
        sa.ForeignKeyConstraint(
            ["run_id", "line_id"],
            ["run_lines.run_id", "run_lines.line_id"],
            name=op.f("fk_cuts_run_id_run_lines"),
        ),
        sa.ForeignKeyConstraint(["saw_id"], ["saws.id"], name=op.f("fk_cuts_saw_id_saws")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_cuts")),
        sa.UniqueConstraint("bar_id", "entry", name="uq_cuts_entry"),
        sa.UniqueConstraint("id"),
    )
    with op.batch_alter_table("cuts", schema=None) as batch_op:
        batch_op.create_index("ix_cuts_corrects", ["corrects"], unique=False)
        batch_op.create_index("ix_cuts_mounting", ["mounting_id"], unique=False)
        batch_op.create_index("ix_cuts_run_line", ["run_id", "line_id"], unique=False)
        batch_op.create_index(
            "uq_cuts_undone",
            ["corrects"],
            unique=True,
            sqlite_where=sa.text("kind = 'undo'"),
            postgresql_where=sa.text("kind = 'undo'"),
        )
    op.create_table(
        "inspections",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("cut_id", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("nominal_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("plus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("minus_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=True),
        sa.Column("measured_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "kind IN ('first piece', 'interval', 'extra')", name=op.f("ck_inspections_kind_known")
        ),
        sa.CheckConstraint("measured_um > 0", name=op.f("ck_inspections_measured_above_zero")),
        sa.ForeignKeyConstraint(["cut_id"], ["cuts.id"], name=op.f("fk_inspections_cut_id_cuts")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_inspections")),
        sa.UniqueConstraint("id"),
    )
    with op.batch_alter_table("inspections", schema=None) as batch_op:
        batch_op.create_index("ix_inspections_cut", ["cut_id"], unique=False)
    op.create_table(
        "remnants",
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("bar_id", sa.String(length=80), nullable=False),
        sa.Column("length_um", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("put_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("put_by", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(
            ["bar_id", "length_um"],
            ["loaded_bars.id", "loaded_bars.left_um"],
            name="fk_remnants_what_was_left",
        ),
        sa.ForeignKeyConstraint(["label"], ["bars.id"], name=op.f("fk_remnants_label_bars")),
        sa.PrimaryKeyConstraint("label", name=op.f("pk_remnants")),
        sa.UniqueConstraint("bar_id"),
    )
    op.create_table(
        "stops",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("saw_id", sa.String(length=80), nullable=False),
        sa.Column("run_id", sa.String(length=80), nullable=True),
        sa.Column("reason", sa.String(length=40), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("began_by", sa.String(length=200), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("ended_at >= began_at", name=op.f("ck_stops_ended_after_begun")),
        sa.ForeignKeyConstraint(["run_id"], ["runs.id"], name=op.f("fk_stops_run_id_runs")),
        sa.ForeignKeyConstraint(["saw_id"], ["saws.id"], name=op.f("fk_stops_saw_id_saws")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_stops")),
        sa.UniqueConstraint("id"),
    )
    with op.batch_alter_table("stops", schema=None) as batch_op:
        batch_op.create_index(
            "uq_stops_lasting",
            ["saw_id"],
            unique=True,
            sqlite_where=sa.text("ended_at IS NULL"),
            postgresql_where=sa.text("ended_at IS NULL"),
        )
    op.create_table(
        "panel_events",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("panel", sa.String(length=80), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("verb", sa.String(length=80), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("told", sa.JSON(), nullable=False),
        sa.Column("by", sa.String(length=200), nullable=False),
        sa.Column("happened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("accepted", sa.Integer(), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.CheckConstraint("accepted IN (0, 1)", name=op.f("ck_panel_events_accepted_or_not")),
        sa.CheckConstraint("number > 0", name=op.f("ck_panel_events_number_above_zero")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_panel_events")),
        sa.UniqueConstraint("panel", "number", name="uq_panel_events_number"),
    )
    keep_for_good("cuts", "inspections", "remnants")
    keep_for_good("panel_events", demo_may_go=False)
    book_cuts()


def downgrade() -> None:
    """Take them away."""
    drop_booking()
    drop_keeping("cuts", "inspections", "remnants", "panel_events")
    for table in ("panel_events", "stops", "remnants", "inspections", "cuts", "loaded_bars"):
        op.drop_table(table)
