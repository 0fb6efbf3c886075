"""In which texts of the workspace a name stands: they are their authors' words, and stay."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, or_, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from slatewright.store.schema import PlanRow, PlanTextRow, SettingRow
from slatewright.store.schema_course import CourseRow, CourseTextRow, StandardRow


@dataclass(frozen=True, slots=True)
class NamedIn:
    """Where a name stands, small letters or capitals.

    Parameters
    ----------
    plans, courses
        The numbers of those whose text, present or earlier, has it.
    standards
        The numbers of standards whose text has it.
    settings
        The names of settings that have it: fill files and what was ticked off in them, the texts
        of the ledger, house rules, what pages remember.
    """

    plans: tuple[int, ...] = ()
    courses: tuple[int, ...] = ()
    standards: tuple[int, ...] = ()
    settings: tuple[str, ...] = ()


def named_in(session: Session, name: str) -> NamedIn:
    """Return where a name stands.

    Parameters
    ----------
    session
        A session.
    name
        The name.
    """

    def found(key: InstrumentedAttribute[Any], text: InstrumentedAttribute[str]) -> list[Any]:
        return list(session.scalars(select(key).where(_has(text, name))))

    return NamedIn(
        plans=_each_once(
            [*found(PlanRow.id, PlanRow.text), *found(PlanTextRow.plan_id, PlanTextRow.text)]
        ),
        courses=_each_once(
            [
                *found(CourseRow.id, CourseRow.text),
                *found(CourseTextRow.course_id, CourseTextRow.text),
            ]
        ),
        standards=_each_once(found(StandardRow.id, StandardRow.text)),
        settings=tuple(sorted(found(SettingRow.name, SettingRow.value))),
    )


def _has(text: InstrumentedAttribute[str], name: str) -> ColumnElement[bool]:
    # some settings are JSON, which writes quotation marks and letters beyond ASCII otherwise
    written = {name, *(json.dumps(name, ensure_ascii=plain)[1:-1] for plain in (True, False))}
    return or_(*(text.icontains(form, autoescape=True) for form in sorted(written)))


def _each_once(numbers: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(set(numbers)))
