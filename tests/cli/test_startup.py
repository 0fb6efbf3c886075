"""Help is quick, and nothing heavy is imported before it is needed."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

HEAVY = ("numba", "llvmlite", "numpy", "scipy", "altair", "vl_convert", "typst", "pydantic",
         "gsw", "teqp", "fastapi", "rich", "tomlkit", "tree_sitter")  # fmt: skip


def imported_after(code):
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(*sorted(sys.modules))"],
        capture_output=True,
        check=True,
        env=dict(os.environ),
        text=True,
    )
    return {name.partition(".")[0] for name in done.stdout.splitlines()[-1].split()}


@pytest.mark.parametrize(
    ("words", "allowed"),
    [(["--help"], ()), (["--version"], ()), (["dive", "--help"], ("pydantic",))],  # typer's own
)
def test_help_imports_nothing_heavy(words, allowed):
    code = (
        "import sys\n"
        f"sys.argv = ['slatewright', *{words!r}]\n"
        "from slatewright.cli.app import main\n"
        "try: main()\n"
        "except SystemExit as end: assert not end.code\n"
    )
    assert not imported_after(code) & (set(HEAVY) - set(allowed))


def test_a_dive_imports_no_chart_no_printer_no_real_gas():
    plan = os.path.join(os.path.dirname(__file__), "../../examples/imperial/quarry-200ft.toml")  # noqa: PTH118,PTH120 - a short path for another process
    code = (
        "import sys\n"
        f"sys.argv = ['slatewright', 'dive', {plan!r}]\n"
        "from slatewright.cli.app import main\n"
        "try: main()\n"
        "except SystemExit as end: assert not end.code\n"
    )
    unwanted = {"altair", "vl_convert", "typst", "gsw", "teqp", "fastapi", "tomlkit", "tree_sitter"}
    assert not imported_after(code) & unwanted


@pytest.mark.parametrize("words", [[], ["dive"], ["explain"], ["house"]])
def test_every_command_has_help(run, words):
    done = run(*words, "--help")
    assert done.exit_code == 0
    assert done.stdout.startswith("Usage: ")
    assert done.stderr == ""


def test_the_version_is_that_of_the_package(start):
    from slatewright import __version__  # noqa: PLC0415 - kept beside its one use

    assert start("--version").stdout == f"slatewright {__version__}\n"


def test_the_person_may_choose_the_compiled_kernel(monkeypatch):
    from slatewright.cli import environment  # noqa: PLC0415 - kept beside its one use

    monkeypatch.setenv("NUMBA_DISABLE_JIT", "0")
    environment.prefer_interpreter()
    assert os.environ["NUMBA_DISABLE_JIT"] == "0"
    monkeypatch.delenv("NUMBA_DISABLE_JIT")
    environment.prefer_interpreter()
    assert os.environ["NUMBA_DISABLE_JIT"] == "1"
    monkeypatch.delenv("NUMBA_DISABLE_JIT")
