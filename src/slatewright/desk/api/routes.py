"""An operation's description is the first sentence of its docstring; the rest is for who codes."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

from fastapi.routing import APIRoute


class DescribedRoute(APIRoute):
    """A route whose description leaves out the sections of the docstring.

    Parameters
    ----------
    path
        The path.
    endpoint
        What answers.
    **options
        As for any route.
    """

    def __init__(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:  # noqa: ANN401 - handed on as they are
        options["description"] = inspect.getdoc(endpoint).partition("\n\n")[0]  # type: ignore[union-attr]  # each has one
        super().__init__(path, endpoint, **options)
