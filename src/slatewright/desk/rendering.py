"""Templates: our own files and nothing else, strict about names, escaping everything."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from jinja2 import Environment, PackageLoader, StrictUndefined

from slatewright.cautions import PLANNING
from slatewright.desk.assets import asset_path
from slatewright.desk.filters import FILTERS
from slatewright.desk.frame import Entry, Frame, Page, all_pages

if TYPE_CHECKING:
    from slatewright.desk.limiter import Limiter
    from slatewright.desk.settings import DeskSettings
    from slatewright.desk.visit import Visit
    from slatewright.store.database import Store


@dataclass(frozen=True, slots=True)
class Desk:
    """What all requests share.

    Parameters
    ----------
    store
        The store.
    settings
        How the desk is run.
    logins
        Counts failed logins.
    """

    store: Store
    settings: DeskSettings
    logins: Limiter

    def render(self, visit: Visit, page: Page, context: object, *, fragment: str = "") -> str:
        """Return a page, or a part of it, as HTML.

        Parameters
        ----------
        visit
            The request.
        page
            The page.
        context
            Its context.
        fragment
            The template of the part; empty for the whole page.

        Raises
        ------
        TypeError
            If the context is not of the kind that the page says.
        """
        if type(context) is not page.context:
            raise TypeError(f"page {page.name} takes a {page.context.__name__}")
        template = templates().get_template(fragment or page.template)
        return template.render(page=context, frame=self._frame(visit, page))

    def _frame(self, visit: Visit, page: Page) -> Frame:
        url = visit.request.url
        return Frame(
            title=page.title,
            name=page.name,
            entries=tuple(
                Entry(other.label, other.path, other.name == page.name)
                for other in all_pages()
                if other.label
            ),
            token=visit.token,
            look=visit.look,
            path=f"{url.path}?{url.query}" if url.query else url.path,
            scripts=tuple(asset_path(name) for name in page.scripts),
            may_log_out=self.settings.serving_others and bool(visit.login),
            cautions=PLANNING,
        )


@cache
def templates() -> Environment:
    """Return the templates' environment."""
    environment = Environment(
        loader=PackageLoader("slatewright.desk"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    environment.filters |= FILTERS
    environment.globals["asset"] = asset_path
    return environment
