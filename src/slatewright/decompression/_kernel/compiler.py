"""The compiler, and the folder in which compiled code is kept.

The compiler's disk cache can go on with old code in silence after an edit. The folder is therefore
named by a hash of the kernel's sources; where nothing can be written, there is no cache, and every
start compiles anew.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import platformdirs

_SOURCES: Final = sorted(Path(__file__).parent.glob("*.py"))


def _sources_hash() -> str:
    checks_bounds = os.environ.get("NUMBA_BOUNDSCHECK", "")
    digest = hashlib.sha256(f"{sys.version} {__file__} {checks_bounds}".encode())
    for path in _SOURCES:
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def folder() -> Path | None:
    """Return the cache folder, made if it is missing; None if nothing can be written there."""
    base = Path(platformdirs.user_cache_dir("slatewright")) / "kernel" / _sources_hash()
    try:
        base.mkdir(parents=True, exist_ok=True)
        probe = base / f".probe-{os.getpid()}"
        probe.touch()
        probe.unlink()
    except OSError:
        return None
    return base


def is_warm(cache: Path | None) -> bool:
    """Return whether compiled code is there already.

    Parameters
    ----------
    cache
        What `folder` returned.
    """
    return cache is not None and any(cache.rglob("*.nbi"))


CACHE: Final = folder()
WARM: Final = is_warm(CACHE)
if CACHE is not None:
    os.environ["NUMBA_CACHE_DIR"] = str(CACHE)

from numba import config, njit  # noqa: E402 - the folder is named before numba looks for it

if CACHE is not None:
    vars(config)["CACHE_DIR"] = str(CACHE)  # for the case that someone imported numba before us

_F = TypeVar("_F", bound=Callable[..., object])
_OPTIONS: Final[dict[str, Any]] = {
    "cache": CACHE is not None,
    "error_model": "numpy",
    "nogil": True,
    "_nrt": False,
}


def compiled(function: _F) -> _F:
    """Compile a function of the kernel, at its first call.

    No fast mathematics, so that compiled and interpreted runs agree to the last digits. Without
    numba's counting of references to arrays (`_nrt`): the kernel makes no arrays, and the counting
    took as much time as the decompression.

    Parameters
    ----------
    function
        A plain function of numbers and flat arrays.
    """
    return cast("_F", njit(**_OPTIONS)(function))


def inlined(function: _F) -> _F:
    """Compile a function, and copy it into its callers.

    For the short functions that every level of an ascent calls: to hand four arrays on costs more
    than what they do with them. For all others the copies would only cost compilation.

    Parameters
    ----------
    function
        As for `compiled`.
    """
    return cast("_F", njit(forceinline=True, **_OPTIONS)(function))
