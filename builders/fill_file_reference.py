#!/usr/bin/env python3
"""Write the tables of docs/fill-file.md from the models that read fill files and price lists.

    .venv/bin/python builders/fill_file_reference.py

A test fails when the page and the models differ.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parent))

from plan_file_reference import HEAD, row
from slatewright.fill.fillfile import FillFile
from slatewright.fill.pricefile import PriceFile
from slatewright.toml.keys import named, table_of

if TYPE_CHECKING:
    from pydantic import BaseModel

PAGE = Path(__file__).parents[1] / "docs" / "fill-file.md"


def tables_of(model: type[BaseModel], name: str) -> dict[str, str]:
    """Return the Markdown table of a model and of all tables in it, by name."""
    fields = named(model)
    plain = {key: field for key, field in fields.items() if not table_of(field.annotation)}
    found = {name: HEAD + "".join(row(*item) for item in plain.items())}
    for key, field in fields.items():
        if inner := table_of(field.annotation):
            found |= tables_of(inner, f"{name}.{key}" if name else key)
    return found


def tables() -> dict[str, str]:
    """Return all tables of the page."""
    return tables_of(FillFile, "") | tables_of(PriceFile, "prices")


def written(page: str) -> str:
    """Return the page with its tables as the models have them."""
    for name, table in tables().items():
        marks = rf"(<!-- keys:{re.escape(name)} -->\n)(?:.*?)(<!-- end -->)"
        page, count = re.subn(marks, lambda m, t=table: m[1] + t + m[2], page, flags=re.DOTALL)
        if count != 1:
            raise SystemExit(f"the page has {count} places for the keys of '{name}'")
    return page


if __name__ == "__main__":
    PAGE.write_text(written(PAGE.read_text("utf-8")), "utf-8")
