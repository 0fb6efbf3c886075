"""How the solver's work on one dive ended, and what to say if it found no schedule."""

from __future__ import annotations

from enum import IntEnum

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression.settings import LONGEST_ASCENT_MIN, AscentSettings
from slatewright.errors import Reason


class Outcome(IntEnum):
    """How it ended, by the kernel's numbers."""

    SOLVED = kernel.OK
    TOO_LONG = kernel.TOO_LONG
    UNDER_CEILING = kernel.CEILING
    TOO_MANY_LEGS = kernel.LEGS_FULL


def refusal(outcome: Outcome, settings: AscentSettings, most_legs: int) -> Reason:
    """Return why there is no schedule.

    Parameters
    ----------
    outcome
        Any but solved.
    settings
        Model and ascent.
    most_legs
        How many legs there was room for.

    Returns
    -------
    Reason
        What happened and what would cure it.
    """
    if outcome is Outcome.TOO_LONG:
        return Reason(
            f"the obligation does not end within {LONGEST_ASCENT_MIN / 60:.0f} h of ascent",
            "less time at depth, a richer decompression gas, or a wider gradient "
            f"than {settings.gradient_low * 100:.0f}/{settings.gradient_high * 100:.0f}",
        )
    if outcome is Outcome.UNDER_CEILING:
        return Reason(
            "the ceiling lies below the first level that can be reached from the last depth",
            "end the bottom phase deeper, or earlier",
        )
    return Reason(
        f"the schedule has more than {most_legs} legs",
        "longer spells between breaks from oxygen, or a larger stop step",
    )
