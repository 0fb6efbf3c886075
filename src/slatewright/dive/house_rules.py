"""House rules: where the trade disagrees, one place holds the instructor's choice."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field


class HouseRules(BaseModel):
    """The instructor's choices; every result that depends on one names it.

    Parameters
    ----------
    oxygen_narcotic
        Whether oxygen counts as narcotic.
    density_temperature_c
        Temperature at which gas density is compared with its limits [degC].
    density_recommended_g_per_l, density_max_g_per_l
        The limits [g/L].
    oxygen_table
        Between rows of the oxygen table: interpolate, or step to the next higher row.
    cns_half_time_min
        Half-time of the CNS share at the surface [min].
    breaks
        Whether minutes of a break from oxygen earn decompression.
    floor_bar
        The lowest ppO2 that is breathed [bar]; never below 0.16.
    ppo2_bottom_max_bar, ppo2_stop_max_bar
        The highest ppO2 of bottom and travel gases, and at stops [bar].
    ppo2_tolerance_bar
        What a ppO2 may exceed its limit by without being called a breach [bar].
    whole_minutes
        Whether stops end on whole minutes of run time or of the stop itself.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    oxygen_narcotic: bool = True
    density_temperature_c: Annotated[float, Field(ge=0.0, le=40.0)] = 0.0
    density_recommended_g_per_l: Annotated[float, Field(gt=0.0, le=6.2)] = 5.2
    density_max_g_per_l: Annotated[float, Field(gt=0.0, le=6.2)] = 6.2
    oxygen_table: Literal["interpolate", "step"] = "interpolate"
    cns_half_time_min: Annotated[float, Field(ge=30.0, le=360.0)] = 90.0
    breaks: Literal["counted", "not counted"] = "counted"
    floor_bar: Annotated[float, Field(ge=0.16, le=0.21)] = 0.18
    ppo2_bottom_max_bar: Annotated[float, Field(ge=0.5, le=1.6)] = 1.4
    ppo2_stop_max_bar: Annotated[float, Field(ge=0.5, le=1.6)] = 1.6
    ppo2_tolerance_bar: Annotated[float, Field(ge=0.0, le=0.05)] = 0.03
    whole_minutes: Literal["run time", "arrival"] = "run time"
