"""The sheet: what a plan file says, as fields that can be written into, each with its faults."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from slatewright.desk.bench.fields import GROUPS, Group, Spec
from slatewright.desk.problem import Fault
from slatewright.dive.planfile import PlanFile
from slatewright.physics.units import UnitSystem

Data = dict[str, Any]
UNITS: Final = {
    "m": ("m", "ft"),
    "l": ("l", "cuft"),
    "bar": ("bar", "psi"),
    "c": ("c", "f"),
    "kg": ("kg", "lb"),
}
_SIGNS: Final = {
    "pct": "%",
    "c": "\u00b0C",
    "f": "\u00b0F",
    "deg": "\u00b0",
    "cuft": "cu ft",
    "cuft/min": "cu ft/min",
}
_PART: Final = re.compile(r"([a-z0-9_]+)(?:\[(\d+)\])?")


@dataclass(frozen=True, slots=True)
class Field:
    """A field of the sheet.

    Parameters
    ----------
    name
        Its name in the form, such as ``gas.0.mix``.
    label
        What it is called.
    kind
        As for `slatewright.desk.bench.fields.Spec`.
    value
        What stands in it.
    unit
        Its unit; empty if it has none.
    standing_in
        What holds while it is empty; empty if nothing does.
    choices
        Value and words of each choice.
    wide
        Whether it needs a whole line.
    faults
        What is wrong with it.
    """

    name: str
    label: str
    kind: str
    value: str
    unit: str = ""
    standing_in: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    wide: bool = False
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True)
class Inner:
    """A table within a row, folded away.

    Parameters
    ----------
    title
        What it is called.
    fields
        Its fields.
    open
        Whether it stands open.
    summary
        What is written in it.
    """

    title: str
    fields: tuple[Field, ...]
    open: bool
    summary: str


@dataclass(frozen=True, slots=True)
class Row:
    """One of several entries of a table.

    Parameters
    ----------
    name
        Its name in the form, such as ``gas.0``.
    was
        Its position in the text that the form began from; empty for a new one.
    fields
        Its fields.
    faults
        What is wrong with the whole of it.
    inner
        The table within; None if there can be none.
    """

    name: str
    was: str
    fields: tuple[Field, ...]
    faults: tuple[Fault, ...] = ()
    inner: Inner | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the sheet.

    Parameters
    ----------
    group
        What it is.
    fields
        Its fields, if there is one entry.
    rows
        Its entries, if there may be several.
    faults
        What is wrong with the whole of it.
    open
        Whether it stands open.
    summary
        What is written in it, for one that is folded away.
    """

    group: Group
    fields: tuple[Field, ...]
    rows: tuple[Row, ...]
    faults: tuple[Fault, ...]
    open: bool
    summary: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet.

    Parameters
    ----------
    units
        The units in which it is written.
    parts
        Its parts in their order.
    loop
        Whether the dive is made on a closed circuit, for which the sheet has no fields.
    """

    units: UnitSystem
    parts: tuple[Part, ...]
    loop: bool = False


def sheet_of(data: Data, faults: Iterable[Fault] = ()) -> Sheet:
    """Return the sheet of a plan file.

    Parameters
    ----------
    data
        What the file says, or what was typed; it may have faults.
    faults
        What is wrong with it.
    """
    units = UnitSystem.IMPERIAL if data.get("units") == "imperial" else UnitSystem.METRIC
    wrong: dict[str, list[Fault]] = {}
    for fault in faults:
        wrong.setdefault(field_name(fault.where), []).append(fault)
    parts = tuple(_part(group, data, units, wrong) for group in GROUPS)
    return Sheet(units, parts, loop="loop" in data)


def key_in(spec: Spec, units: UnitSystem) -> str:
    """Return the key of a field in a file of some units.

    Parameters
    ----------
    spec
        The field.
    units
        The units of the file.
    """
    key = spec.key
    for unit, names in UNITS.items():
        key = key.replace(f"{{{unit}}}", names[units is UnitSystem.IMPERIAL])
    return key


def field_name(where: str) -> str:
    """Return the name of the field for the place that a fault names.

    Parameters
    ----------
    where
        Such as ``gas[2].mix``, positions counted from 1.

    Returns
    -------
    str
        Such as ``gas.1.mix``.
    """
    parts = []
    for name, position in _PART.findall(where):
        parts.append(name)
        if position and len(parts) == 1:  # of a list within a key the whole key is marked
            parts.append(str(int(position) - 1))
    return ".".join(parts)


def model_of(table: str) -> type[BaseModel]:
    """Return the model of a table of the plan file.

    Parameters
    ----------
    table
        Its name; empty for the file.
    """
    return _MODELS[table]


def _models() -> Iterator[tuple[str, type[BaseModel]]]:
    yield "", PlanFile
    for name, field in PlanFile.model_fields.items():
        model = _model_in(field.annotation)
        if model is not None:
            yield name, model


def _model_in(annotation: Any) -> type[BaseModel] | None:  # noqa: ANN401 - whatever stands there
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_model_in(part) for part in getattr(annotation, "__args__", ()))
    return next((model for model in inner if model is not None), None)


_MODELS: Final = dict(_models())


def _part(group: Group, data: Data, units: UnitSystem, wrong: Mapping[str, list[Fault]]) -> Part:
    whole = tuple(wrong.get(group.table, ())) if group.table else ()
    if group.many:
        entries = data.get(group.table, [])
        entries = entries if isinstance(entries, list) else []
        rows = tuple(
            Row(
                name=f"{group.table}.{number}",
                was=str(entry.get("\0was", number)),
                fields=_fields(group, f"{group.table}.{number}.", entry, units, wrong),
                faults=tuple(wrong.get(f"{group.table}.{number}", ())),
                inner=_inner(group, f"{group.table}.{number}.", entry, units, wrong),
            )
            for number, entry in enumerate(entries)
            if isinstance(entry, dict)
        )
        return Part(group, (), rows, whole, open=True)
    entry = data if not group.table else data.get(group.table)
    there = isinstance(entry, dict)
    prefix = f"{group.table}." if group.table else ""
    fields = _fields(group, prefix, entry if isinstance(entry, dict) else {}, units, wrong)
    if group.table == "breaks" and there:
        fields = tuple(_filled(field) for field in fields)
    troubled = bool(whole) or any(field.faults for field in fields)
    return Part(group, fields, (), whole, not group.folded or troubled, _summary(fields))


def _fields(
    group: Group,
    prefix: str,
    entry: Data,
    units: UnitSystem,
    wrong: Mapping[str, list[Fault]],
) -> tuple[Field, ...]:
    model = model_of(group.table)
    return tuple(_field(spec, prefix, entry, model, units, wrong) for spec in group.specs)


def _inner(
    group: Group, prefix: str, entry: Data, units: UnitSystem, wrong: Mapping[str, list[Fault]]
) -> Inner | None:
    if not group.inner:
        return None
    model = model_of(group.table)
    fields = tuple(_field(spec, prefix, entry, model, units, wrong) for spec in group.inner)
    troubled = any(field.faults for field in fields)
    return Inner(group.within, fields, troubled, _summary(fields))


def _found_in(
    entry: Data, model: type[BaseModel], path: list[str]
) -> tuple[object, type[BaseModel]]:
    """Return what stands under a key, and the model of the table that has it."""
    *tables, name = path
    for table in tables:
        below = entry.get(table)
        entry = below if isinstance(below, dict) else {}
        model = _model_in(model.model_fields[table].annotation) or model
    return entry.get(name), model


def _field(
    spec: Spec,
    prefix: str,
    entry: Data,
    model: type[BaseModel],
    units: UnitSystem,
    wrong: Mapping[str, list[Fault]],
) -> Field:
    key = key_in(spec, units)
    path = key.split(".")
    value, model = _found_in(entry, model, path)
    info = model.model_fields[path[-1]]
    extra = info.json_schema_extra if isinstance(info.json_schema_extra, dict) else {}
    unit = str(extra.get("unit", ""))
    name = f"{prefix}{key}"
    return Field(
        name=name,
        label=spec.label,
        kind=spec.kind,
        value=_written(value, spec),
        unit=_SIGNS.get(unit, unit),
        standing_in=_standing_in(info, extra.get("default")) if spec.kind == "number" else "",
        choices=spec.choices,
        wide=spec.wide,
        faults=tuple(wrong.get(name, ())),
    )


def _written(value: object, spec: Spec) -> str:
    """Return a value as it stands in its field."""
    if value is None:
        return spec.choices[0][0] if spec.kind == "choice" else ""
    if isinstance(value, bool):
        return "true" if value else ""
    if isinstance(value, float) and value == int(value):
        return str(int(value))
    if isinstance(value, list | tuple):
        return (" " if spec.kind == "uses" else ", ").join(str(part) for part in value)
    return str(value)


def _standing_in(info: FieldInfo, default: object) -> str:
    found = default if default is not None else info.default
    return f"{found:g}" if isinstance(found, int | float) else ""


def _filled(field: Field) -> Field:
    """Write what stands in into a field of a table that is there."""
    if field.value or not field.standing_in:
        return field
    return Field(
        field.name, field.label, field.kind, field.standing_in, field.unit, field.standing_in,
        field.choices, field.wide, field.faults,
    )  # fmt: skip


def _summary(fields: Iterable[Field]) -> str:
    said = [
        f"{field.label} {field.value}{' ' if field.unit else ''}{field.unit}"
        for field in fields
        if field.value and (field.kind != "choice" or field.value != field.choices[0][0])
    ]
    return ", ".join(said)
