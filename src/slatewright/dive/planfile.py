"""The plan file: how a person writes a dive down, in TOML and in their own units.

`PlanFile` is the file exactly as written; `PlanFile.to_plan` is what it means, in metres. Reading
a good file takes the standard library and pydantic only; what finds lines and writes changes into
a text is imported when it is needed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from pydantic import TypeAdapter, ValidationError, model_validator

from slatewright.decompression.settings import AscentSettings, OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import Tissues, air_saturated
from slatewright.dive._loop_of_table import loop_of
from slatewright.dive._plan_contradictions import arrivals_min, contradictions
from slatewright.dive._plan_tables import (
    SCHEMA,
    AscentTable,
    BreaksTable,
    CarriedTable,
    DiverTable,
    EarlierTable,
    GasTable,
    LevelTable,
    ModelTable,
    PlanTables,
    Table,
    WaterTable,
    interval_min,
)
from slatewright.dive.plan import Carried, CarriedGas, Level, Plan, Use
from slatewright.errors import InputError, PlanFileError
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water, water
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse
from slatewright.toml.keys import named

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from slatewright.dive.house_rules import HouseRules

__all__ = [
    "SCHEMA",
    "AscentTable",
    "BreaksTable",
    "CarriedTable",
    "DiverTable",
    "EarlierTable",
    "GasTable",
    "LevelTable",
    "Link",
    "ModelTable",
    "PlanFile",
    "WaterTable",
    "interval_min",
    "parse_plan_file",
    "read_chain",
    "read_plan",
    "read_plan_file",
    "write_plan_file",
]


class PlanFile(PlanTables):
    """A plan file, each number in the units in which it is written.

    A `PlanFile` that exists has no contradictions: its constructor raises
    `pydantic.ValidationError`, the functions that read a file `PlanFileError`.
    """

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("PlanFile", contradictions(self))
        return self

    def to_plan(self, rules: HouseRules, carried: Carried | None = None) -> Plan:
        """Return what the file means, in metres, bar and minutes.

        Parameters
        ----------
        rules
            The house rules; they say which ppO2 a gas may have where the file does not.
        carried
            What the dive before left, if the file names one.

        Returns
        -------
        Plan
            The plan.

        Raises
        ------
        InputError
            If the file names an earlier dive and nothing is carried in, or the other way about.

        Notes
        -----
        A stay in minutes after arrival ends on a whole minute of run time, the next one, where
        the house rule `whole_minutes` asks for such minutes.
        """
        if (self.earlier is None) != (carried is None):
            raise InputError(
                "the file names no earlier dive, and something is carried in"
                if self.earlier is None
                else f"what the earlier dive {self.earlier.plan} left is not at hand",
                where="earlier",
                right="carry in exactly what the file names",
            )
        column = self.column()
        times = arrivals_min(self, whole_minutes=rules.whole_minutes == "run time")
        return Plan(
            title=self.title,
            units=self.units,
            water=column,
            settings=self._settings(rules),
            gases=tuple(self._gases(rules)),
            levels=tuple(
                Level(self._m(level, "depth_{}"), left_min)
                for level, (_, left_min) in zip(self.level, times, strict=True)
            ),
            descent_m_per_min=self._m(self.diver, "descent_{}_per_min"),
            narcotic_limit_m=self._m(self.diver, "narcotic_limit_{}"),
            break_gas=Mixture.parse(self.breaks.gas) if self.breaks and self.breaks.gas else None,
            carried=carried or self._start(),
            rules=rules,
            loop=None if self.loop is None else loop_of(self.loop, self.units),
        )

    def _m(self, table: Table, name: str) -> float:
        length_m = table.metres(name, self.units)
        if length_m is None:
            raise ValueError(f"{name} has neither value nor default")
        return length_m

    def column(self, altitude_m: float | None = None) -> Water:
        """Return the water of the plan.

        Parameters
        ----------
        altitude_m
            Altitude of its surface; None for that of the file [m].
        """
        return water(
            self.water.kind,
            altitude_m=self._m(self.water, "altitude_{}") if altitude_m is None else altitude_m,
            latitude_deg=self.water.latitude_deg,
            deepest_m=max(self._m(level, "depth_{}") for level in self.level),
        )

    def _settings(self, rules: HouseRules) -> AscentSettings:
        breaks = self.breaks
        return AscentSettings(
            model=self.model.name,
            gradient_low=self.model.gradient_low_pct / 100.0,
            gradient_high=self.model.gradient_high_pct / 100.0,
            stop_step_m=self._m(self.model, "stop_step_{}"),
            last_stop_m=self._m(self.model, "last_stop_{}"),
            to_first_stop_m_per_min=self._m(self.ascent, "to_first_stop_{}_per_min"),
            between_stops_m_per_min=self._m(self.ascent, "between_stops_{}_per_min"),
            to_surface_m_per_min=self._m(self.ascent, "to_surface_{}_per_min"),
            switch_min=self.ascent.switch_min,
            whole_minutes=WholeMinutes(rules.whole_minutes),
            breaks=OxygenBreaks(breaks.on_min, breaks.off_min, counted=rules.breaks == "counted")
            if breaks
            else None,
        )

    def _gases(self, rules: HouseRules) -> list[CarriedGas]:
        gases = []
        for gas in self.gas:
            for use in gas.use:
                at_stops = use in {Use.DECOMPRESSION, Use.BAILOUT}
                rule = rules.ppo2_stop_max_bar if at_stops else rules.ppo2_bottom_max_bar
                switch_m = {
                    Use.TRAVEL: gas.metres("travel_to_{}", self.units),
                    Use.DECOMPRESSION: gas.metres("switch_at_{}", self.units),
                    Use.BAILOUT: gas.metres("switch_at_{}", self.units),
                }.get(use)
                limit_bar = rule if gas.ppo2_max_bar is None else gas.ppo2_max_bar
                gases.append(CarriedGas(gas.mixture, use, limit_bar, switch_m))
        return gases

    def _start(self) -> Carried | None:
        """Return what stands in [carried], or the tensions of one who came up to the water."""
        if self.carried is not None:
            known = self.carried.model_dump(exclude={"n2_bar", "he_bar"})
            return Carried(Tissues(self.carried.n2_bar, self.carried.he_bar), **known)
        altitude_m = self._m(self.water, "altitude_{}")
        adapted_m = self.diver.metres("adapted_altitude_{}", self.units)
        if adapted_m is None:
            adapted_m = min(0.0, altitude_m)
        if adapted_m == altitude_m:
            return None
        return Carried(air_saturated(self.column(adapted_m).surface_bar))


@dataclass(frozen=True, slots=True)
class Link:
    """One plan of a chain of dives.

    Parameters
    ----------
    path
        The file.
    plan
        What it says.
    interval_min
        The surface interval before it; 0 for the first [min].
    """

    path: Path
    plan: PlanFile
    interval_min: float


def parse_plan_file(text: str, raw: Mapping[str, Any], path: Path | None = None) -> PlanFile:
    """Check what a text says, and name all its faults at once.

    Parameters
    ----------
    text
        The text, valid TOML; it is used for the lines of the faults.
    raw
        What it says.
    path
        The file, for the messages.

    Returns
    -------
    PlanFile
        The plan file.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    try:
        return PlanFile.model_validate(raw)
    except ValidationError as error:
        faults = list(faults_in(error, PlanFile, raw))
    faults.extend(_contradictions_of_the_sound(raw, faults))
    raise file_error(dict.fromkeys(faults), text, path)


