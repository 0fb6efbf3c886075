"""Nothing that is committed names a machine's path, a registry's host or a workplace's tool."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
FORBIDDEN = re.compile(
    r"/(?:work|root|home)/[a-z]|\bpypi\.org|registry\.npmjs|https?://(?!json-schema\.org|www\.w3\.org)"
)
TEXT = {".py", ".md", ".toml", ".csv", ".txt", ".typ", ".json", ""}


def committed():
    out = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout
    return [ROOT / name for name in out.split("\0") if name]


def test_no_address_and_no_path_of_a_machine():
    for path in committed():
        if path.suffix in TEXT and path.is_file() and path != Path(__file__):
            found = FORBIDDEN.search(path.read_text("utf-8"))
            assert found is None, f"{path.relative_to(ROOT)}: {found.group(0) if found else ''}"
