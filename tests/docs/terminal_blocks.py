"""Terminal examples in the documents: read out, run, and held against what the command prints.

A fenced block whose first line begins with ``$ slatewright`` is such an example. Each line that
begins with ``$ `` is a command, what follows it up to the next one is what it must print; a line
``...`` stands for any lines left out. Trailing spaces do not count, nor do empty lines at the end.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
FENCE = re.compile(
    r"^(?P<fence>```+|~~~+)[^\n]*\n(?P<body>.*?)^(?P=fence)\s*$", re.MULTILINE | re.DOTALL
)
PROMPT = "$ "
LEFT_OUT = "..."


@dataclass(frozen=True)
class Example:
    command: str
    shown: tuple[str, ...]
    line: int

    def differs(self, printed: str) -> str:
        """Return what does not agree; empty if all does."""
        lines = _trimmed(printed.splitlines())
        parts: list[list[str]] = [[]]
        for line in self.shown:
            if line == LEFT_OUT:
                parts.append([])
            else:
                parts[-1].append(line)
        at = 0
        for number, part in enumerate(parts):
            first, last = number == 0, number == len(parts) - 1
            places = range(at, len(lines) - len(part) + 1)
            if first:
                places = range(min(1, len(places)))
            if last and not first:
                places = range(len(lines) - len(part), len(lines) - len(part) + 1)
            found = next((i for i in places if i >= at and lines[i : i + len(part)] == part), None)
            if found is None:
                return f"not printed from line {at + 1} on:\n" + "\n".join(part)
            at = found + len(part)
        return "" if at == len(lines) else "printed, but not shown:\n" + "\n".join(lines[at:])


def examples(text: str) -> list[Example]:
    """Return the examples of a document, in order."""
    found = []
    for block in FENCE.finditer(text):
        body = block["body"]
        if not body.startswith(f"{PROMPT}slatewright"):
            continue
        line = text.count("\n", 0, block.start("body")) + 1
        for part in re.split(r"^(?=\$ )", body, flags=re.MULTILINE)[1:]:
            command, _, shown = part.partition("\n")
            found.append(
                Example(command.removeprefix(PROMPT), tuple(_trimmed(shown.splitlines())), line)
            )
            line += part.count("\n")
    return found


def run(command: str, folder: Path) -> str:
    """Run one command in a folder that has our examples, and return what a person sees."""
    program, *words = shlex.split(command)
    assert program == "slatewright", f"only our own command is run, not {program}"
    if not (folder / "examples").exists():
        (folder / "examples").symlink_to(ROOT / "examples")
    hidden = {"NO_COLOR", "FORCE_COLOR"}
    env = {key: value for key, value in os.environ.items() if key not in hidden}
    done = subprocess.run(
        [sys.executable, "-m", "slatewright", *words],
        check=False,
        cwd=folder,
        env=env | {"COLUMNS": "80", "XDG_CONFIG_HOME": str(folder / "config")},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=120,
    )
    return done.stdout


def _trimmed(lines: list[str]) -> list[str]:
    lines = [line.rstrip() for line in lines]
    while lines and not lines[-1]:
        lines.pop()
    return lines
