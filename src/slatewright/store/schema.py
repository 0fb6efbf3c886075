"""The tables, and nothing else: what is kept, and what the database itself insists on.

A change here needs a migration beside it; a test compares the two.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from slatewright.store import schema_course
from slatewright.store._base import NEVER_REUSED, Base

__all__ = [
    "AnalysisRow",
    "Base",
    "DiveRow",
    "LoginRow",
    "PasswordRow",
    "PersonRow",
    "PlanRow",
    "PlanTextRow",
    "SettingRow",
    "SignatureRow",
    "schema_course",
]


class PlanRow(Base):
    """A plan: its text is the truth, title and units are read out of it."""

    __tablename__ = "plan"

    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str]
    units: Mapped[str]
    text: Mapped[str]
    earlier_plan_id: Mapped[int | None] = mapped_column(ForeignKey("plan.id"))
    status: Mapped[str]
    version: Mapped[int] = mapped_column()
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    trashed_at: Mapped[datetime | None]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }
    __table_args__ = (
        CheckConstraint("units in ('metric', 'imperial')", name="units"),
        CheckConstraint("status in ('draft', 'ready', 'dived')", name="status"),
        CheckConstraint("earlier_plan_id <> id", name="earlier_is_another"),
        Index(None, "earlier_plan_id"),
        NEVER_REUSED,
    )


class PlanTextRow(Base):
    """A text that a plan had before: what undo goes back to, in this window or next week."""

    __tablename__ = "plan_text"

    plan_id: Mapped[int] = mapped_column(
        ForeignKey("plan.id", ondelete="CASCADE"), primary_key=True
    )
    version: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str]
    saved_at: Mapped[datetime]


class PersonRow(Base):
    """A person, and no more about them than is needed."""

    __tablename__ = "person"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    born_on: Mapped[date | None]
    contact: Mapped[str]
    emergency_contact: Mapped[str]
    medical_on: Mapped[date | None]
    medical_until: Mapped[date | None]
    version: Mapped[int] = mapped_column()
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }
    __table_args__ = (
        CheckConstraint("medical_until >= medical_on", name="medical_in_order"),
        NEVER_REUSED,
    )


class DiveRow(Base):
    """A dive that is to be dived: a day and a plan."""

    __tablename__ = "dive"

    id: Mapped[int] = mapped_column(primary_key=True)
    on_date: Mapped[date]
    plan_id: Mapped[int] = mapped_column(ForeignKey("plan.id"))
    version: Mapped[int] = mapped_column()
    created_at: Mapped[datetime]
    changed_at: Mapped[datetime]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }
    __table_args__ = (Index(None, "on_date"), Index(None, "plan_id"), NEVER_REUSED)


class AnalysisRow(Base):
    """What an analyser said about a cylinder; added, never changed."""

    __tablename__ = "analysis"

    id: Mapped[int] = mapped_column(primary_key=True)
    dive_id: Mapped[int | None] = mapped_column(ForeignKey("dive.id", ondelete="SET NULL"))
    cylinder: Mapped[str]
    o2_pct: Mapped[float]
    he_pct: Mapped[float | None]
    gauge_bar: Mapped[float]
    by_name: Mapped[str]
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"))
    analysed_at: Mapped[datetime]

    __table_args__ = (
        CheckConstraint("o2_pct between 0 and 100", name="o2_range"),
        CheckConstraint("he_pct between 0 and 100", name="he_range"),
        CheckConstraint("o2_pct + he_pct <= 100", name="sum"),
        CheckConstraint("gauge_bar between 0 and 500", name="gauge_range"),
        Index(None, "dive_id"),
        Index(None, "cylinder", "analysed_at"),
        Index(None, "by_person_id"),
        NEVER_REUSED,
    )


class SignatureRow(Base):
    """Somebody checked a plan or signed it off: that very text, by its hash; never changed."""

    __tablename__ = "signature"

    id: Mapped[int] = mapped_column(primary_key=True)
    plan_id: Mapped[int] = mapped_column(ForeignKey("plan.id", ondelete="CASCADE"))
    kind: Mapped[str]
    text_sha256: Mapped[str]
    by_name: Mapped[str]
    by_person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"))
    signed_at: Mapped[datetime]

    __table_args__ = (
        CheckConstraint("kind in ('check', 'sign-off')", name="kind"),
        Index(None, "plan_id"),
        Index(None, "by_person_id"),
        NEVER_REUSED,
    )


class SettingRow(Base):
    """A text by name: the house rules of the workspace, and what pages remember."""

    __tablename__ = "setting"

    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]
    version: Mapped[int] = mapped_column()
    changed_at: Mapped[datetime]

    __mapper_args__ = {  # noqa: RUF012 - the library declares it
        "version_id_col": version
    }


class PasswordRow(Base):
    """The password for serving others, hashed: one or none."""

    __tablename__ = "password"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    argon2: Mapped[str]
    changed_at: Mapped[datetime]

    __table_args__ = (CheckConstraint("id = 1", name="only_one"),)


class LoginRow(Base):
    """A browser that has logged in; of its token only the hash is kept."""

    __tablename__ = "login"

    token_sha256: Mapped[str] = mapped_column(primary_key=True)
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]

    __table_args__ = (Index(None, "expires_at"),)