def _contradictions_of_the_sound(raw: Mapping[str, Any], faults: list[Fault]) -> list[Fault]:
    """Look for contradictions among the tables that have no fault of their own."""
    unsound = frozenset(str(fault.path[0]) for fault in faults)
    sound: dict[str, Any] = {
        name: TypeAdapter[Any](field.annotation).validate_python(raw[name])
        for name, field in named(PlanFile).items()
        if name in raw and name not in unsound and field.annotation is not None
    }
    return list(contradictions(PlanTables.model_construct(**sound), unsound))


def read_plan_file(path: Path) -> PlanFile:
    """Read a plan file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    PlanFile
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    text, raw = read_toml(path)
    return parse_plan_file(text, raw, path)


def read_chain(path: Path) -> tuple[Link, ...]:
    """Read a plan file and all the earlier dives that it builds on.

    Parameters
    ----------
    path
        The file of the last dive.

    Returns
    -------
    tuple
        The dives in order of time, the one of ``path`` last.

    Raises
    ------
    PlanFileError
        If one of the files cannot be read or has faults, or a dive would be earlier than itself.
    """
    links: list[Link] = []
    seen = {path.resolve()}
    here = path
    while True:
        plan = read_plan_file(here)
        if plan.earlier is None:
            links.append(Link(here, plan, 0.0))
            return tuple(reversed(links))
        links.append(Link(here, plan, float(interval_min(plan.earlier.surface_interval))))
        before = here.parent / plan.earlier.plan
        if before.resolve() in seen:
            raise _earlier_error(
                here, f"'{plan.earlier.plan}' builds on this dive: a loop", "an earlier dive"
            )
        if not before.is_file():
            raise _earlier_error(
                here,
                f"there is no file '{plan.earlier.plan}'",
                "the path of a plan file, from the folder of this one",
            )
        seen.add(before.resolve())
        here = before


def _earlier_error(path: Path, what: str, right: str) -> PlanFileError:
    text, _ = read_toml(path)
    return file_error([Fault(("earlier", "plan"), what, right)], text, path)


def read_plan(
    path: Path,
    *,
    rules: HouseRules,
    compute_carried: Callable[[Path, float], Carried] | None = None,
) -> Plan:
    """Read a plan file into a plan, with what earlier dives left.

    Parameters
    ----------
    path
        The file.
    rules
        The house rules.
    compute_carried
        Computes a dive and its surface interval: takes the file of the earlier dive and the
        minutes after it [min], returns what is left. Needed if the file has ``[earlier]``; it will
        usually call `read_plan` again for the dive before that one. There are no loops by then.

    Returns
    -------
    Plan
        The plan.

    Raises
    ------
    PlanFileError
        If this file or one of the earlier ones has faults.
    InputError
        If there is an earlier dive and no ``compute_carried``.
    """
    *before, last = read_chain(path)
    if not before or compute_carried is None:
        return last.plan.to_plan(rules)
    return last.plan.to_plan(rules, compute_carried(before[-1].path, last.interval_min))


def write_plan_file(plan: PlanFile, original_text: str | None = None) -> str:
    """Return the text of a plan file.

    Parameters
    ----------
    plan
        What is to be written.
    original_text
        A text to write it into: what has not changed stays as it is, to the letter, and so do all
        comments; None for a new text.

    Returns
    -------
    str
        TOML that reads back as the same plan file.

    Raises
    ------
    PlanFileError
        If ``original_text`` is not TOML.
    """
    from slatewright.toml.write import fresh, merged  # noqa: PLC0415 - for writers only

    data = plan.model_dump(mode="json", by_alias=True, exclude_unset=True, exclude_none=True)
    data = {"schema": data.pop("schema"), **data}
    for name, listed in (("gas", "use"), ("cylinder", "diver")):
        for table in data.get(name, ()):
            if len(table.get(listed, ())) == 1:
                table[listed] = table[listed][0]
    return fresh(data) if original_text is None else merged(original_text, data)
