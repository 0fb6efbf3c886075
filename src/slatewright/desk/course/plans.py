"""The plans that a course of the workspace names: by number, or one of the examples."""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib.resources import files
from pathlib import PurePosixPath
from typing import Final

from slatewright.errors import InputError
from slatewright.store.plans import get_plan
from slatewright.store.session import Session

_NUMBER: Final = re.compile(r"#([0-9]{1,9})")


def plans_of(session: Session) -> Callable[[str], str]:
    """Return what finds the text of a plan by what a course calls it.

    Parameters
    ----------
    session
        A session.

    Returns
    -------
    callable
        ``"#12"`` is plan 12 of the workspace; anything else is an example that comes with the
        program, and leads to no path of this machine.
    """

    def resolve(name: str) -> str:
        match = _NUMBER.fullmatch(name.strip())
        if match:
            return get_plan(session, int(match[1])).text
        parts = [part for part in PurePosixPath(name).parts if part not in {"..", "/", "."}]
        here = files("slatewright.data").joinpath("examples").joinpath(*parts[-2:])
        if not here.is_file():
            raise InputError(
                f"there is no plan '{name}'",
                right='"#12" for plan 12 of this workspace, or one of the examples',
            )
        return here.read_text("utf-8")

    return resolve
