"""Every refusal as a message on standard error and an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import Final

from slatewright.errors import CheckFailed, InputError, NoSafeAnswer, SlatewrightError

FAILED: Final = 1
"""Not the person's fault and no answer: a full disk, a closed pipe."""
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
        sys.stdout.flush()
    except InputError as error:
        say(error.message())
        sys.exit(BAD_INPUT)
    except RecursionError:
        say(f"{request}: nested too deeply\n  right would be: tables and lists as in the examples")
        sys.exit(BAD_INPUT)
    except NoSafeAnswer as answer:
        say(_reasons(answer, request, refused))
        sys.exit(NO_SAFE_ANSWER)
    except SlatewrightError as error:  # of the store: nobody's fault, and no answer
        say(str(error))
        sys.exit(FAILED)
    except BrokenPipeError:
        _close_output()  # the reader has seen enough: nothing to tell
        sys.exit(FAILED)
    except OSError as error:
        _close_output()
        say(f"{request}: stopped by the system: {(error.strerror or str(error)).lower()}")
        sys.exit(FAILED)


def _close_output() -> None:
    """Send what is left of the output nowhere, or the interpreter would complain once more."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


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
