"""Sections that a shop has drawn, and its own names of grades."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "own_sections",
        sa.Column("folded", sa.String(length=120), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("file", sa.Text(), nullable=False),
        sa.Column("document", sa.JSON(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint("folded <> '' AND name <> ''", name=op.f("ck_own_sections_has_name")),
        sa.PrimaryKeyConstraint("folded", name=op.f("pk_own_sections")),
        sa.UniqueConstraint("key", name="uq_own_sections_key"),
    )
    op.create_table(
        "own_grade_names",
        sa.Column("folded", sa.String(length=160), nullable=False),
        sa.Column("word", sa.String(length=160), nullable=False),
        sa.Column("grade", sa.String(length=120), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kept_by", sa.String(length=200), nullable=False),
        sa.CheckConstraint(
            "folded <> '' AND word <> '' AND grade <> ''",
            name=op.f("ck_own_grade_names_has_word_and_grade"),
        ),
        sa.PrimaryKeyConstraint("folded", name=op.f("pk_own_grade_names")),
    )


def downgrade() -> None:
    """Take them away."""
    op.drop_table("own_grade_names")
    op.drop_table("own_sections")
