"""A rule from which an instructor lets somebody off, with the reason."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from slatewright.course.standard import Standard
from slatewright.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiver:
    """A rule that an instructor does not apply to a candidate.

    Parameters
    ----------
    rule
        The name of the rule.
    standard
        The name of the standard in which it stands.
    reason
        Why.
    by
        Who decided it.
    on
        The day from which it holds.

    Raises
    ------
    InputError
        If it does not say why, or by whom.
    """

    rule: str
    standard: str
    reason: str
    by: str
    on: date

    def __post_init__(self) -> None:
        for name, right in (("reason", "why the rule is not applied"), ("by", "a name")):
            if not getattr(self, name).strip():
                raise InputError(
                    f"a waiver of {self.rule} has nothing here", where=name, right=right
                )


def waiver_of(waivers: Iterable[Waiver], standard: str, rule: str, today: date) -> Waiver | None:
    """Return the waiver that holds for a rule: the latest, if there are several.

    Parameters
    ----------
    waivers
        Any waivers.
    standard, rule
        The names of standard and rule.
    today
        The day on which is judged; a waiver of a later day does not hold yet.

    Returns
    -------
    Waiver or None
        None if there is none.
    """
    holding = [
        one for one in waivers
        if (one.standard, one.rule) == (standard, rule) and one.on <= today
    ]  # fmt: skip
    return max(holding, key=lambda one: (one.on, one.by, one.reason), default=None)


def stray(waivers: Iterable[Waiver], standard: Standard) -> tuple[Waiver, ...]:
    """Return the waivers of a standard for rules that it does not have any more.

    Parameters
    ----------
    waivers
        Any waivers.
    standard
        The standard.
    """
    return tuple(
        one for one in waivers if one.standard == standard.id and standard.rule(one.rule) is None
    )
