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


def test_a_dive_without_cylinders_imports_no_chart_no_printer_no_real_gas(plan_file):
    code = (
        "import sys\n"
        f"sys.argv = ['slatewright', 'dive', {str(plan_file())!r}]\n"
        "from slatewright.cli.app import main\n"
        "try: main()\n"
        "except SystemExit as end: assert not end.code\n"
    )
    unwanted = {"altair", "vl_convert", "typst", "gsw", "teqp", "fastapi", "tomlkit", "tree_sitter"}
    assert not imported_after(code) & unwanted


@pytest.mark.parametrize("words", [[], ["dive"], ["wayhome"], ["mixups"], ["fill"], ["analyse"],
                                   ["explain"], ["house"]])  # fmt: skip
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

    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    monkeypatch.delenv("NUMBA_DISABLE_JIT")
    environment.prefer_interpreter()
    assert "NUMBA_DISABLE_JIT" not in os.environ  # the environment of another program
    monkeypatch.setattr(environment, "_OURS", [True])
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "0")
    environment.prefer_interpreter()
    assert os.environ["NUMBA_DISABLE_JIT"] == "0"
    monkeypatch.delenv("NUMBA_DISABLE_JIT")
    environment.prefer_interpreter()
    assert os.environ["NUMBA_DISABLE_JIT"] == "1"
    monkeypatch.delenv("NUMBA_DISABLE_JIT")


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("[[cylinder]]\n", True),
        ('title = "[[cylinder]]"\n', False),
        ("[[gas]]\n", False),
        ("no toml", False),
    ],
)
def test_a_plan_with_cylinders_is_known_before_anything_is_imported(tmp_path, text, names):
    from slatewright.cli import environment  # noqa: PLC0415 - kept beside its one use

    plan = tmp_path / "plan.toml"
    plan.write_text(text)
    assert environment.names_cylinders(plan) is names
    assert not environment.names_cylinders(tmp_path / "none.toml")


def test_what_can_be_read_but_once_is_left_alone(tmp_path):
    from slatewright.cli import environment  # noqa: PLC0415 - kept beside its one use

    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert environment.names_cylinders(pipe)  # and does not wait for a writer
