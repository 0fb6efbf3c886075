"""The tables of a plan file, exactly as they are written.

Numbers stay in the file's own units, so that reading and writing lose nothing. A length has two
keys, one that ends in ``_m`` and one in ``_ft``; the file's units say which of them it may use.
What concerns cylinders and the team stands in `_plan_team`.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import AfterValidator

from slatewright.decompression.tissues import COMPARTMENTS
from slatewright.dive._plan_base import (
    DEEPEST_FT,
    DEEPEST_M,
    LONGEST_MIN,
    Mix,
    Table,
    Tensions,
    Uses,
    Words,
    interval_min,
    known_interval,
)
from slatewright.dive._plan_loop import LoopTable
from slatewright.dive._plan_team import (
    BreathingTable,
    CylinderTable,
    PartnerTable,
    ReserveTable,
    RigTable,
    SizeTable,
)
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem
from slatewright.physics.water import WaterKind
from slatewright.toml.keys import key

__all__ = [
    "LONGEST_MIN",
    "SCHEMA",
    "AscentTable",
    "BreaksTable",
    "CarriedTable",
    "CylinderTable",
    "DiverTable",
    "EarlierTable",
    "GasTable",
    "LevelTable",
    "LoopTable",
    "ModelTable",
    "PartnerTable",
    "PlanTables",
    "ReserveTable",
    "SizeTable",
    "Table",
    "WaterTable",
    "interval_min",
]

SCHEMA: Final = "slatewright/plan/1"
"""The first line of a plan file says which kind of file it is."""


class WaterTable(Table):
    """``[water]``: where the dive is."""

    kind: Annotated[
        WaterKind, key("convention by which depth becomes pressure", '"sea"', strict=False)
    ] = WaterKind.EN13319
    altitude_m: Annotated[
        float | None,
        key("altitude of the surface, as on a map", "0", unit="m", default=0, ge=-500, le=5000),
    ] = None
    altitude_ft: Annotated[
        float | None, key("the same", "0", unit="ft", default=0, ge=-1640, le=16404)
    ] = None
    latitude_deg: Annotated[
        float | None,
        key("latitude, negative in the south; `teos10` needs it", "36", unit="deg", ge=-90, le=90),
    ] = None
    temperature_c: Annotated[
        float | None,
        key(
            "temperature of the water, for breathing and gauges; left out: 20 degrees Celsius",
            "8",
            unit="c",
            ge=-2,
            le=40,
        ),
    ] = None
    temperature_f: Annotated[float | None, key("the same", "46", unit="f", ge=28, le=104)] = None


class DiverTable(BreathingTable):
    """``[diver]``: what the person accepts, does and breathes."""

    name: Annotated[Words, key("the person's name, for a team", '"Mirren"')] = "the diver"

    narcotic_limit_m: Annotated[
        float | None,
        key(
            "greatest equivalent narcotic depth accepted",
            "30",
            unit="m",
            default=30,
            ge=10,
            le=60,
        ),
    ] = None
    narcotic_limit_ft: Annotated[
        float | None, key("the same", "100", unit="ft", default=100, ge=33, le=197)
    ] = None
    descent_m_per_min: Annotated[
        float | None, key("rate of descent", "20", unit="m/min", default=20, ge=1, le=60)
    ] = None
    descent_ft_per_min: Annotated[
        float | None, key("the same", "60", unit="ft/min", default=60, ge=3, le=197)
    ] = None
    adapted_altitude_m: Annotated[
        float | None,
        key(
            "altitude at which the body has become saturated, not above the water's; "
            "left out: sea level, or the water's altitude if that is lower",
            "0",
            unit="m",
            ge=-500,
            le=5000,
        ),
    ] = None
    adapted_altitude_ft: Annotated[
        float | None, key("the same", "0", unit="ft", ge=-1640, le=16404)
    ] = None


class ModelTable(Table):
    """``[model]``: decompression model and levels."""

    name: Annotated[
        Literal["ZH-L16C", "ZH-L16B", "ZH-L16A"],
        key("set of coefficients", '"ZH-L16C"'),
    ] = "ZH-L16C"
    gradient_low_pct: Annotated[
        float, key("gradient factor at the first stop", "30", unit="pct", ge=5, le=100)
    ] = 30.0
    gradient_high_pct: Annotated[
        float,
        key("gradient factor on surfacing, not below the low", "80", unit="pct", ge=5, le=100),
    ] = 80.0
    last_stop_m: Annotated[
        float | None,
        key("shallowest stop, a multiple of the step", "6", unit="m", default=6, ge=2, le=15),
    ] = None
    last_stop_ft: Annotated[
        float | None, key("the same", "20", unit="ft", default=20, ge=5, le=50)
    ] = None
    stop_step_m: Annotated[
        float | None, key("distance between stops", "3", unit="m", default=3, ge=1, le=10)
    ] = None
    stop_step_ft: Annotated[
        float | None, key("the same", "10", unit="ft", default=10, ge=3, le=30)
    ] = None


class AscentTable(Table):
    """``[ascent]``: how fast the way up is, and how long a change of gas takes."""

    to_first_stop_m_per_min: Annotated[
        float | None, key("rate up to the first stop", "9", unit="m/min", default=9, ge=0.3, le=30)
    ] = None
    to_first_stop_ft_per_min: Annotated[
        float | None, key("the same", "30", unit="ft/min", default=30, ge=1, le=98)
    ] = None
    between_stops_m_per_min: Annotated[
        float | None, key("rate between stops", "9", unit="m/min", default=9, ge=0.3, le=30)
    ] = None
    between_stops_ft_per_min: Annotated[
        float | None, key("the same", "30", unit="ft/min", default=30, ge=1, le=98)
    ] = None
    to_surface_m_per_min: Annotated[
        float | None,
        key("rate from the last stop up", "3", unit="m/min", default=3, ge=0.3, le=30),
    ] = None
    to_surface_ft_per_min: Annotated[
        float | None, key("the same", "10", unit="ft/min", default=10, ge=1, le=98)
    ] = None
    switch_min: Annotated[
        float, key("minutes that a change of gas takes", "1", unit="min", ge=0, le=10)
    ] = 1.0


class BreaksTable(Table):
    """``[breaks]``: breaks from oxygen; without the table there are none."""

    on_min: Annotated[
        int, key("whole minutes on oxygen before a break", "12", unit="min", ge=1, le=120)
    ] = 12
    off_min: Annotated[int, key("whole minutes of the break", "6", unit="min", ge=1, le=60)] = 6
    gas: Annotated[
        Mix | None,
        key("the gas breathed meanwhile, one of those carried; left out: chosen", '"EAN50"'),
    ] = None


class GasTable(Table):
    """``[[gas]]``: a gas carried, and what for."""

    mix: Annotated[Mix, key("the mixture in the trade's notation", '"12/65"')]
    use: Annotated[
        Uses,
        key("what it is carried for; a list if for more than one", '"bottom"'),
    ]
    ppo2_max_bar: Annotated[
        float | None,
        key(
            "highest ppO2 at which it is breathed, for each of its uses; left out: the house rule",
            "1.4",
            unit="bar",
            ge=0.5,
            le=1.6,
        ),
    ] = None
    travel_to_m: Annotated[
        float | None,
        key(
            "travel gas only: depth at which it is left on the way down; left out: proposed",
            "30",
            unit="m",
            gt=0,
            le=DEEPEST_M,
        ),
    ] = None
    travel_to_ft: Annotated[
        float | None, key("the same", "100", unit="ft", gt=0, le=DEEPEST_FT)
    ] = None
    switch_at_m: Annotated[
        float | None,
        key(
            "decompression or bailout gas only: level at which it is taken up on the way up; "
            "left out: the deepest at which it may be breathed",
            "21",
            unit="m",
            gt=0,
            le=DEEPEST_M,
        ),
    ] = None
    switch_at_ft: Annotated[float | None, key("the same", "70", unit="ft", gt=0, le=DEEPEST_FT)] = (
        None
    )

    @property
    def mixture(self) -> Mixture:
        """The mixture that is meant."""
        return Mixture.parse(self.mix)


class LevelTable(Table):
    """``[[level]]``: a stay at one depth; exactly one of ``leave_at_min`` and ``stay_min``."""

    depth_m: Annotated[float | None, key("depth", "60", unit="m", ge=1, le=DEEPEST_M)] = None
    depth_ft: Annotated[float | None, key("the same", "200", unit="ft", ge=4, le=DEEPEST_FT)] = None
    leave_at_min: Annotated[
        float | None,
        key("run time at which it is left", "20", unit="min", gt=0, le=LONGEST_MIN),
    ] = None
    stay_min: Annotated[
        float | None,
        key("minutes there after arrival", "15", unit="min", ge=0, le=LONGEST_MIN),
    ] = None


class EarlierTable(Table):
    """``[earlier]``: the dive before, whose inert gas and oxygen are carried into this one."""

    plan: Annotated[Words, key("its plan file, beside this one", '"5-slope.toml"')]
    surface_interval: Annotated[
        str,
        AfterValidator(known_interval),
        key("h:mm, with days before it if need be", '"3:30"'),
    ]


class CarriedTable(Table):
    """``[carried]``: the same in figures, where there is no file of the dive before."""

    n2_bar: Annotated[
        Tensions,
        key(
            f"nitrogen in the {COMPARTMENTS} compartments, fastest first, each 0 to 30",
            "[0.75, ...]",
            unit="bar",
        ),
    ]
    he_bar: Annotated[Tensions, key("helium, likewise", "[0.0, ...]", unit="bar")]
    cns_pct: Annotated[
        float, key("CNS share left after the interval", "12", unit="pct", ge=0, le=500)
    ] = 0.0
    otu_today: Annotated[
        float, key("pulmonary units of earlier dives of the same day", "90", ge=0, le=5000)
    ] = 0.0
    otu_before_today: Annotated[
        float, key("pulmonary units of the days before, of the same run", "300", ge=0, le=20000)
    ] = 0.0
    day: Annotated[
        int, key("which day of consecutive exposure this is, from 1", "2", ge=1, le=365)
    ] = 1
    index_k: Annotated[
        float, key("what is left of the second-opinion index", "0.0", ge=0, le=100000)
    ] = 0.0


class PlanTables(Table):
    """The whole file, its tables each sound by itself."""

    schema_: Annotated[
        Literal["slatewright/plan/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    title: Annotated[Words, key("the dive's name, for screen and slate", '"The wall, 96 m"')]
    units: Annotated[
        UnitSystem,
        key("units of the file: keys end in `_m` or in `_ft`", '"metric"', strict=False),
    ]
    water: Annotated[WaterTable, key("where the dive is", "[water]")] = WaterTable()
    diver: Annotated[DiverTable, key("what the person accepts", "[diver]")] = DiverTable()
    model: Annotated[ModelTable, key("model and levels", "[model]")] = ModelTable()
    ascent: Annotated[AscentTable, key("the way up", "[ascent]")] = AscentTable()
    breaks: Annotated[BreaksTable | None, key("breaks from oxygen", "[breaks]")] = None
    loop: Annotated[
        LoopTable | None, key("a dive on a closed circuit", "[loop] with diluent and setpoints")
    ] = None
    gas: Annotated[
        tuple[GasTable, ...],
        key("gases", '[[gas]] with mix = "18/45" and use = "bottom"', strict=False),
    ]
    level: Annotated[
        tuple[LevelTable, ...],
        key("stays", "[[level]] with depth and leave_at_min or stay_min", strict=False),
    ]
    size: Annotated[
        tuple[SizeTable, ...],
        key("cylinders of one's own", '[[size]] with name = "my 12"', strict=False),
    ] = ()
    cylinder: Annotated[
        tuple[CylinderTable, ...],
        key("cylinders carried", "[[cylinder]] with gas, size and pressure", strict=False),
    ] = ()
    rig: Annotated[
        RigTable | None,
        key("what floats and sinks on the plan's diver", "[rig] with wing_lift and suit"),
    ] = None
    partner: Annotated[
        tuple[PartnerTable, ...],
        key("the others of the team", '[[partner]] with name = "Tove"', strict=False),
    ] = ()
    reserve: Annotated[ReserveTable, key("what the team keeps back", "[reserve]")] = ReserveTable()
    earlier: Annotated[EarlierTable | None, key("the dive before", "[earlier]")] = None
    carried: Annotated[CarriedTable | None, key("the same in figures", "[carried]")] = None
