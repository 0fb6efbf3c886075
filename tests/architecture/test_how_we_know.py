"""docs/how-we-know.md is what the outside checks say today."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_page_is_current(tmp_path):
    made = tmp_path / "how-we-know.md"
    run = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "tests/published", "--how-we-know", str(made)],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert run.returncode == 0, run.stdout[-2000:]
    page = ROOT / "docs" / "how-we-know.md"
    assert made.read_text("utf-8") == page.read_text("utf-8"), "run: make how-we-know"
