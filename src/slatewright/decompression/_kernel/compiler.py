"""The compiler, and the folder in which compiled code is kept.

The compiler's disk cache can go on with old code in silence after an edit. The folder is therefore
named by a hash of the kernel's sources; where nothing can be written, there is no cache, and every
start compiles anew. With NUMBA_DISABLE_JIT=1 the kernel runs interpreted, to the same last digit,
and the compiler is not even imported.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import platformdirs

INTERPRETED: Final = os.environ.get("NUMBA_DISABLE_JIT", "0") not in {"", "0"}
_SOURCES: Final = sorted(Path(__file__).parent.glob("*.py"))
_UNUSED: Final = ("scipy.linalg.cython_blas", "yaml")


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


def is_warm(cache_folder: Path | None) -> bool:
    """Return whether compiled code is there already.

    Parameters
    ----------
    cache_folder
        What `folder` returned.
    """
    return cache_folder is not None and any(cache_folder.rglob("*.nbi"))


CACHE: Final = None if INTERPRETED else folder()
WARM: Final = is_warm(CACHE)


@cache
def _numba() -> Any:  # noqa: ANN401 - a module without types of use to us
    """Import the compiler, and have it keep its code in our folder."""
    if CACHE is not None:
        os.environ["NUMBA_CACHE_DIR"] = str(CACHE)
    # where SciPy is installed, numba imports its linear algebra with the module named first, a
    # tenth of a second for what the kernel does not use, and YAML for settings that nobody wrote:
    # for that moment there are none
    hidden = [name for name in _UNUSED if name not in sys.modules]
    for name in hidden:
        sys.modules[name] = cast("Any", None)
    import numba  # noqa: PLC0415 - not where the kernel runs interpreted

    if not WARM:
        import numba.np.arraymath  # noqa: PLC0415 - only where something has to be compiled

    for name in hidden:
        del sys.modules[name]
    if CACHE is not None:
        # for the case that someone imported numba before us
        vars(numba.config)["CACHE_DIR"] = str(CACHE)
    return numba


_F = TypeVar("_F", bound=Callable[..., object])


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
    return _compile(function)


def inlined(function: _F) -> _F:
    """Compile a function, and copy it into its callers.

    For the short functions that every level of an ascent calls: to hand four arrays on costs more
    than what they do with them. For all others the copies would only cost compilation.

    Parameters
    ----------
    function
        As for `compiled`.
    """
    return _compile(function, forceinline=True)


def merged(function: _F) -> _F:
    """Compile a function as a part of its callers, and not by itself.

    For functions that are called in one place: whatever is compiled by itself is optimised once
    more in each function that leads to it, which made up most of the time of compilation.

    Parameters
    ----------
    function
        As for `compiled`.
    """
    return _compile(function, inline="always")


def plain(function: _F) -> _F:
    """Return what a function of the kernel was before it was compiled.

    For a formula that is also wanted outside, once or over arrays.

    Parameters
    ----------
    function
        A function of the kernel, compiled or not.
    """
    return cast("_F", getattr(function, "py_func", function))


def _compile(function: _F, **how: object) -> _F:
    if INTERPRETED:
        return function
    options = {
        "cache": CACHE is not None,
        "error_model": "numpy",
        "nogil": True,
        "_nrt": False,
        "no_cfunc_wrapper": True,
    }
    dispatcher = _numba().njit(**options, **how)(function)
    if CACHE is not None:
        _load_without_compiler(dispatcher)
    return cast("_F", dispatcher)


def _load_without_compiler(dispatcher: Any) -> None:  # noqa: ANN401 - as `_numba`
    """Have kept code loaded without what only compiling needs.

    Before it looks into its cache, numba imports all that it knows how to compile: a quarter of a
    second. The code in the cache is complete, and whatever has to be compiled after all makes up
    for it by itself. The names are numba's own affair; without them it does as it always did.
    """
    kept = dispatcher._cache  # noqa: SLF001 - there is no public way
    load = getattr(kept, "_load_overload", None)
    if load is not None:
        kept.load_overload = load
