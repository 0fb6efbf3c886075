"""Contradictions within a course file: what each table says is sound, and together it is not."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from slatewright.course._course_tables import CourseTables, clock
from slatewright.toml.faults import Fault


def contradictions(file: CourseTables, unsound: Collection[str] = ()) -> Iterator[Fault]:
    """Yield every contradiction.

    Parameters
    ----------
    file
        The tables.
    unsound
        Those that have faults of their own and are not there.
    """
    if "limits" not in unsound:
        yield from _limits(file)
    if "dive" not in unsound:
        yield from _dives(file)
    if not {"rest", "lost_day"} & set(unsound):
        yield from _days(file)
    if {"instructor", "student"} & set(unsound):
        return
    yield from _people(file)
    names = {person.name for _, _, person in file.people()}
    teachers = {person.name for kind, _, person in file.people() if kind == "instructor"}
    for kind, known in (("dive", names), ("flight", names), ("elsewhere", teachers)):
        if kind in unsound:
            continue
        for position, table in enumerate(getattr(file, kind)):
            yield from _who((kind, position, "who"), table.who or (), known)
    if not {"dive", "elsewhere"} & set(unsound):
        yield from _twice_at_once(file)


def _limits(file: CourseTables) -> Iterator[Fault]:
    limits = file.limits
    if clock(limits.first_start) > clock(limits.last_start):
        yield Fault(
            ("limits", "last_start"), "is before first_start", "a later time of the same day"
        )


def _dives(file: CourseTables) -> Iterator[Fault]:
    if not file.dive:
        yield Fault(("dive",), "there is none", "[[dive]] with plan, on and at")
    for position, dive in enumerate(file.dive):
        for i, skill in enumerate(dive.skills):
            if skill in dive.skills[:i]:
                yield Fault(("dive", position, "skills"), f"'{skill}' is listed twice", "once")


def _people(file: CourseTables) -> Iterator[Fault]:
    seen: set[str] = set()
    for kind, position, person in file.people():
        if person.name in seen:
            yield Fault((kind, position, "name"), f"'{person.name}' is taken", "each name once")
        seen.add(person.name)
        if person.deepest_m is not None and person.deepest_ft is not None:
            yield Fault((kind, position, "deepest_ft"), "is a second depth", "one of both")
    if not file.student:
        yield Fault(("student",), "is missing", '[[student]] with name = "Tove"')


def _who(
    path: tuple[str | int, ...], who: Collection[str], known: Collection[str]
) -> Iterator[Fault]:
    listed = list(who)
    for i, name in enumerate(listed):
        if name not in known:
            yield Fault(
                path, f"'{name}' is not of those who can be here", " or ".join(sorted(known))
            )
        elif name in listed[:i]:
            yield Fault(path, f"'{name}' is listed twice", "once")


def _twice_at_once(file: CourseTables) -> Iterator[Fault]:
    all_names = tuple(person.name for _, _, person in file.people())
    seen: dict[tuple[str, object], str] = {}
    for kind in ("dive", "elsewhere"):
        for position, table in enumerate(getattr(file, kind)):
            for name in table.who or all_names:
                other = seen.setdefault((name, table.starts()), f"{kind} {position + 1}")
                if other != f"{kind} {position + 1}":
                    yield Fault(
                        (kind, position, "at"),
                        f"{name} begins {other} at the same minute",
                        "another day or time, or others under who",
                    )
                    break


def _days(file: CourseTables) -> Iterator[Fault]:
    seen: dict[object, str] = {}
    for kind in ("rest", "lost_day"):
        for position, table in enumerate(getattr(file, kind)):
            if table.on in seen:
                yield Fault(
                    (kind, position, "on"), f"{table.on} is a [[{seen[table.on]}]] already", "once"
                )
            seen.setdefault(table.on, kind)
