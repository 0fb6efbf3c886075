"""Options that several commands have in common."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

House = Annotated[
    Path | None,
    typer.Option("--house", metavar="FILE", help="House rules; default: your own, or as shipped."),
]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]
