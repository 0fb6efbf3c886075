"""What does not change while the desk runs: styles, scripts, typeface. Nothing else is served.

All files are listed when the desk starts; a name that is not in the list does not exist, so no
path of a request ever reaches the disk.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Final

from starlette.requests import Request
from starlette.responses import Response

from slatewright.paper.theme import font_folder

PREFIX: Final = "/static/"
_KINDS: Final = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".ttf": "font/ttf",
}
_URL: Final = re.compile(r'url\("([^"]+)"\)')
_FOR_GOOD: Final = "public, max-age=31536000, immutable"


@dataclass(frozen=True, slots=True)
class Asset:
    """A file that is served as it is.

    Parameters
    ----------
    content
        Its bytes.
    kind
        Its media type.
    mark
        The first letters of its hash, by which a browser knows whether it has this very file.
    """

    content: bytes
    kind: str
    mark: str


@cache
def assets() -> dict[str, Asset]:
    """Return all files by name, such as ``desk.css`` and ``vendor/htmx-4.0.1.min.js``."""
    found = {
        f"fonts/{path.name}": _asset(path.read_bytes(), ".ttf")
        for path in sorted(font_folder().glob("AtkinsonHyperlegible-*.ttf"))
    }
    for name, content in _listed(files("slatewright.desk").joinpath("static"), ""):
        ending = Path(name).suffix
        if ending == ".css":  # fonts are asked for by their marks too, so that they are kept
            text = _URL.sub(
                lambda url: f'url("{PREFIX}{url[1]}?v={found[url[1]].mark}")', content.decode()
            )
            found[name] = _asset(text.encode(), ending)
        else:
            found[name] = _asset(content, ending)
    return found


def asset_path(name: str) -> str:
    """Return the path under which a page asks for a file.

    Parameters
    ----------
    name
        Its name.

    Raises
    ------
    KeyError
        If there is no such file.
    """
    return f"{PREFIX}{name}?v={assets()[name].mark}"


async def serve_asset(request: Request) -> Response:
    """Answer a request for a file.

    Parameters
    ----------
    request
        The request; its path parameter ``name`` is the name.
    """
    asset = assets().get(request.path_params["name"])
    if asset is None:
        return Response("there is no such file", 404, media_type="text/plain")
    known = request.query_params.get("v") == asset.mark
    headers = {"ETag": f'"{asset.mark}"', "Cache-Control": _FOR_GOOD if known else "no-cache"}
    if request.headers.get("if-none-match") == f'"{asset.mark}"':
        return Response(status_code=304, headers=headers)
    return Response(asset.content, media_type=asset.kind, headers=headers)


def _listed(folder: Traversable, prefix: str) -> Iterator[tuple[str, bytes]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            yield from _listed(entry, f"{prefix}{entry.name}/")
        elif Path(entry.name).suffix in _KINDS:
            yield f"{prefix}{entry.name}", entry.read_bytes()


def _asset(content: bytes, ending: str) -> Asset:
    return Asset(content, _KINDS[ending], hashlib.sha256(content).hexdigest()[:16])
