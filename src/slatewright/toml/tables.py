"""What a table of a person's TOML file is made of."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import BaseModel, BeforeValidator, ConfigDict, StringConstraints

PRINTABLE: Final = r"^[^\x00-\x1f\x7f]*$"
"""Texts of one line that can be printed."""


class Table(BaseModel):
    """A table of the file: no unknown keys, no guessing of types."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, populate_by_name=True
    )


def listed(value: object) -> object:
    """Take one word for a list of one.

    Parameters
    ----------
    value
        A text, or a list.

    Returns
    -------
    object
        A tuple; what is neither as it was, for validation to refuse.
    """
    if isinstance(value, str):
        return (value,)
    return tuple(value) if isinstance(value, list) else value


Line = Annotated[str, StringConstraints(min_length=1, max_length=120, pattern=PRINTABLE)]
"""A text of one line."""
Lines = Annotated[tuple[Line, ...], BeforeValidator(listed)]
"""One text, or a list of them."""
