"""Who teaches a course and who takes it too, as an address names them: for rules about them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import Depends, Query
from pydantic import StringConstraints

MOST_NAMES: Final = 20
LONGEST_NAME: Final = 200

_Name = Annotated[str, StringConstraints(max_length=LONGEST_NAME)]
_Instructors = Annotated[
    list[_Name],
    Query(
        alias="instructor",
        default_factory=list,
        max_length=MOST_NAMES,
        description="How logs name who teaches the course.",
    ),
]
_Partners = Annotated[
    list[_Name],
    Query(
        alias="partner",
        default_factory=list,
        max_length=MOST_NAMES,
        description="How logs name who takes the course too.",
    ),
]


@dataclass(frozen=True, slots=True)
class Named:
    """Who is named.

    Parameters
    ----------
    instructors
        How logs name who teaches the course.
    partners
        How logs name who takes it too.
    """

    instructors: tuple[str, ...] = ()
    partners: tuple[str, ...] = ()

    @property
    def query(self) -> str:
        """The end of an address that names the same, with its question mark; empty for nobody."""
        pairs = [("instructor", name) for name in self.instructors]
        pairs += [("partner", name) for name in self.partners]
        return f"?{urlencode(pairs)}" if pairs else ""


def named(instructors: _Instructors, partners: _Partners) -> Named:
    """Return who is named; fields that were left blank name nobody.

    Parameters
    ----------
    instructors
        How logs name who teaches the course.
    partners
        How logs name who takes it too.
    """
    return Named(_filled(instructors), _filled(partners))


def _filled(names: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name.strip() for name in names if name.strip()))


OnNamed = Annotated[Named, Depends(named)]
"""For a route."""
