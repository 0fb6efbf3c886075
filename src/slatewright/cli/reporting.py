"""Every refusal as a message on standard error and an exit code."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from slatewright.errors import CheckFailed, InputError, NoSafeAnswer

BAD_INPUT: Final = 2
NO_SAFE_ANSWER: Final = 3


def printable(text: str) -> str:
    r"""Return a text without what could steer a terminal.

    Parameters
    ----------
    text
        Any text, such as one that quotes a file.

    Returns
    -------
    str
        Control characters other than line breaks are written out, as ``\x1b``.
    """
    return "".join(
        c if c.isprintable() or c == "\n" else c.encode("unicode_escape").decode("ascii")
        for c in text
    )


def say(text: str) -> None:
    """Write a line for the person, beside the result: on standard error.

    Parameters
    ----------
    text
        One or more lines.
    """
    print(printable(text), file=sys.stderr, flush=True)  # noqa: T201 - this is the command line


@contextmanager
def refusals(request: str, *, refused: str = "no safe answer") -> Iterator[None]:
    """Turn refusals into messages and exit codes: 2 for bad input, 3 for no safe answer.

    Parameters
    ----------
    request
        What was asked for, such as the name of the plan file; heads the reasons.
    refused
        What to call it if there is no answer.
    """
    try:
        yield
    except InputError as error:
        say(error.message())
        sys.exit(BAD_INPUT)
    except NoSafeAnswer as answer:
        say(_reasons(answer, request, refused))
        sys.exit(NO_SAFE_ANSWER)


def _reasons(answer: NoSafeAnswer, request: str, refused: str) -> str:
    if isinstance(answer, CheckFailed):
        head = f"{request}: the second check contradicts the schedule, so none is shown"
    else:
        head = f"{request}: {refused}"
    lines = [head]
    for reason in answer.reasons:
        lines.append(f"  because {reason.what}")
        if reason.cure:
            lines.append(f"    cure: {reason.cure}")
    return "\n".join(lines)
