"""People, their sessions, and tries to sign in."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make them."""
    op.create_table(
        "people",
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("folded", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("active", sa.Integer(), nullable=False),
        sa.Column("password", sa.Text(), nullable=True),
        sa.Column("pin", sa.Text(), nullable=True),
        sa.Column("badge", sa.String(length=64), nullable=True),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("password LIKE '$argon2id$%'", name=op.f("ck_people_password_hashed")),
        sa.CheckConstraint("pin LIKE '$argon2id$%'", name=op.f("ck_people_pin_hashed")),
        sa.CheckConstraint(
            "role IN ('operator', 'planner', 'lead', 'guest')", name=op.f("ck_people_role_known")
        ),
        sa.CheckConstraint("length(badge) = 64", name=op.f("ck_people_badge_hashed")),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_people")),
        sa.UniqueConstraint("badge"),
        sa.UniqueConstraint("folded"),
    )
    op.create_table(
        "sessions",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("place", sa.String(length=200), nullable=False),
        sa.Column("began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("kind IN ('desk', 'panel', 'token')", name=op.f("ck_sessions_kind_known")),
        sa.CheckConstraint(
            "role IN ('operator', 'planner', 'lead', 'guest')", name=op.f("ck_sessions_role_known")
        ),
        sa.CheckConstraint("ends_at > began_at", name=op.f("ck_sessions_ends_after_begun")),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_sessions_secret_hashed")),
        sa.ForeignKeyConstraint(["name"], ["people.name"], name=op.f("fk_sessions_name_people")),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_sessions")),
    )
    with op.batch_alter_table("sessions", schema=None) as batch_op:
        batch_op.create_index("ix_sessions_name", ["name"], unique=False)
    op.create_table(
        "tries",
        sa.Column("id", sa.String(length=80), nullable=False),
        sa.Column("who", sa.String(length=240), nullable=False),
        sa.Column("address", sa.String(length=80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("good", sa.Integer(), nullable=False),
        sa.CheckConstraint("good IN (0, 1)", name=op.f("ck_tries_good_or_not")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tries")),
    )
    with op.batch_alter_table("tries", schema=None) as batch_op:
        batch_op.create_index("ix_tries_address", ["address", "at"], unique=False)
        batch_op.create_index("ix_tries_who", ["who", "at"], unique=False)


def downgrade() -> None:
    """Take them away."""
    for table in ("tries", "sessions", "people"):
        op.drop_table(table)
