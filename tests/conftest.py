"""Before any test: the kernel is compiled, so that no test measures a compilation."""

from __future__ import annotations

import sys

import pytest


@pytest.fixture(scope="session", autouse=True)
def _compiled_kernel():
    """Warm the kernel if a collected test has imported the solver."""
    if "slatewright.decompression.ascent" not in sys.modules:
        return
    from kernel_dives import warm  # noqa: PLC0415 - tests without the solver do without this

    warm()
