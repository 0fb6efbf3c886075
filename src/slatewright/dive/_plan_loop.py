"""The table of a plan file for a closed circuit: setpoints, loop, oxygen used, absorbent."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from slatewright.dive._plan_base import DEEPEST_FT, DEEPEST_M, LONGEST_MIN, Mix, Table
from slatewright.toml.keys import key

LOWEST_SETPOINT_BAR = 0.4
HIGHEST_SETPOINT_BAR = 1.6

_SETPOINT = {"unit": "bar", "ge": LOWEST_SETPOINT_BAR, "le": HIGHEST_SETPOINT_BAR}
_OXYGEN_L = {"unit": "L/min", "ge": 0.2, "le": 6}
_OXYGEN_CUFT = {"unit": "cuft/min", "ge": 0.007, "le": 0.22}


class SetpointTable(Table):
    """An entry of ``setpoint_down`` or ``setpoint_up``: what the loop keeps from a depth on."""

    bar: Annotated[float, key("ppO2 that the loop keeps", "1.3", **_SETPOINT)]
    from_m: Annotated[
        float | None,
        key(
            "depth from which on it is kept, in the direction of travel; the first entry of a list "
            "has none",
            "20",
            unit="m",
            gt=0,
            le=DEEPEST_M,
        ),
    ] = None
    from_ft: Annotated[float | None, key("the same", "70", unit="ft", gt=0, le=DEEPEST_FT)] = None


class ScrubberTable(Table):
    """An entry of ``scrubber``: how long the absorbent lasts, as the person states it."""

    work: Annotated[
        Literal["resting", "swimming", "working"],
        key("the work for which it is stated; it holds for lighter work too", '"swimming"'),
    ]
    lasts_min: Annotated[
        float, key("minutes that it lasts", "160", unit="min", gt=0, le=LONGEST_MIN)
    ]
    water_temperature_c: Annotated[
        float | None,
        key(
            "coldest water for which it is stated; left out: any water",
            "10",
            unit="c",
            ge=-2,
            le=40,
        ),
    ] = None
    water_temperature_f: Annotated[float | None, key("the same", "50", unit="f", ge=28, le=104)] = (
        None
    )


class LoopTable(Table):
    """``[loop]``: the dive is made on a closed circuit, by everyone of the team."""

    diluent: Annotated[Mix, key("the diluent, a [[gas]] with use diluent", '"10/70"')]
    setpoint_down: Annotated[
        tuple[SetpointTable, ...],
        Field(strict=False),
        key(
            "setpoints on the way to the first stay, from the surface down",
            "[{ bar = 0.7 }, { bar = 1.2, from_m = 20 }]",
        ),
    ]
    setpoint_bottom_bar: Annotated[
        float, key("setpoint from the first stay to the end of the last", "1.2", **_SETPOINT)
    ]
    setpoint_up: Annotated[
        tuple[SetpointTable, ...],
        Field(strict=False),
        key(
            "setpoints on the way up, from the first level on; left out: that of the bottom",
            "[{ bar = 1.2 }, { bar = 1.4, from_m = 12 }]",
        ),
    ] = ()
    volume_l: Annotated[
        float | None,
        key("gas in the loop and the lungs, at any depth", "7", unit="L", ge=2, le=20),
    ] = None
    volume_cuft: Annotated[float | None, key("the same", "0.25", unit="cuft", ge=0.07, le=0.71)] = (
        None
    )
    oxygen_swimming_l_per_min: Annotated[
        float | None,
        key(
            "oxygen that a diver uses up, counted dry at 0 degrees Celsius and 1.01325 bar: on the "
            "way down, at depth and on the way up",
            "1.2",
            **_OXYGEN_L,
        ),
    ] = None
    oxygen_swimming_cuft_per_min: Annotated[
        float | None, key("the same", "0.042", **_OXYGEN_CUFT)
    ] = None
    oxygen_working_l_per_min: Annotated[
        float | None, key("at work at depth; left out: that of swimming", "1.8", **_OXYGEN_L)
    ] = None
    oxygen_working_cuft_per_min: Annotated[
        float | None, key("the same", "0.064", **_OXYGEN_CUFT)
    ] = None
    oxygen_resting_l_per_min: Annotated[
        float | None, key("at stops; left out: that of swimming", "0.8", **_OXYGEN_L)
    ] = None
    oxygen_resting_cuft_per_min: Annotated[
        float | None, key("the same", "0.028", **_OXYGEN_CUFT)
    ] = None
    scrubber: Annotated[
        tuple[ScrubberTable, ...],
        Field(strict=False),
        key(
            "how long the absorbent lasts, by work and water, as its maker or a person states it",
            '[{ work = "swimming", lasts_min = 160, water_temperature_c = 10 }]',
        ),
    ] = ()
    scrubber_used_min: Annotated[
        float,
        key("minutes already breathed on this absorbent", "0", unit="min", ge=0, le=LONGEST_MIN),
    ] = 0.0
    scrubber_reserve_min: Annotated[
        float,
        key("minutes of it that are kept back", "30", unit="min", ge=0, le=LONGEST_MIN),
    ] = 0.0
