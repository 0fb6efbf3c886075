"""The command in this process (quick) and as a person starts it (true)."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from slatewright.cli.app import app

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"


@pytest.fixture(autouse=True)
def quiet_machine(tmp_path, monkeypatch):
    """Let no house rules, colours or widths of the machine reach a test."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("COLUMNS", "80")
    for name in ("NO_COLOR", "FORCE_COLOR", "TTY_COMPATIBLE", "TTY_INTERACTIVE"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def run():
    """Run the command in this process; returns exit_code, stdout, stderr."""
    runner = CliRunner()

    def call(*words):
        result = runner.invoke(app, [str(word) for word in words])
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result

    return call


@pytest.fixture
def start(tmp_path):
    """Start the command as a process of its own, in an empty folder."""

    def call(*words, env=None, **options):
        return subprocess.run(
            [sys.executable, "-m", "slatewright", *(str(word) for word in words)],
            capture_output=options.pop("capture_output", True),
            check=False,
            cwd=tmp_path,
            env={**os.environ, **(env or {})},
            text=True,
            timeout=120,
            **options,
        )

    return call


@pytest.fixture
def plan_file(tmp_path):
    """Write a plan file: a short one of our own invention, with what is given added or changed."""

    def write(*, head="", gases=None, levels=None, name="plan.toml"):
        gases = gases or [("18/45", "bottom"), ("EAN50", "decompression")]
        levels = levels or [(50, 25)]
        text = f'schema = "slatewright/plan/1"\ntitle = "The saddle"\nunits = "metric"\n{head}\n'
        text += "".join(f'[[gas]]\nmix = "{mix}"\nuse = "{use}"\n' for mix, use in gases)
        text += "".join(f"[[level]]\ndepth_m = {d}\nleave_at_min = {t}\n" for d, t in levels)
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


LITRES = {"18/45": 24.0, "EAN50": 11.1}


@pytest.fixture
def team_file(plan_file):
    """Write a plan with two divers: by default one that has a way home from every minute."""

    def write(*, levels=None, litres=None, bar=220, head="", name="team.toml"):
        levels, litres = levels or [(45, 20)], {**LITRES, **(litres or {})}
        people = """[water]
temperature_c = 10
[diver]
name = "Mirren"
rmv_swimming_l_per_min = 18
rmv_stressed_l_per_min = 30
[[partner]]
name = "Tove"
rmv_swimming_l_per_min = 20
rmv_stressed_l_per_min = 32
gauge = "psi"
"""
        path = plan_file(head=people + head, levels=levels, name=name)
        text = path.read_text(encoding="utf-8")
        for size, volume_l in litres.items():
            text += f"""[[size]]
name = "{size} vessel"
water_volume_l = {volume_l}
working_bar = 232
material = "steel"
empty_mass_kg = {1.3 * volume_l}
external_volume_l = {1.2 * volume_l}
[[cylinder]]
gas = "{size}"
size = "{size} vessel"
pressure_bar = {bar}
place = "{"back" if size == "18/45" else "left"}"
diver = ["Mirren", "Tove"]
"""
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.fixture
def stranded_file(team_file):
    """Write a plan whose divers have no way home if both lose their decompression gas."""
    return team_file(levels=[(45, 30)], litres={"18/45": 20.0})
