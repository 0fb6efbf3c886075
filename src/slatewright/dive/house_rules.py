"""House rules: where the trade disagrees, one place holds the instructor's choice."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal, Self

from pydantic import BaseModel, ConfigDict, ValidationError, model_validator

from slatewright.toml.faults import (
    Fault,
    faults_in,
    file_error,
    read_toml,
    refuse,
    toml_of,
)
from slatewright.toml.keys import key

if TYPE_CHECKING:
    from pathlib import Path

SCHEMA: Final = "slatewright/house-rules/1"
"""The first line of a file of house rules says which kind of file it is."""


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

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    oxygen_narcotic: Annotated[bool, key("", "true")] = True
    density_temperature_c: Annotated[float, key("", "0.0", unit="c", ge=0.0, le=40.0)] = 0.0
    density_recommended_g_per_l: Annotated[float, key("", "5.2", unit="g/L", gt=0.0, le=6.2)] = 5.2
    density_max_g_per_l: Annotated[float, key("", "6.2", unit="g/L", gt=0.0, le=6.2)] = 6.2
    oxygen_table: Annotated[Literal["interpolate", "step"], key("", '"interpolate"')] = (
        "interpolate"
    )
    cns_half_time_min: Annotated[float, key("", "90", unit="min", ge=30.0, le=360.0)] = 90.0
    breaks: Annotated[Literal["counted", "not counted"], key("", '"counted"')] = "counted"
    floor_bar: Annotated[float, key("", "0.18", unit="bar", ge=0.16, le=0.21)] = 0.18
    ppo2_bottom_max_bar: Annotated[float, key("", "1.4", unit="bar", ge=0.5, le=1.6)] = 1.4
    ppo2_stop_max_bar: Annotated[float, key("", "1.6", unit="bar", ge=0.5, le=1.6)] = 1.6
    ppo2_tolerance_bar: Annotated[float, key("", "0.03", unit="bar", ge=0.0, le=0.05)] = 0.03
    whole_minutes: Annotated[Literal["run time", "arrival"], key("", '"run time"')] = "run time"

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        if self.density_recommended_g_per_l > self.density_max_g_per_l:
            own = "density_recommended_g_per_l"
            fault = Fault(
                (own if own in self.model_fields_set else "density_max_g_per_l",),
                f"{self.density_recommended_g_per_l:g} g/L is above the most that is breathed, "
                f"{self.density_max_g_per_l:g} g/L",
                "density_recommended_g_per_l not above density_max_g_per_l",
            )
            refuse("HouseRules", [fault])
        return self


def read_house_rules(path: Path | None) -> HouseRules:
    """Read a person's house rules.

    Parameters
    ----------
    path
        A TOML file that says what is to differ from the rules as shipped; None for those.

    Returns
    -------
    HouseRules
        The rules.

    Raises
    ------
    PlanFileError
        If the file cannot be read, or with every fault and its line.
    """
    if path is None:
        return HouseRules()
    return _house_rules(*read_toml(path), path)


def house_rules_of(text: str) -> HouseRules:
    """Return the house rules that a text says.

    Parameters
    ----------
    text
        The text of a file of house rules.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    return _house_rules(text, toml_of(text, None), None)


def _house_rules(text: str, raw: dict[str, Any], path: Path | None) -> HouseRules:
    schema = raw.pop("schema", None)
    faults: list[Fault] = []
    if schema != SCHEMA:
        what = "is missing" if schema is None else f"'{schema}' is no file of house rules"
        faults.append(Fault(("schema",), what, f'schema = "{SCHEMA}"'))
    try:
        rules = HouseRules.model_validate(raw)
    except ValidationError as error:
        faults.extend(faults_in(error, HouseRules, raw))
    if faults:
        raise file_error(faults, text, path)
    return rules


def house_rule_text(name: str) -> str:
    """Return what a house rule asks, who chooses what, and what it changes.

    Parameters
    ----------
    name
        The rule, such as ``floor_bar``.

    Returns
    -------
    str
        Lines: the question first, then each choice, then ``Changes: ...``.

    Raises
    ------
    KeyError
        If there is no such rule.
    """
    return _texts()[name]


def decided_by(rules: HouseRules, name: str) -> str:
    """Return the words that stand beside a result which a house rule decided.

    Parameters
    ----------
    rules
        The rules in force.
    name
        The rule.

    Returns
    -------
    str
        Such as ``decided by house rule floor_bar = 0.18``.

    Raises
    ------
    KeyError
        If there is no such rule.
    """
    value = rules.model_dump()[name]
    shown = str(value).lower() if isinstance(value, bool) else value
    return f"decided by house rule {name} = {shown}"


@cache
def _texts() -> dict[str, str]:
    """Return the comments above the rules as shipped, by rule."""
    text = files("slatewright.data").joinpath("house-rules.toml").read_text("utf-8")
    known, texts, comment = tomllib.loads(text), {}, list[str]()
    for line in text.splitlines():
        if line.startswith("#"):
            comment.append(line.removeprefix("#").strip())
            continue
        name = line.partition("=")[0].strip()
        if name in known and name != "schema":
            texts[name] = _unwrapped(comment)
        comment = []
    return texts


def _unwrapped(lines: list[str]) -> str:
    """Join lines that were broken for width: a new one begins after a full stop or a question."""
    joined: list[str] = []
    for line in lines:
        if joined and not joined[-1].endswith((".", "?", "]")):
            joined[-1] += f" {line}"
        else:
            joined.append(line)
    return "\n".join(joined)
