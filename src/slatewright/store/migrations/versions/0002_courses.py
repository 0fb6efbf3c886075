"""Cards, logbooks, standards, courses, the sign-off book, debriefs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_MOMENT = sa.DateTime(timezone=True)


def upgrade() -> None:
    """Make the tables."""
    op.add_column("person", sa.Column("born_on", sa.Date(), nullable=True))
    _people()
    _courses()
    _book()
    _never_changed("sign_off")


def _people() -> None:
    op.create_table(
        "certificate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("level", sa.Text(), nullable=False),
        sa.Column("kinds", sa.Text(), nullable=False),
        sa.Column("issued_on", sa.Date(), nullable=True),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_certificate"),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_certificate_person_id", ondelete="CASCADE"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_certificate_person_id", "certificate", ["person_id"])
    op.create_table(
        "logbook",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("file_sha256", sa.Text(), nullable=False),
        sa.Column("read_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_logbook"),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_logbook_person_id", ondelete="CASCADE"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_logbook_person_id", "logbook", ["person_id"])
    op.create_table(
        "logged_dive",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("logbook_id", sa.Integer(), nullable=True),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_logged_dive"),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_logged_dive_person_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["logbook_id"], ["logbook.id"], name="fk_logged_dive_logbook_id", ondelete="CASCADE"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_logged_dive_logbook_id", "logged_dive", ["logbook_id"])
    op.create_index("ix_logged_dive_person_id_on_date", "logged_dive", ["person_id", "on_date"])
    op.create_table(
        "set_aside",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("logbook_id", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("reasons", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_set_aside"),
        sa.ForeignKeyConstraint(
            ["logbook_id"], ["logbook.id"], name="fk_set_aside_logbook_id", ondelete="CASCADE"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_set_aside_logbook_id", "set_aside", ["logbook_id"])
    op.create_table(
        "waiver",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("standard", sa.Text(), nullable=False),
        sa.Column("rule", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("by_name", sa.Text(), nullable=False),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.Column("made_at", _MOMENT, nullable=False),
        sa.Column("withdrawn_at", _MOMENT, nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_waiver"),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_waiver_person_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_waiver_by_person_id", ondelete="SET NULL"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_waiver_by_person_id", "waiver", ["by_person_id"])
    op.create_index("ix_waiver_person_id", "waiver", ["person_id"])


def _courses() -> None:
    op.create_table(
        "standard",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_standard"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "course",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("status", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", _MOMENT, nullable=False),
        sa.Column("changed_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_course"),
        sa.CheckConstraint(
            "status in ('planned', 'running', 'done')", name=op.f("ck_course_status")
        ),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "course_text",
        sa.Column("course_id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("saved_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("course_id", "version", name="pk_course_text"),
        sa.ForeignKeyConstraint(
            ["course_id"], ["course.id"], name="fk_course_text_course_id", ondelete="CASCADE"
        ),
    )
    op.create_table(
        "course_note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("course_id", sa.Integer(), nullable=False),
        sa.Column("dive", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("by_name", sa.Text(), nullable=False),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.Column("made_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_course_note"),
        sa.ForeignKeyConstraint(
            ["course_id"], ["course.id"], name="fk_course_note_course_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_course_note_by_person_id", ondelete="SET NULL"
        ),
        sa.CheckConstraint(
            "kind in ('briefed', 'achieved', 'lost day')", name=op.f("ck_course_note_kind")
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_course_note_by_person_id", "course_note", ["by_person_id"])
    op.create_index("ix_course_note_course_id", "course_note", ["course_id"])
    op.create_table(
        "debrief",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("on_date", sa.Date(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("by_name", sa.Text(), nullable=False),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.Column("made_at", _MOMENT, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_debrief"),
        sa.ForeignKeyConstraint(
            ["plan_id"], ["plan.id"], name="fk_debrief_plan_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_debrief_by_person_id", ondelete="SET NULL"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_debrief_by_person_id", "debrief", ["by_person_id"])
    op.create_index("ix_debrief_on_date", "debrief", ["on_date"])
    op.create_index("ix_debrief_plan_id", "debrief", ["plan_id"])


def _book() -> None:
    op.create_table(
        "sign_off",
        sa.Column("course_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("course_id", "number", name="pk_sign_off"),
        sa.ForeignKeyConstraint(["course_id"], ["course.id"], name="fk_sign_off_course_id"),
        sa.CheckConstraint("number >= 1", name=op.f("ck_sign_off_number")),
    )
    op.create_table(
        "sealed",
        sa.Column("course_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("salt", sa.Text(), nullable=False),
        sa.Column("about_person_id", sa.Integer(), nullable=True),
        sa.Column("by_person_id", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("course_id", "digest", name="pk_sealed"),
        sa.ForeignKeyConstraint(["course_id"], ["course.id"], name="fk_sealed_course_id"),
        sa.ForeignKeyConstraint(
            ["about_person_id"], ["person.id"], name="fk_sealed_about_person_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["by_person_id"], ["person.id"], name="fk_sealed_by_person_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_sealed_about_person_id", "sealed", ["about_person_id"])
    op.create_index("ix_sealed_by_person_id", "sealed", ["by_person_id"])


def _never_changed(table: str) -> None:
    """Let the database itself refuse to change or delete what was signed."""
    said = "sign-offs are added and never changed"
    if op.get_bind().dialect.name == "sqlite":
        for act in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{said}'); END"
            )
        return
    op.execute(
        f"CREATE FUNCTION {table}_stands() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{said}'; END $$"
    )
    op.execute(
        f"CREATE TRIGGER {table}_stands BEFORE UPDATE OR DELETE ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {table}_stands()"
    )
