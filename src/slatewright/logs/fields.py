"""What a column of a logbook can say, and the forms in which it can say it."""

from __future__ import annotations

from enum import StrEnum
from typing import Final


class Field(StrEnum):
    """What a column says."""

    DATE = "date"
    BEGAN = "start"
    ENDED = "end"
    MINUTES = "duration"
    DEPTH = "greatest depth"
    UNIT = "unit of depth"
    GAS = "gas"
    O2 = "oxygen"
    HE = "helium"
    CIRCUIT = "circuit"
    ROLE = "role"
    DECOMPRESSION = "decompression"
    PARTNERS = "partners"
    EQUIPMENT = "equipment"
    NUMBER = "number"
    PLACE = "place"
    REMARK = "remark"


MANY: Final = frozenset(
    {
        Field.DEPTH, Field.GAS, Field.O2, Field.HE,
        Field.PARTNERS, Field.EQUIPMENT, Field.PLACE, Field.REMARK,
    }
)  # fmt: skip
"""Fields that several columns may hold; of several depths a row may fill one."""


class DateOrder(StrEnum):
    """How a date in numbers alone is ordered, if it does not begin with a year of four digits."""

    DMY = "d.m.y"
    MDY = "m/d/y"
    YMD = "y-m-d"


class BareDuration(StrEnum):
    """What a duration counts that is a number alone."""

    MINUTES = "min"
    SECONDS = "s"
    HOURS = "h"


class ClockDuration(StrEnum):
    """How a duration such as 1:05 is read."""

    HOURS_MINUTES = "h:mm"
    MINUTES_SECONDS = "mm:ss"


class Share(StrEnum):
    """How the share of a gas is counted that is a number alone."""

    PERCENT = "per cent"
    FRACTION = "fraction"
