"""What the machine says: where a person's house rules live, and how the kernel is to run."""

from __future__ import annotations

import gc
import os
import tomllib
from pathlib import Path
from typing import Final

import platformdirs

HOUSE_RULES_FILE: Final = "house-rules.toml"
_INTERPRET: Final = "NUMBA_DISABLE_JIT"
_LOOK_FOR_GARBAGE_AFTER: Final = 100_000
"""So many more objects have to be made than freed."""
_OURS: Final[list[bool]] = []
"""Holds something once this process is the command and nothing else."""


def own_house_rules() -> Path:
    """Return the path at which a person's own house rules are looked for, there or not."""
    return Path(platformdirs.user_config_dir("slatewright")) / HOUSE_RULES_FILE


def own_workspace() -> Path:
    """Return the folder of a person's own workspace, there or not."""
    return Path(platformdirs.user_data_dir("slatewright")) / "workspace"


def house_rules_path(asked: Path | None) -> Path | None:
    """Return the file of house rules that is in force.

    Parameters
    ----------
    asked
        What the person named on the command line; None if nothing.

    Returns
    -------
    Path or None
        None if the rules as shipped are in force.
    """
    if asked is not None:
        return asked
    own = own_house_rules()
    try:
        own.stat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError:
        return own  # there, but closed to us: reading it will say why, and no rule is guessed
    return own


def own_process() -> None:
    """Say that this process is the command and nothing else, so that its environment is ours.

    A command makes hundreds of thousands of objects when it starts, nearly all to be kept: to look
    for garbage after every seven hundred takes a twentieth of a second.
    """
    _OURS.append(True)
    gc.set_threshold(_LOOK_FOR_GARBAGE_AFTER)


def prefer_interpreter() -> None:
    """Let the kernel run interpreted in this process, unless the person has decided otherwise.

    The interpreter solves a dive in some ten milliseconds, to the same last digit; loading the
    compiled kernel takes half a second, compiling it ten and more. To be called before the kernel
    is imported, and not by a command that solves many ascents, such as those of the way home.
    Within another program nothing is changed.
    """
    if _OURS:
        os.environ.setdefault(_INTERPRET, "1")


def names_cylinders(plan: Path) -> bool:
    """Tell quickly whether a plan file names cylinders, before anything heavy is imported.

    Parameters
    ----------
    plan
        The file; its faults are found later.

    Returns
    -------
    bool
        True too for what can be read but once, such as a pipe.
    """
    try:
        if not plan.is_file():
            return plan.exists()
        return "cylinder" in tomllib.loads(plan.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return False
