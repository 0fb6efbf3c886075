"""What goes into the solver is looked at before it does: the kernel itself trusts its arrays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt

from slatewright.decompression._kernel import layout as kernel
from slatewright.decompression.ladder import NEAR_M, AscentGas
from slatewright.decompression.settings import AscentSettings
from slatewright.errors import InputError

DEEPEST_M: Final = 400.0
"""No dive is deeper; what is deeper is a slip of the pen [m]."""
_LONGEST_MIN: Final = 1e5
_HIGHEST_BAR: Final = 100.0


def check_gases(gases: Sequence[AscentGas], rungs: kernel.I64) -> None:
    """Refuse ladders that name gases that are not there.

    Parameters
    ----------
    gases
        What the ladders number.
    rungs
        Shape (ladders, 2, levels).
    """
    if not gases or rungs.shape[0] == 0:
        raise InputError("there is no gas, or no ladder", right="at least one of each")
    highest = int(rungs.max(initial=0))
    if highest >= len(gases):
        raise InputError(
            f"a ladder names gas {highest}", right=f"numbers from 0 to {len(gases) - 1}"
        )


def check_numbers(
    name: str, values: npt.NDArray[np.float64], least: float, most: float, unit: str
) -> None:
    """Refuse what is no number or out of range.

    Parameters
    ----------
    name
        What the values are, for the message.
    values
        Any shape.
    least, most
        The range, ends included, in the values' own unit [-].
    unit
        For the message.
    """
    if values.size and not (values.min() >= least and values.max() <= most):
        wrong = np.argwhere(~((values >= least) & (values <= most)))[0]
        raise InputError(
            f"{name} of {values[tuple(wrong)]:g} {unit}".rstrip(),
            where=f"dive {wrong[0] + 1}" if values.shape[0] > 1 else "",
            right=f"from {least:g} to {most:g} {unit}".rstrip(),
        )


def check_start(start_bar: kernel.F64) -> None:
    """Refuse tensions that no person has.

    Parameters
    ----------
    start_bar
        Shape (n or 1, 32) [bar].
    """
    if start_bar.ndim != 2 or start_bar.shape[1] != kernel.WIDE:
        raise InputError(
            f"tensions at the start have the shape {start_bar.shape}",
            right=f"(dives or 1, {kernel.WIDE}): nitrogen of 16 compartments, then helium",
        )
    check_numbers("a tension", start_bar, 0.0, _HIGHEST_BAR, "bar")
    if start_bar.size and not start_bar[:, : kernel.N].min() > 0.0:
        raise InputError("a compartment without nitrogen", right="a tension above zero")


def check_gradients(low: kernel.F64, high: kernel.F64) -> None:
    """Refuse gradient factors out of range.

    Parameters
    ----------
    low, high
        Shape (n or 1,) [-].
    """
    check_numbers("a gradient factor", low, 1e-3, 1.0, "")
    check_numbers("a gradient factor", high, 1e-3, 1.0, "")
    if low.size and high.size and not (low <= high).all():
        raise InputError("a low gradient factor is above the high one", right="low at most high")


def check_planned(planned: kernel.F64, deepest_m: float, gases: int) -> None:
    """Refuse planned legs that are none.

    Parameters
    ----------
    planned
        Shape (n or 1, legs, 5).
    deepest_m
        How deep they may lead [m].
    gases
        How many gases there are.
    """
    if planned.ndim != 3 or planned.shape[2] != 5 or planned.shape[1] == 0:
        raise InputError(
            f"planned legs have the shape {planned.shape}",
            right="(dives or 1, legs, 5): kind, from and to [m], minutes, gas",
        )
    check_numbers("a kind of leg", planned[:, :, 0], kernel.DESCENT, kernel.PAUSE, "")
    check_numbers("a planned depth", planned[:, :, 1:3], 0.0, deepest_m + NEAR_M, "m")
    check_numbers("a planned time", planned[:, :, 3], 0.0, _LONGEST_MIN, "min")
    check_index("a planned gas", planned[:, :, 4], gases)
    if planned.size and not (planned[:, :, 3] > 0.0).any(axis=1).all():
        raise InputError("a dive whose legs take no time", right="at least one planned leg")


def check_moments(from_m: kernel.F64, start_min: kernel.F64, deepest_m: float) -> None:
    """Refuse moments that are none.

    Parameters
    ----------
    from_m, start_min
        Shape (n or 1,): depth and run time [m], [min].
    deepest_m
        How deep they may lie [m].
    """
    check_numbers("a depth", from_m, 0.0, deepest_m + NEAR_M, "m")
    check_numbers("a run time", start_min, 0.0, _LONGEST_MIN, "min")


def last_levels(from_m: kernel.F64, settings: AscentSettings) -> kernel.I64:
    """Return the last level of each ascent, as `slatewright.decompression.ladder` has it.

    Parameters
    ----------
    from_m
        Shape (n or 1,): where they begin [m].
    settings
        Steps and last stop.
    """
    levels = np.floor(from_m / settings.stop_step_m + NEAR_M).astype(np.int64)
    return np.minimum(settings.last_level, levels)


def check_ladders(
    from_m: kernel.F64, ladder: kernel.I64, rungs: kernel.I64, settings: AscentSettings
) -> None:
    """Refuse ascents on whose way a ladder has no gas.

    Parameters
    ----------
    from_m
        Shape (n or 1,): where they begin [m].
    ladder
        Shape (n or 1,): which ladder they climb.
    rungs
        Shape (ladders, 2, levels).
    settings
        Steps and last stop.
    """
    top = np.floor(from_m / settings.stop_step_m + kernel.SAME_MINUTE).astype(np.int64)
    last = last_levels(from_m, settings)
    missing = np.zeros((rungs.shape[0], max(rungs.shape[2], int(top.max(initial=0)) + 1)), np.int64)
    missing[:, : rungs.shape[2]] = rungs[:, 0, :] < 0
    missing[:, rungs.shape[2] :] = 1
    missing[:, 0] = 0
    upto = missing.cumsum(axis=1)
    gap = (top >= last) & (last > 0) & (upto[ladder, top] > upto[ladder, np.maximum(last, 1) - 1])
    if gap.any():
        dive = int(np.argmax(gap))
        depth_m = np.broadcast_to(from_m, gap.shape)[dive]
        raise InputError(
            f"a ladder has no gas somewhere on the way up from {depth_m:g} m",
            where=f"dive {dive + 1}" if gap.size > 1 else "",
            right="a ladder made for an ascent from there",
        )


def check_index(name: str, values: kernel.F64, count: int) -> None:
    """Refuse numbers of things that are not there.

    Parameters
    ----------
    name
        What they number, for the message.
    values
        Any shape.
    count
        How many there are.
    """
    check_numbers(f"{name} with the number", values, 0.0, count - 1.0, "")
    if not (values == np.floor(values)).all():
        raise InputError(f"{name} with a number that is not whole", right=f"0 to {count - 1}")
