"""Fetch what others wrote for the pages and for their tests, and write the checksums.

Run it to take a newer release: ``python builders/vendor_desk.py``. Needs npm; nothing else of the
project does. Change the numbers here, and the file's name in ``frame.html``, by hand.
"""

from __future__ import annotations

import hashlib
import subprocess
import tarfile
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
DESK = ROOT / "src" / "slatewright" / "desk" / "static" / "vendor"
TESTS = ROOT / "tests" / "desk" / "vendor"
HTMX = "4.0.1"
AXE = "4.14.1"
TAKEN = (
    (f"htmx.org@{HTMX}", "dist/htmx.min.js", DESK / f"htmx-{HTMX}.min.js"),
    (f"htmx.org@{HTMX}", "LICENSE", DESK / "htmx.LICENSE"),
    (f"axe-core@{AXE}", "axe.min.js", TESTS / f"axe-core-{AXE}.min.js"),
    (f"axe-core@{AXE}", "LICENSE", TESTS / "axe-core.LICENSE"),
)


def main() -> None:
    """Write the files."""
    with tempfile.TemporaryDirectory() as folder:
        for package, inside, target in TAKEN:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(packed(package, inside, Path(folder)))
            print(target.relative_to(ROOT))
    for folder in (DESK, TESTS):
        write_checksums(folder)


def packed(package: str, inside: str, folder: Path) -> bytes:
    """Return a file of a package as it was released.

    Parameters
    ----------
    package
        Name and version.
    inside
        The file's path in the package.
    folder
        Where to put the package.
    """
    done = subprocess.run(  # noqa: S603 - our own words
        ["npm", "pack", "--silent", "--pack-destination", str(folder), package],  # noqa: S607 - the person's own npm
        check=True,
        capture_output=True,
        text=True,
    )
    with tarfile.open(folder / done.stdout.split()[-1]) as archive:
        member = archive.extractfile(f"package/{inside}")
        if member is None:
            raise FileNotFoundError(f"{inside} in {package}")
        return member.read()


def write_checksums(folder: Path) -> None:
    """Write ``SHA256SUMS``, as ``sha256sum`` does.

    Parameters
    ----------
    folder
        The folder.
    """
    lines = [
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}\n"
        for path in sorted(folder.glob("*.js"))
    ]
    (folder / "SHA256SUMS").write_text("".join(lines), "utf-8")


if __name__ == "__main__":
    main()
