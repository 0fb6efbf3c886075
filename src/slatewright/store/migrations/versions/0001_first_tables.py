"""The first tables: plans, people, dives, analyses, signatures, settings, logins."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("units", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("earlier_plan_id", sa.Integer(), nullable=True),
        sa.Column("status", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.Column("trashed_at", _MOMENT, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_plan"),
        sa.ForeignKeyConstraint(["earlier_plan_id"], ["plan.id"], name="fk_plan_earlier_plan_id"),
        sa.CheckConstraint("units in ('metric', 'imperial')", name=op.f("ck_plan_units")),
        sa.CheckConstraint("status in ('draft', 'ready', 'dived')", name=op.f("ck_plan_status")),
        sa.CheckConstraint("earlier_plan_id <> id", name=op.f("ck_plan_earlier_is_another")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_plan_earlier_plan_id", "plan", ["earlier_plan_id"])
    op.create_table(
        "plan_text",
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("saved_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("plan_id", "version", name="pk_plan_text"),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plan.id"], name="fk_plan_text_plan_id", ondelete="CASCADE"
        ),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("emergency_contact", sa.Text(), nullable=False),
        sa.Column("medical_on", sa.Date(), nullable=True),
        sa.Column("medical_until", sa.Date(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.CheckConstraint("medical_until >= medical_on", name=op.f("ck_person_medical_in_order")),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "dive",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_dive"),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name="fk_dive_plan_id"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_dive_on_date", "dive", ["on_date"])
    op.create_index("ix_dive_plan_id", "dive", ["plan_id"])
    _what_people_vouch_for()
    op.create_table(
        "setting",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_setting"),
    )
    op.create_table(
        "password",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("argon2", sa.Text(), nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_password"),
        sa.CheckConstraint("id = 1", name=op.f("ck_password_only_one")),
    )
    op.create_table(
        "login",
        sa.Column("token_sha256", sa.Text(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("expires_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("token_sha256", name="pk_login"),
    )
    op.create_index("ix_login_expires_at", "login", ["expires_at"])


def _what_people_vouch_for() -> None:
    op.create_table(
        "analysis",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("dive_id", sa.Integer(), nullable=True),
        sa.Column("cylinder", sa.Text(), nullable=False),
        sa.Column("o2_pct", sa.Double(), nullable=False),
        sa.Column("he_pct", sa.Double(), nullable=True),
        sa.Column("gauge_bar", sa.Double(), nullable=False),
        sa.Column("by_name", sa.Text(), nullable=False),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.Column("analysed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_analysis"),
        sa.ForeignKeyConstraint(
            ["dive_id"], ["dive.id"], name="fk_analysis_dive_id", ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_analysis_by_person_id", ondelete="SET NULL"
        ),
        sa.CheckConstraint("o2_pct between 0 and 100", name=op.f("ck_analysis_o2_range")),
        sa.CheckConstraint("he_pct between 0 and 100", name=op.f("ck_analysis_he_range")),
        sa.CheckConstraint("o2_pct + he_pct <= 100", name=op.f("ck_analysis_sum")),
        sa.CheckConstraint("gauge_bar between 0 and 500", name=op.f("ck_analysis_gauge_range")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_analysis_dive_id", "analysis", ["dive_id"])
    op.create_index("ix_analysis_cylinder_analysed_at", "analysis", ["cylinder", "analysed_at"])
    op.create_index("ix_analysis_by_person_id", "analysis", ["by_person_id"])
    op.create_table(
        "signature",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("text_sha256", sa.Text(), nullable=False),
        sa.Column("by_name", sa.Text(), nullable=False),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.Column("signed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_signature"),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plan.id"], name="fk_signature_plan_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_signature_by_person_id", ondelete="SET NULL"
        ),
        sa.CheckConstraint("kind in ('check', 'sign-off')", name=op.f("ck_signature_kind")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_signature_plan_id", "signature", ["plan_id"])
    op.create_index("ix_signature_by_person_id", "signature", ["by_person_id"])
