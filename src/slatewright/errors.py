"""Every way in which Slatewright says no.

::

    SlatewrightError
    ├── InputError          bad input: what, where, what would be right    (exit code 2)
    │   └── PlanFileError   the same, with the line of the file
    └── NoSafeAnswer        a valid request that has no safe answer        (exit code 3)
        └── CheckFailed     the second check contradicts the schedule
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


class SlatewrightError(Exception):
    """The root of all errors that are meant for the person at the keyboard."""


class InputError(SlatewrightError):
    """Something that was put in cannot be used.

    Parameters
    ----------
    what
        What is wrong, as a sentence without a full stop.
    where
        Where it stands: the name of a field, an option, a gas; empty if the sentence says it.
    right
        What would be right.
    """

    def __init__(self, what: str, *, where: str = "", right: str = "") -> None:
        self.what = what
        self.where = where
        self.right = right
        super().__init__(self.message())

    def message(self) -> str:
        """Return the whole message on one or two lines."""
        head = f"{self.where}: {self.what}" if self.where else self.what
        return f"{head}\n  right would be: {self.right}" if self.right else head


class PlanFileError(InputError):
    """A file does not say what it should; the message bears the line.

    A person mends a file sooner when told of all its faults at once: the first fault of a file
    is raised and carries the others, and the message lists them all.

    Parameters
    ----------
    what, where, right
        As for `InputError`; ``where`` is the key, such as ``gas[1].mix``, positions counted from 1.
    path
        The file.
    line
        Its line, counted from 1; 0 if no line can be named.
    others
        The other faults of the same file, in the order of their lines.
    """

    def __init__(
        self,
        what: str,
        *,
        where: str = "",
        right: str = "",
        path: Path | None = None,
        line: int = 0,
        others: tuple[PlanFileError, ...] = (),
    ) -> None:
        self.path = path
        self.line = line
        self.others = others
        super().__init__(what, where=where, right=right)

    @property
    def faults(self) -> tuple[PlanFileError, ...]:
        """All faults of the file: this one and the others."""
        return (self, *self.others)

    def message(self) -> str:
        """Return the message of each fault, headed by file and line as compilers print them."""
        place = str(self.path) if self.path is not None else "plan"
        if self.line:
            place = f"{place}:{self.line}"
        own = f"{place}: {super().message()}"
        return "\n".join((own, *(other.message() for other in self.others)))


@dataclass(frozen=True, slots=True)
class Reason:
    """Why there is no safe answer, and what would make one.

    Parameters
    ----------
    what
        The reason, a sentence.
    cure
        What would make an answer possible, a sentence; empty if nothing is known.
    """

    what: str
    cure: str = ""


class NoSafeAnswer(SlatewrightError):  # noqa: N818 - it is an answer, the trade's word for a valid refusal
    """The request is valid, and there is no safe answer to it.

    Parameters
    ----------
    reasons
        At least one reason, the most important first.
    """

    def __init__(self, *reasons: Reason) -> None:
        self.reasons = reasons
        super().__init__(
            "\n".join(f"{r.what}\n  cure: {r.cure}" if r.cure else r.what for r in reasons)
        )


class CheckFailed(NoSafeAnswer):
    """The second check contradicts the solver: nothing may be printed for the water."""
