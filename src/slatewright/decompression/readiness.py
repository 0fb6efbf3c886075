"""Whether the next dive must wait for the compiler."""

from __future__ import annotations

from slatewright.decompression._kernel import compiler
from slatewright.decompression._kernel.solve import solve


def must_compile() -> bool:
    """Return True if the first dive of this process will compile the kernel.

    It will not where compiled code is kept from an earlier run, or where the kernel runs
    interpreted.
    """
    is_compiled = hasattr(solve, "py_func")
    return is_compiled and not compiler.WARM
