"""From a TOML file to a checked model, or to one error that names every fault with its line."""

from __future__ import annotations

import difflib
import math
import re
import tomllib
from dataclasses import dataclass
from operator import itemgetter
from typing import TYPE_CHECKING, Any, Final

from pydantic import ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from slatewright.errors import PlanFileError
from slatewright.toml.keys import UNIT_NOUNS, choices, facts, named, range_text, table_of
from slatewright.toml.lines import KeyPath, TomlLines

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from pathlib import Path

    from pydantic import BaseModel
    from pydantic.fields import FieldInfo
    from pydantic_core import ErrorDetails

_CONTRADICTION: Final = "contradiction"
_AT_LINE: Final = re.compile(r"^(?P<what>.*?) \(at (?:line (?P<line>\d+), column \d+|end of .*)\)$")
_HINTS: Final = (
    ("Invalid value", 'a text in quotes, such as "12/65"; a number with a point, such as 4.5'),
    ("Expected newline or end of document", "one value a line; a decimal point and no comma: 4.5"),
    ("Expected '=' after a key", 'key = value, such as title = "The wall"'),
    ("Cannot overwrite a value", "each key once; each gas and each level in a table of its own"),
    ("Cannot declare", "each [table] once; [[gas]] and [[level]] in double brackets"),
    ("Invalid statement", "key = value, [table] or [[table]]"),
    ("Unclosed array", "a closing ]"),
)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault, before its line is known.

    Parameters
    ----------
    path
        The way to the key.
    what
        What is wrong.
    right
        What would be right.
    """

    path: KeyPath
    what: str
    right: str = ""


def read_toml(path: Path) -> tuple[str, dict[str, Any]]:
    """Read a TOML file.

    Parameters
    ----------
    path
        The file, UTF-8.

    Returns
    -------
    tuple
        The text, and what it says.

    Raises
    ------
    PlanFileError
        If there is no such file, or it is not TOML.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise PlanFileError(reason, right="the path of a TOML file", path=path) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise PlanFileError(
            "is not UTF-8", right="a text file saved as UTF-8", path=path, line=line
        ) from None
    return text, toml_of(text, path)


