"""Where many ascents begin, as arrays that the kernel takes."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from slatewright.decompression._checks import check_index
from slatewright.decompression._kernel import layout as kernel
from slatewright.errors import InputError


@dataclass(frozen=True, slots=True)
class Ways:
    """The beginnings, each array with a row for each dive, or one for all.

    Parameters
    ----------
    planned
        Shape (n or 1, legs, 5); no legs for an ascent from a moment.
    from_m, start_min
        Shape (n or 1,): depth and run time at which the ascent begins [m], [min]; the run time of
        planned legs counts by itself.
    gas, ladder
        Shape (n or 1,): gas in the mouth, ladder climbed.
    start_bar
        Shape (n or 1, 32): tensions [bar].
    low, high
        Shape (n or 1,): gradient factors [-].
    """

    planned: kernel.F64
    from_m: kernel.F64
    start_min: kernel.F64
    gas: kernel.I64
    ladder: kernel.I64
    start_bar: kernel.F64
    low: kernel.F64
    high: kernel.F64

    def count(self) -> int:
        """Return the number of dives.

        Raises
        ------
        InputError
            If two arrays have different numbers of rows and neither has one.
        """
        rows = {field.name: getattr(self, field.name).shape[0] for field in fields(self)}
        several = {count for count in rows.values() if count != 1}
        if len(several) > 1:
            told = ", ".join(f"{name} {count}" for name, count in rows.items() if count != 1)
            raise InputError(
                f"the arrays do not belong together (rows: {told})", right="one row, or one a dive"
            )
        return several.pop() if several else 1


def float_array(values: npt.ArrayLike, dimensions: int | None = None) -> kernel.F64:
    """Return numbers as the kernel takes them: contiguous, and writable, for one compilation only.

    Parameters
    ----------
    values
        One number or many.
    dimensions
        How many the array has at least and at most; None to leave them.

    Raises
    ------
    InputError
        If these are no numbers, or too many dimensions.
    """
    try:
        array = np.require(values, np.float64, ["C", "A", "W"])
    except (TypeError, ValueError) as error:
        raise InputError(f"not an array of numbers ({error})", right="numbers") from error
    if dimensions is None:
        return array
    if array.ndim > dimensions:
        raise InputError(
            f"an array of the shape {array.shape}", right=f"{dimensions} dimensions at most"
        )
    return array.reshape((1,) * (dimensions - array.ndim) + array.shape)


def index_array(name: str, values: npt.ArrayLike, count: int) -> kernel.I64:
    """Return numbers of gases or ladders as the kernel takes them.

    Parameters
    ----------
    name
        What they number, for the message.
    values
        One number or many.
    count
        How many there are.

    Raises
    ------
    InputError
        If one is not whole, or not there.
    """
    array = float_array(values, 1)
    check_index(name, array, count)
    return array.astype(np.int64)
