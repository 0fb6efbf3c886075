"""The tables of a course of the workspace: dives, skills, gas."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from slatewright.course.buildup_skills import CourseSkills
from slatewright.course.skill_dives import DiveSkills
from slatewright.desk.course.course_work import Work
from slatewright.paper.course_dates import gas_totals, rows_of
from slatewright.paper.tables import Sheet
from slatewright.paper.tables_course import buildup_sheet, gas_totals_sheet, skills_sheet

if TYPE_CHECKING:
    from slatewright.course.buildup_gas import CourseGas


def sheets_of(work: Work, skills: CourseSkills, gas: CourseGas) -> dict[str, Sheet]:
    """Return the tables of a course by their names.

    Parameters
    ----------
    work
        The course.
    skills
        Its skills; one that is not in the list is left out of the table of skills.
    gas
        Its gas.
    """
    built = replace(work.built, gas=gas)
    units = work.file.units
    known = skills.library.by_id
    listed = tuple(
        DiveSkills(one.dive, tuple(skill for skill in one.skills if skill in known))
        for one in skills.assignment
    )
    return {
        "dives": buildup_sheet(rows_of(built), units=units),
        "skills": skills_sheet(listed, skills.dives, skills.library),
        "gas": gas_totals_sheet(gas_totals(built), units=units),
    }
