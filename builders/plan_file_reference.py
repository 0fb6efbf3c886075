#!/usr/bin/env python3
"""Write the tables of docs/plan-file.md from the models that read plan files.

    .venv/bin/python builders/plan_file_reference.py

A test fails when the page and the models differ.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from slatewright.dive._plan_loop import ScrubberTable, SetpointTable
from slatewright.dive.planfile import PlanFile
from slatewright.toml.keys import choices, facts, named, range_text, table_of

if TYPE_CHECKING:
    from pydantic.fields import FieldInfo

PAGE = Path(__file__).parents[1] / "docs" / "plan-file.md"
INNER = {"loop.setpoint": SetpointTable, "loop.scrubber": ScrubberTable}
"""Tables that stand in the lists of a table."""
HEAD = "| key | unit | default | range | meaning |\n|---|---|---|---|---|\n"


def toml(value: object) -> str:
    """Return a default as TOML has it."""
    if value is None:
        return ""
    if isinstance(value, tuple):
        return ""
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    if isinstance(value, str):
        return f'`"{value}"`'
    return f"`{value:g}`"


def row(name: str, field: FieldInfo) -> str:
    """Return the line of one key."""
    known = facts(field)
    if field.is_required():
        default = "**needed**"
    else:
        default = toml(known["default"] if field.default is None else field.default)
    words = ("true", "false") if field.annotation is bool else choices(field.annotation)
    mark = "" if field.annotation is bool else '"'
    bounds = ", ".join(f"`{mark}{word}{mark}`" for word in words) if words else range_text(field)
    return f"| `{name}` | {known['unit']} | {default} | {bounds} | {field.description} |\n"


def tables() -> dict[str, str]:
    """Return the Markdown table of each table of the file, by its name; "" for the file's head."""
    fields = named(PlanFile)
    plain = {name: field for name, field in fields.items() if not table_of(field.annotation)}
    found = {"": HEAD + "".join(row(*item) for item in plain.items())}
    for name, field in fields.items():
        if inner := table_of(field.annotation):
            found[name] = HEAD + "".join(row(*item) for item in named(inner).items())
    for name, inner in INNER.items():
        found[name] = HEAD + "".join(row(*item) for item in named(inner).items())
    return found


def written(page: str) -> str:
    """Return the page with its tables as the models have them."""
    for name, table in tables().items():
        marks = rf"(<!-- keys:{name} -->\n)(?:.*?)(<!-- end -->)"
        page, count = re.subn(marks, lambda m, t=table: m[1] + t + m[2], page, flags=re.DOTALL)
        if count != 1:
            raise SystemExit(f"the page has {count} places for the keys of '{name}'")
    return page


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
