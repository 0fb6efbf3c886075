"""Compiled, interpreted and bounds-checked kernels give the same numbers to the last digit."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "kernel_answers.py"


def answers(*arguments, **environment):
    done = subprocess.run(
        [sys.executable, SCRIPT, *arguments],
        env=os.environ | environment,
        capture_output=True,
        check=False,
        timeout=180,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def compiled():
    return answers()


def test_the_interpreted_kernel_agrees_to_the_last_digit(compiled):
    interpreted = answers(NUMBA_DISABLE_JIT="1")
    assert compiled.pop("compiled") is True
    assert interpreted.pop("compiled") is False
    assert interpreted == compiled
    compiled["compiled"] = True


def test_no_array_is_read_beyond_its_bounds(compiled):
    checked = answers("--beyond", NUMBA_BOUNDSCHECK="1")
    assert checked.pop("beyond") == "refused", "the bounds are not being checked"
    assert checked == compiled


def test_the_answers_are_answers(compiled):
    """What the other tests compare has many legs, and one refusal."""
    assert "24 h" in compiled["no end"][1]
    for name, found in compiled.items():
        if name not in {"no end", "compiled"}:
            legs, ends, same_ends, same_legs, _ = found
            assert len(legs) >= 3, name
            assert len(ends) == 32
            assert same_ends, name
            assert same_legs, name


def told(code, **environment):
    done = subprocess.run(
        [sys.executable, "-c", code],
        env=os.environ | environment,
        capture_output=True,
        check=True,
        timeout=60,
        text=True,
    )
    return done.stdout.strip()


def test_compiled_code_is_kept_in_our_folder_even_if_the_compiler_was_imported_before_us():
    """Elsewhere it would not notice an edit, and go on with old code in silence."""
    code = (
        "import numba; from slatewright.decompression._kernel import compiler;"
        "from slatewright.decompression._kernel.solve import solve;"
        "print(solve._cache.cache_path.startswith(str(compiler.CACHE)))"
    )
    assert told(code) == "True"


def test_where_nothing_can_be_written_there_is_no_cache():
    code = "from slatewright.decompression._kernel import compiler; print(compiler.CACHE)"
    assert told(code, XDG_CACHE_HOME="/dev/null/nowhere") == "None"


def test_each_source_of_the_kernel_changes_the_folder():
    code = (
        "from slatewright.decompression._kernel import compiler;"
        "print(*sorted(path.name for path in compiler._SOURCES))"
    )
    sources = Path(kernel_folder()).glob("*.py")
    assert told(code).split() == sorted(path.name for path in sources)


def kernel_folder():
    return Path(__file__).parents[3] / "src" / "slatewright" / "decompression" / "_kernel"


def test_kept_code_is_loaded_without_what_only_compiling_needs():
    """A quarter of a second at each start; see `compiler._load_without_compiler`."""
    code = (
        f"import sys; sys.path.insert(0, {str(SCRIPT.parent)!r});"
        "from kernel_dives import warm; warm();"
        "from slatewright.decompression._kernel import compiler;"
        "print(compiler.WARM, 'numba.cpython.mathimpl' in sys.modules)"
    )
    told(code)  # kept from here on, whatever was before
    assert told(code) == "True False"
