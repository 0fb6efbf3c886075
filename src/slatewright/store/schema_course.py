"""The tables of the course: cards, logbooks, standards, courses, the sign-off book, debriefs.

Sign-offs are added and never changed or deleted: the database itself refuses it, see the migration.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from slatewright.store._base import NEVER_REUSED, Base


class CertificateRow(Base):
    """A card that a person holds."""

    __tablename__ = "certificate"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    title: Mapped[str]
    level: Mapped[str]
    kinds: Mapped[str]
    issued_on: Mapped[date | None]
    number: Mapped[str]
    created_at: Mapped[datetime]

    __table_args__ = (Index(None, "person_id"), NEVER_REUSED)


class LogbookRow(Base):
    """A file of logged dives as it was read."""

    __tablename__ = "logbook"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    name: Mapped[str]
    file_sha256: Mapped[str]
    read_at: Mapped[datetime]

    __table_args__ = (Index(None, "person_id"), NEVER_REUSED)


class LoggedDiveRow(Base):
    """A dive out of a logbook, or written by hand; ``text`` is all of it."""

    __tablename__ = "logged_dive"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    logbook_id: Mapped[int | None] = mapped_column(ForeignKey("logbook.id", ondelete="CASCADE"))
    on_date: Mapped[date]
    text: Mapped[str]

    __table_args__ = (
        Index(None, "person_id", "on_date"),
        Index(None, "logbook_id"),
        NEVER_REUSED,
    )


class SetAsideRow(Base):
    """A row of a logbook that could not be read, until a person decides."""

    __tablename__ = "set_aside"

    id: Mapped[int] = mapped_column(primary_key=True)
    logbook_id: Mapped[int] = mapped_column(ForeignKey("logbook.id", ondelete="CASCADE"))
    line: Mapped[int]
    text: Mapped[str]
    reasons: Mapped[str]

    __table_args__ = (Index(None, "logbook_id"), NEVER_REUSED)


class StandardRow(Base):
    """A standard: its text is the truth."""

    __tablename__ = "standard"

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    text: Mapped[str]
    version: Mapped[int] = mapped_column()
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }
    __table_args__ = (NEVER_REUSED,)


class WaiverRow(Base):
    """A rule from which an instructor let a person off, with the reason; never changed."""

    __tablename__ = "waiver"

    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    standard: Mapped[str]
    rule: Mapped[str]
    reason: Mapped[str]
    on_date: Mapped[date]
    by_name: Mapped[str]
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"))
    made_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]

    __table_args__ = (Index(None, "person_id"), Index(None, "by_person_id"), NEVER_REUSED)


class CourseRow(Base):
    """A course: its text is the truth, the title is read out of it."""

    __tablename__ = "course"

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    text: Mapped[str]
    status: Mapped[str]
    version: Mapped[int] = mapped_column()
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }
    __table_args__ = (
        CheckConstraint("status in ('planned', 'running', 'done')", name="status"),
        NEVER_REUSED,
    )


class CourseTextRow(Base):
    """A text that a course had before."""

    __tablename__ = "course_text"

    course_id: Mapped[int] = mapped_column(
        ForeignKey("course.id", ondelete="CASCADE"), primary_key=True
    )
    version: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str]
    saved_at: Mapped[datetime]


class CourseNoteRow(Base):
    """That a dive of a course was briefed, or what was achieved; added, never changed."""

    __tablename__ = "course_note"

    id: Mapped[int] = mapped_column(primary_key=True)
    course_id: Mapped[int] = mapped_column(ForeignKey("course.id", ondelete="CASCADE"))
    dive: Mapped[str]
    kind: Mapped[str]
    text: Mapped[str]
    by_name: Mapped[str]
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"))
    made_at: Mapped[datetime]

    __table_args__ = (
        CheckConstraint("kind in ('briefed', 'achieved', 'lost day')", name="kind"),
        Index(None, "course_id"),
        Index(None, "by_person_id"),
        NEVER_REUSED,
    )


class SignOffRow(Base):
    """An entry of the sign-off book of a course, to the letter as it was hashed."""

    __tablename__ = "sign_off"

    course_id: Mapped[int] = mapped_column(ForeignKey("course.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str]

    __table_args__ = (CheckConstraint("number >= 1", name="number"),)


class SealedRow(Base):
    """A name or a remark of a sign-off book with its salt: what is deleted to forget a person."""

    __tablename__ = "sealed"

    course_id: Mapped[int] = mapped_column(ForeignKey("course.id"), primary_key=True)
    digest: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]
    salt: Mapped[str]
    about_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))

    __table_args__ = (Index(None, "about_person_id"), Index(None, "by_person_id"))


class DebriefRow(Base):
    """What was said after a dive; added, never changed."""

    __tablename__ = "debrief"

    id: Mapped[int] = mapped_column(primary_key=True)
    plan_id: Mapped[int] = mapped_column(ForeignKey("plan.id", ondelete="CASCADE"))
    on_date: Mapped[date]
    text: Mapped[str]
    by_name: Mapped[str]
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"))
    made_at: Mapped[datetime]

    __table_args__ = (
        Index(None, "plan_id"),
        Index(None, "on_date"),
        Index(None, "by_person_id"),
        NEVER_REUSED,
    )