def toml_of(text: str, path: Path | None) -> dict[str, Any]:
    """Return what a TOML text says.

    Parameters
    ----------
    text
        The text.
    path
        The file, for the message; None if there is none.

    Raises
    ------
    PlanFileError
        If it is not TOML.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), text, path) from None
    except RecursionError:
        raise PlanFileError(
            "is nested too deeply", right="tables and lists as in the examples", path=path
        ) from None


def _syntax_error(message: str, text: str, path: Path | None) -> PlanFileError:
    match = _AT_LINE.match(message)
    what = match["what"] if match else message
    line = int(match["line"]) if match and match["line"] else max(len(text.splitlines()), 1)
    right = next((hint for start, hint in _HINTS if what.startswith(start)), "TOML")
    return PlanFileError(what[:1].lower() + what[1:], right=right, path=path, line=line)


def file_error(faults: Iterable[Fault], text: str, path: Path | None) -> PlanFileError:
    """Return one error for all faults of a file: the first, which carries the others.

    Parameters
    ----------
    faults
        At least one.
    text
        The text in which they stand.
    path
        The file, for the message.

    Returns
    -------
    PlanFileError
        To be raised.
    """
    lines = TomlLines(text)
    found = sorted(((lines.line(fault.path), fault) for fault in faults), key=itemgetter(0))

    def error(line: int, fault: Fault, *others: PlanFileError) -> PlanFileError:
        where = where_of(fault.path)
        return PlanFileError(
            fault.what, where=where, right=fault.right, path=path, line=line, others=others
        )

    return error(*found[0], *(error(*rest) for rest in found[1:]))


def where_of(path: KeyPath) -> str:
    """Return the way to a key as a message has it, positions counted from 1.

    Parameters
    ----------
    path
        The way.
    """
    parts = (f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)
    return "".join(parts).removeprefix(".")


def refusal(what: str, right: str = "") -> PydanticCustomError:
    """Return an error that a validator of one key raises.

    Parameters
    ----------
    what, right
        As for `Fault`.
    """
    return PydanticCustomError(_CONTRADICTION, "{what}", {"what": what, "right": right})


def refuse(title: str, faults: Iterable[Fault]) -> None:
    """Raise what a validator of a whole model found, if it found something.

    Parameters
    ----------
    title
        The name of the model.
    faults
        Any number.

    Raises
    ------
    ValidationError
        With all of them.
    """
    details = [
        InitErrorDetails(type=refusal(fault.what, fault.right), loc=fault.path, input=None)
        for fault in faults
    ]
    if details:
        raise ValidationError.from_exception_data(title, details)


def faults_in(
    error: ValidationError, model: type[BaseModel], raw: Mapping[str, Any]
) -> Iterator[Fault]:
    """Yield the faults that validation found, in the words of the file.

    Parameters
    ----------
    error
        What pydantic raised.
    model
        The model that was validated.
    raw
        What was put in.
    """
    details = error.errors(include_url=False)
    faults = [_fault(detail, model, raw) for detail in details]
    misspelt = {
        (*fault.path[:-1], fault.right)
        for fault, detail in zip(faults, details, strict=True)
        if detail["type"] == "extra_forbidden"
    }
    yield from (fault for fault in faults if fault.path not in misspelt)


def _fault(detail: ErrorDetails, model: type[BaseModel], raw: Mapping[str, Any]) -> Fault:
    path, kind, ctx = detail["loc"], detail["type"], detail.get("ctx", {})
    if kind == _CONTRADICTION:
        return Fault(path, ctx["what"], ctx["right"])
    table, field = _field(model, path)
    path = _as_written(path, raw)
    if kind == "extra_forbidden":
        return Fault(path, "is no key of this table", _nearest(str(path[-1]), table))
    right = _right(path, field)
    if kind == "missing":
        return Fault(path, "is missing", right)
    given = _shown(detail["input"])
    noun = UNIT_NOUNS.get(facts(field)["unit"], "") if field else ""
    if kind in {"greater_than", "greater_than_equal", "less_than_equal"}:
        return Fault(path, f"{given} {noun} is out of range".replace("  ", " "), right)
    return Fault(path, f"{given} {_COMPLAINTS.get(kind, 'does not fit')}", right)


_COMPLAINTS: Final = {
    "float_type": "is not a number",
    "int_type": "is not a whole number",
    "finite_number": "is not a finite number",
    "string_type": "is not a text in quotes",
    "string_too_short": "is empty",
    "string_too_long": "is too long",
    "string_pattern_mismatch": "has a character that cannot be printed",
    "bool_type": "is neither true nor false",
    "enum": "is none of the choices",
    "literal_error": "is none of the choices",
    "tuple_type": "is not a list",
    "too_short": "has too few entries",
    "too_long": "has too many entries",
    "model_type": "is not a table",
}


def _as_written(path: KeyPath, raw: object) -> KeyPath:
    """Cut a path where the file has a plain value: one word may stand for a list of one."""
    here = raw
    for depth, part in enumerate(path):
        if isinstance(part, int) and not isinstance(here, list):
            return path[:depth]
        if isinstance(here, dict):
            here = here.get(part)
        elif isinstance(here, list) and isinstance(part, int) and part < len(here):
            here = here[part]
        else:
            here = None
    return path


def _field(model: type[BaseModel], path: KeyPath) -> tuple[type[BaseModel], FieldInfo | None]:
    """Return the table that a path leads to, and the field if the table knows it."""
    table, field = model, None
    for part in path:
        if isinstance(part, int):
            continue
        inner = table_of(field.annotation) if field else None
        table = inner or table
        field = named(table).get(part)
    return table, field


def _nearest(word: str, table: type[BaseModel]) -> str:
    known = list(named(table))
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    return near[0] if near else "one of " + ", ".join(known)


def _right(path: KeyPath, field: FieldInfo | None) -> str:
    if field is None:
        return ""
    name = str(next(part for part in reversed(path) if isinstance(part, str)))
    example = facts(field)["example"]
    shown = example if table_of(field.annotation) else f"{name} = {example}"
    if words := choices(field.annotation):
        return f"one of {', '.join(words)}: {shown}"
    if bounds := range_text(field):
        noun = UNIT_NOUNS.get(facts(field)["unit"], "")
        return f"{bounds} {noun}: {shown}".replace(" :", ":")
    return shown


def _shown(value: object) -> str:
    if isinstance(value, str):
        return f"'{value}'"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, int | float):
        shown = repr(value) if isinstance(value, float) or abs(value) < 10**15 else "that"
        return shown.removesuffix(".0")
    return "a table" if isinstance(value, dict) else "a list" if isinstance(value, list) else "that"
