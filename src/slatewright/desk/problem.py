"""Every refusal as a problem: what is wrong, where, what would be right. Page and JSON alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from slatewright.errors import InputError, NoSafeAnswer, PlanFileError, SlatewrightError
from slatewright.store.faults import NoSuchRecord, StaleRecord, StoreBusy, StoreError

API: Final = "/api/"
"""What stands under this path speaks JSON."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong.

    Parameters
    ----------
    what
        What, a sentence without a full stop.
    where
        Where: a field, or the key of a plan, positions counted from 1; empty if it is said.
    line
        The line of the plan's text, counted from 1; 0 if there is none.
    right
        What would be right, or cure it; empty if nothing is known.
    """

    what: str
    where: str = ""
    line: int = 0
    right: str = ""


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a request is refused.

    Parameters
    ----------
    kind
        A stable word: ``bad-input``, ``not-found``, ``no-safe-answer``, ``stale``,
        ``store-unavailable``, ``refused``, ``login-needed``.
    status
        The HTTP status.
    faults
        At least one, the most important first.
    stale
        If another window has saved meanwhile: what is stored now.
    """

    kind: str
    status: int
    faults: tuple[Fault, ...]
    stale: StaleRecord | None = None

    def body(self) -> dict[str, Any]:
        """Return the problem as plain data."""
        told = problem_body(self.kind, self.faults[0].what, right=self.faults[0].right)
        told["faults"] = [
            {"what": f.what, "where": f.where, "line": f.line, "right": f.right}
            for f in self.faults
        ]
        if self.stale is not None:
            told["stored"] = {"version": self.stale.version, "text": self.stale.text}
        return told


def problem_body(kind: str, what: str, *, right: str = "") -> dict[str, Any]:
    """Return a problem with one fault as plain data.

    Parameters
    ----------
    kind
        As for `Problem`.
    what, right
        As for `Fault`.
    """
    return {
        "kind": kind,
        "faults": [{"what": what, "where": "", "line": 0, "right": right}],
        "stored": None,
    }


def problem_of(error: SlatewrightError) -> Problem:
    """Return the problem that an error is.

    Parameters
    ----------
    error
        What was raised.
    """
    if isinstance(error, NoSafeAnswer):
        reasons = tuple(Fault(reason.what, right=reason.cure) for reason in error.reasons)
        return Problem("no-safe-answer", 422, reasons)
    if isinstance(error, StoreError):
        return _of_store(error)
    if isinstance(error, PlanFileError):
        faults = tuple(Fault(f.what, f.where, f.line, f.right) for f in error.faults)
    elif isinstance(error, InputError):
        faults = (Fault(error.what, error.where, 0, error.right),)
    else:
        faults = (Fault(str(error)),)
    missing = isinstance(error, NoSuchRecord)
    return Problem("not-found" if missing else "bad-input", 404 if missing else 422, faults)


def _of_store(error: StoreError) -> Problem:
    fault = (Fault(error.what, error.where, 0, error.right),)
    if isinstance(error, StaleRecord):
        return Problem("stale", 409, fault, stale=error)
    return Problem("store-unavailable", 503 if isinstance(error, StoreBusy) else 500, fault)
