"""What a key of a TOML file means, as data: for the reference, for the messages, for validation."""

from __future__ import annotations

from enum import Enum
from types import NoneType, UnionType
from typing import TYPE_CHECKING, Any, Final, Literal, Union, get_args, get_origin

from pydantic import BaseModel, Field

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

UNIT_NOUNS: Final = {
    "m": "metres",
    "ft": "feet",
    "min": "minutes",
    "pct": "percent",
    "bar": "bar",
    "deg": "degrees",
    "c": "degrees Celsius",
    "m/min": "metres a minute",
    "ft/min": "feet a minute",
    "g/L": "grams a litre",
    "L": "litres",
    "cuft": "cubic feet",
    "L/min": "litres a minute",
    "cuft/min": "cubic feet a minute",
    "psi": "psi",
    "kg": "kilograms",
    "lb": "pounds",
    "f": "degrees Fahrenheit",
}
"""How a message spells a unit."""


def key(  # noqa: PLR0913 - what a reference says of a key has this many parts
    text: str,
    example: str,
    *,
    unit: str = "",
    default: object = None,
    strict: bool | None = None,
    alias: str | None = None,
    ge: float | None = None,
    gt: float | None = None,
    le: float | None = None,
) -> Any:  # noqa: ANN401 - stands in an annotation, as pydantic's own Field does
    """Return what the reference and the messages say of a key.

    Parameters
    ----------
    text
        What it means, for the reference.
    example
        A right value, as TOML.
    unit
        Its unit; empty for none.
    default
        What stands in where the key is left out, if the field itself cannot say so.
    strict
        False for a choice out of a list, which TOML has as text, and for a list.
    alias
        Its name in the file, where that is no name for an attribute.
    ge, gt, le
        The range [in ``unit``].
    """
    extra: dict[str, Any] = {"example": example, "unit": unit, "default": default}
    return Field(
        description=text, strict=strict, alias=alias, ge=ge, gt=gt, le=le, json_schema_extra=extra
    )


def facts(field: FieldInfo) -> dict[str, Any]:
    """Return example, unit and default of a key made with `key`.

    Parameters
    ----------
    field
        The field.
    """
    extra = field.json_schema_extra
    return dict(extra) if isinstance(extra, dict) else {"example": "", "unit": "", "default": None}


def range_text(field: FieldInfo) -> str:
    """Return the range of a key in words; empty if it has none.

    Parameters
    ----------
    field
        The field.
    """
    bounds = {
        name: getattr(bound, name)
        for bound in field.metadata
        for name in ("ge", "gt", "le")
        if getattr(bound, name, None) is not None
    }
    low = f"{bounds['ge']:g}" if "ge" in bounds else ""
    above = f"above {bounds['gt']:g}" if "gt" in bounds else ""
    high = f"{bounds['le']:g}" if "le" in bounds else ""
    if low and high:
        return f"{low} to {high}"
    if above and high:
        return f"{above}, up to {high}"
    return f"{low} or more" if low else above


def choices(annotation: object) -> tuple[str, ...]:
    """Return the texts among which a key chooses; empty if it is free.

    Parameters
    ----------
    annotation
        The field's type.
    """
    if isinstance(annotation, type) and issubclass(annotation, Enum):
        return tuple(str(member.value) for member in annotation)
    if get_origin(annotation) is Literal:
        return tuple(str(choice) for choice in get_args(annotation))
    return tuple(choice for inner in get_args(annotation) for choice in choices(inner))


def table_of(annotation: object) -> type[BaseModel] | None:
    """Return the model of the table that a field holds, also in an array; None if it holds none.

    Parameters
    ----------
    annotation
        The field's type.
    """
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if get_origin(annotation) in {tuple, Union, UnionType}:
        tables = (table_of(inner) for inner in get_args(annotation) if inner is not NoneType)
        return next((table for table in tables if table is not None), None)
    return None


def named(table: type[BaseModel]) -> dict[str, FieldInfo]:
    """Return the fields of a table by the names that the file has for them.

    Parameters
    ----------
    table
        The model.
    """
    return {field.alias or name: field for name, field in table.model_fields.items()}
