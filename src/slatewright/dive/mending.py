"""Writing a cure into a plan file."""

from __future__ import annotations

from typing import Any, Final

from pydantic import ValidationError

from slatewright.dive._plan_base import OTHER_UNITS
from slatewright.dive._team_contradictions import carriers
from slatewright.dive.hazard import Change, Mend, NewValue
from slatewright.dive.plan import Use
from slatewright.dive.planfile import PlanFile, write_plan_file
from slatewright.errors import InputError
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, feet_from_m, psi_from_bar, round_down
from slatewright.toml.faults import faults_in

_TO_IMPERIAL: Final = {"m": feet_from_m, "bar": psi_from_bar}
_DIGITS: Final = 4
_ONLY_FOR: Final = {Use.DECOMPRESSION: "switch_at_", Use.TRAVEL: "travel_to_"}
Entry = dict[str, Any]


def mended(plan: PlanFile, mend: Mend) -> PlanFile:
    """Return a plan file with a cure written in.

    Parameters
    ----------
    plan
        The plan file.
    mend
        The cure.

    Returns
    -------
    PlanFile
        The cured plan file.

    Raises
    ------
    InputError
        If the plan has no such gas, stay or cylinder, or would contradict itself then.
    """
    data = plan_data(plan)
    for change in mend.changes:
        _write(data, plan, change)
    try:
        return PlanFile.model_validate(data)
    except ValidationError as error:
        fault = next(faults_in(error, PlanFile, data))
        raise InputError(
            f"this plan cannot be cured by '{mend.words}': {fault.what}", right=fault.right
        ) from None


def mended_text(text: str, plan: PlanFile, mend: Mend) -> str:
    """Return the text of a plan file with a cure written in; what is not changed stays.

    Parameters
    ----------
    text
        The text.
    plan
        What it says.
    mend
        The cure.

    Raises
    ------
    InputError
        As for `mended`.
    """
    return write_plan_file(mended(plan, mend), text)


def plan_data(plan: PlanFile) -> Entry:
    """Return what a plan file says as plain data, to be changed and validated again.

    Parameters
    ----------
    plan
        The plan file.
    """
    return plan.model_dump(mode="json", by_alias=True, exclude_unset=True, exclude_none=True)


def _write(data: Entry, plan: PlanFile, change: Change) -> None:
    table, *rest = change.path
    if table == "gas":
        _write_gas(data, plan, [str(part) for part in rest], change.value)
    elif table == "level":
        position, key = rest
        _set(_at(data.get("level", []), int(position)), str(key), change.value, plan)
    elif table == "cylinder":
        _write_cylinder(data, plan, [str(part) for part in rest], change.value)
    else:
        _set(data.setdefault(str(table), {}), str(rest[0]), change.value, plan)


def _write_gas(data: Entry, plan: PlanFile, path: list[str], value: NewValue) -> None:
    mix = Mixture.parse(path[0])
    rows = [row for row in data["gas"] if Mixture.parse(row["mix"]) == mix]
    if not rows:
        raise InputError(f"the plan has no {mix}", right="a gas of the plan")
    match path[1:]:
        case []:
            _forget_gas(data, mix)
        case ["mix"]:
            _rename_gas(data, mix, str(value))
        case ["use", use]:
            _forget_use(data, mix, Use(use))
        case [key]:
            for row in rows:
                for_use = [use for use, start in _ONLY_FOR.items() if key.startswith(start)]
                if not for_use or str(for_use[0]) in _listed(row["use"]):
                    _set(row, key, value, plan)


def _forget_gas(data: Entry, mix: Mixture) -> None:
    data["gas"] = [row for row in data["gas"] if Mixture.parse(row["mix"]) != mix]
    if "cylinder" in data:
        held = [row for row in data["cylinder"] if Mixture.parse(row["gas"]) != mix]
        data["cylinder"] = held
    if _is_break_gas(data, mix):
        del data["breaks"]["gas"]


def _rename_gas(data: Entry, mix: Mixture, name: str) -> None:
    for rows, key in ((data["gas"], "mix"), (data.get("cylinder", ()), "gas")):
        for row in rows:
            if Mixture.parse(row[key]) == mix:
                row[key] = name
    if _is_break_gas(data, mix):
        data["breaks"]["gas"] = name
    if "loop" in data and Mixture.parse(data["loop"]["diluent"]) == mix:
        data["loop"]["diluent"] = name


def _forget_use(data: Entry, mix: Mixture, use: Use) -> None:
    for row in data["gas"]:
        if Mixture.parse(row["mix"]) == mix:
            row["use"] = [other for other in _listed(row["use"]) if other != str(use)]
            for key in [key for key in row if key.startswith(_ONLY_FOR.get(use, "\0"))]:
                del row[key]
    if all(Mixture.parse(row["mix"]) != mix or not row["use"] for row in data["gas"]):
        _forget_gas(data, mix)
    data["gas"] = [row for row in data["gas"] if row["use"]]


def _is_break_gas(data: Entry, mix: Mixture) -> bool:
    gas = data.get("breaks", {}).get("gas")
    return gas is not None and Mixture.parse(gas) == mix


def _write_cylinder(data: Entry, plan: PlanFile, path: list[str], value: NewValue) -> None:
    if not path and isinstance(value, dict):
        row: Entry = {}
        for key, part in value.items():
            _set(row, key, part, plan)  # type: ignore[arg-type]
        data.setdefault("cylinder", []).append(row)
        return
    diver, label, key = path
    found = False
    for row, table in zip(data.get("cylinder", ()), plan.cylinder, strict=True):
        if table.called == label and diver in carriers(plan, table):
            _set(row, key, value, plan)
            found = True
    if not found:
        raise InputError(f"{diver} has no cylinder '{label}'", right="a cylinder of the plan")


def _set(row: Entry, key: str, value: NewValue, plan: PlanFile) -> None:
    """Write a value under its key in the units of the file; None takes it out."""
    name, number = _in_units(key, value, plan.units)
    if number is None:
        row.pop(name, None)
        return
    row[name] = list(number) if isinstance(number, tuple) else number
    if name == "leave_at_min":
        row.pop("stay_min", None)


def _in_units(key: str, value: NewValue, units: UnitSystem) -> tuple[str, NewValue]:
    """Return key and value as a file of these units has them, a pressure rounded down to 1 psi."""
    unit = next((unit for unit in OTHER_UNITS if f"{{{unit}}}" in key), None)
    if unit is None:
        return key, value
    imperial = units is UnitSystem.IMPERIAL
    name = key.replace(f"{{{unit}}}", OTHER_UNITS[unit][0] if imperial else unit)
    if not imperial or not isinstance(value, int | float):
        return name, _plain(value) if isinstance(value, int | float) else value
    number = _TO_IMPERIAL[unit](float(value))
    return name, _plain(round_down(number) if unit == "bar" else number)


def _plain(number: float) -> int | float:
    """Return a number without the dust of conversions, whole where it is whole."""
    rounded = round(number, _DIGITS)
    return int(rounded) if rounded == int(rounded) else rounded


def _at(rows: list[Entry], position: int) -> Entry:
    if not 0 <= position < len(rows):
        raise InputError(f"the plan has no stay {position + 1}", right="a stay of the plan")
    return rows[position]


def _listed(value: object) -> list[str]:
    if isinstance(value, str):
        return [value]
    return [str(part) for part in value] if isinstance(value, list | tuple) else []
