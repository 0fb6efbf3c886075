"""Files that are written whole or not at all, and never over what is not ours to replace."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from slatewright.errors import InputError, PlanFileError

LARGEST_PLAN_BYTES: Final = 1_000_000
"""A plan of some hundred lines has a few thousand bytes; more is another kind of file."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file that we write.

    Parameters
    ----------
    option
        The option that asks for it.
    ending
        How its name ends.
    begins
        What such a file begins with: only a file of the same kind is replaced.
    """

    option: str
    ending: str
    begins: bytes


SLATE: Final = Kind("--slate", ".pdf", b"%PDF")
CHART: Final = Kind("--chart", ".svg", b"<svg")


def check_plan(path: Path) -> None:
    """Refuse what cannot be a plan file before it is read into memory.

    Parameters
    ----------
    path
        The file; that it exists and may be read is found out by reading it.

    Raises
    ------
    PlanFileError
        If it is far too large, or a device that never ends.
    """
    try:
        size, endless = path.stat().st_size, path.is_char_device() or path.is_block_device()
    except (OSError, ValueError):
        return
    if endless or (size > LARGEST_PLAN_BYTES and not path.is_dir()):
        what = "is a device" if endless else f"has {size:,} bytes, far more than a plan"
        raise PlanFileError(what, right="the path of a plan file in TOML", path=path)


def check_target(path: Path, kind: Kind) -> None:
    """Refuse early what could not be written later.

    Parameters
    ----------
    path
        Where the file is to go.
    kind
        What it will be.

    Raises
    ------
    InputError
        If the name, the folder, or what is there already stands against it.
    """
    where = f"{kind.option} {path}"
    if path.suffix.lower() != kind.ending:
        raise InputError(
            "the name does not say what will be written",
            where=where,
            right=f"a name that ends in {kind.ending}, such as {path.stem or 'dive'}{kind.ending}",
        )
    try:
        if path.is_dir():
            raise InputError("is a folder", where=where, right="the name of a file in it")
        if not path.parent.is_dir():
            raise InputError(
                f"there is no folder {path.parent}", where=where, right="a folder that exists"
            )
        if path.exists():
            with path.open("rb") as file:
                begins = file.read(len(kind.begins))
            if begins not in {kind.begins, b""}:
                raise InputError(
                    f"is there already, and is no {kind.ending[1:].upper()}",
                    where=where,
                    right="another name; nothing was overwritten",
                )
    except OSError as error:
        raise _unwritable(error, where) from None


def write_whole(path: Path, content: bytes, where: str) -> None:
    """Write a file beside its place and move it there in one step.

    Parameters
    ----------
    path
        Where it goes; what a link points to is replaced, not the link.
    content
        All of it.
    where
        What to call the place in a message.

    Raises
    ------
    InputError
        If it cannot be written; nothing is left behind then.
    """
    target = path.resolve()
    try:
        mode = target.stat().st_mode & 0o777 if target.exists() else _new_file_mode()
        handle, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}-")
    except OSError as error:
        raise _unwritable(error, where) from None
    draft = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.chmod(mode)
        draft.replace(target)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise _unwritable(error, where) from None
    except BaseException:
        draft.unlink(missing_ok=True)
        raise


def _new_file_mode() -> int:
    """Return what the person's umask leaves of read and write for all."""
    umask = os.umask(0o022)
    os.umask(umask)
    return 0o666 & ~umask


def _unwritable(error: OSError, where: str) -> InputError:
    reason = (error.strerror or "no reason given").lower()
    return InputError(
        f"cannot be written: {reason}", where=where, right="a place that you may write to"
    )
