"""Heats with certificates; rack entries that are used up stay known; refusals and events in the ledger."""

import sqlalchemy as sa
from alembic import op

from kerfsmith.records.migrations.keeping_triggers import drop_keeping, keep_for_good

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "heats",
        sa.Column("number", sa.String(length=120), nullable=False),
        sa.Column("mill", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint("number <> ''", name=op.f("ck_heats_has_number")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_heats")),
    )
    op.create_table(
        "files",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('application/pdf', 'image/png', 'image/jpeg')", name=op.f("ck_files_kind_known")
        ),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_files_digest_whole")),
        sa.CheckConstraint("size = length(content)", name=op.f("ck_files_size_true")),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_files")),
    )
    op.create_table(
        "certificates",
        sa.Column(
            "number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("heat", sa.String(length=120), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("added_by", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["digest"], ["files.digest"], name=op.f("fk_certificates_digest_files")),
        sa.ForeignKeyConstraint(["heat"], ["heats.number"], name=op.f("fk_certificates_heat_heats")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_certificates")),
        sa.UniqueConstraint("heat", "digest", name="uq_certificates_heat_digest"),
        sa.UniqueConstraint("id"),
    )
    op.execute(
        "INSERT INTO heats (number, mill, note) SELECT DISTINCT heat, '', '' FROM bars WHERE heat <> ''"
    )
    _bars(
        sa.CheckConstraint("count >= 0", name=op.f("ck_bars_count_not_below_zero")),
        sa.ForeignKeyConstraint(["heat"], ["heats.number"], name=op.f("fk_bars_heat_heats")),
        sa.UniqueConstraint("id", "grade", "section_key", "length_um", name="uq_bars_kind"),
        sa.UniqueConstraint("id", "heat", name="uq_bars_heat"),
        heat=sa.Column("heat", sa.String(length=120), nullable=True),
        from_heat="NULLIF(heat, '')",
    )
    op.add_column("ledger", sa.Column("refused", sa.Text(), nullable=True))
    op.add_column("ledger", sa.Column("event_id", sa.String(length=80), nullable=True))
    op.create_index("uq_ledger_event", "ledger", ["event_id"], unique=True)
    keep_for_good("certificates", "files")


_WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _bars(*rules: sa.schema.SchemaItem, heat: sa.Column[str], from_heat: str) -> None:
    """Make the rack's table anew with other rules and another column for the heat; its rows stay."""
    op.execute("CREATE TABLE bars_kept AS SELECT * FROM bars")
    op.drop_table("bars")
    op.create_table(
        "bars",
        sa.Column("id", sa.String(length=120), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("section_key", sa.Text(), nullable=False),
        sa.Column("section", sa.JSON(), nullable=False),
        sa.Column("length_um", _WHOLE, nullable=False),
        sa.Column("count", sa.Integer(), nullable=True),
        heat,
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("price", sa.Numeric(precision=14, scale=4), nullable=True),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("row", sa.Integer(), nullable=True),
        sa.CheckConstraint("count IS NOT NULL OR kind = 'to buy'", name=op.f("ck_bars_rack_is_counted")),
        sa.CheckConstraint("kind IN ('bar', 'remnant', 'to buy')", name=op.f("ck_bars_kind_known")),
        sa.CheckConstraint("length_um > 0", name=op.f("ck_bars_length_above_zero")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bars")),
        *rules,
    )
    op.create_index("ix_bars_grade_section", "bars", ["grade", "section_key"], unique=False)
    op.execute(
        "INSERT INTO bars (id, grade, section_key, section, length_um, count, heat, place, price, kind, row) "
        f"SELECT id, grade, section_key, section, length_um, count, {from_heat}, place, price, kind, row "
        "FROM bars_kept"
    )
    op.drop_table("bars_kept")


def downgrade() -> None:
    """Take them away."""
    drop_keeping("certificates", "files")
    op.drop_index("uq_ledger_event", "ledger")
    op.drop_column("ledger", "event_id")
    op.drop_column("ledger", "refused")
    op.execute("DELETE FROM bars WHERE count = 0")
    _bars(
        sa.CheckConstraint("count > 0", name=op.f("ck_bars_count_above_zero")),
        heat=sa.Column("heat", sa.Text(), nullable=False),
        from_heat="COALESCE(heat, '')",
    )
    for table in ("certificates", "files", "heats"):
        op.drop_table(table)
