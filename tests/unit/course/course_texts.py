"""Courses and plans of our own invention, as texts."""

from __future__ import annotations

from slatewright.course.buildup import build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.coursefile import read_course_text
from slatewright.dive.house_rules import HouseRules

RULES = HouseRules()
PEOPLE = """
[[instructor]]
name = "Mirren"
[[student]]
name = "Tove"
deepest_m = 40
helium_before = true
"""


def plan(depth, minutes, mix="18/45", *, units="metric", deco="", more=""):
    """Return a plan; with ``deco`` a second gas for the way up."""
    unit = "m" if units == "metric" else "ft"
    second = f'[[gas]]\nmix = "{deco}"\nuse = "decompression"\n' if deco else ""
    return f"""
schema = "slatewright/plan/1"
title = "{depth} {unit}"
units = "{units}"
[[gas]]
mix = "{mix}"
use = "bottom"
{second}{more}
[[level]]
depth_{unit} = {depth}
leave_at_min = {minutes}
"""


def dive(number, on, at, **keys):
    more = "".join(f"{name} = {value}\n" for name, value in keys.items())
    return f'[[dive]]\nplan = "#{number}"\non = {on}\nat = "{at}"\n{more}'


def text_of(*dives, limits="", people=PEOPLE, units="metric", more=""):
    return (
        f'schema = "slatewright/course/1"\ntitle = "Trial"\nunits = "{units}"\n'
        f"[limits]\n{limits}\n{people}\n{''.join(dives)}\n{more}"
    )


def course(text, plans):
    """Return a course whose plan #1 is the first of the plans, and so on."""

    def resolve(word):
        return plans[int(word.removeprefix("#")) - 1]

    return course_of(read_course_text(text), resolve, text=text)


def built(text, plans, **wanted):
    return build_up(course(text, plans), RULES, **wanted)


def found(result, code):
    return [finding for finding in result.findings if finding.code == code]
