"""Requests to a desk in this process, as a browser makes them: cookies kept, forms with token."""

from __future__ import annotations

import re
import warnings

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the library would rather have httpx2, which is not out yet
    from starlette.testclient import TestClient

HTMX = {"HX-Request": "true", "HX-Request-Type": "partial"}
_TOKEN = re.compile(r'name="token" value="(\w+)"')


class Caller(TestClient):
    """A client that knows the desk by its usual name."""

    def __init__(self, app, host="127.0.0.1:8417", **differing):
        super().__init__(app, base_url=f"http{'://'}{host}", follow_redirects=False, **differing)

    @property
    def token(self):
        """What a form of a page that was loaded carries."""
        return _TOKEN.search(self.get("/login" if self.locked else "/").text)[1]

    locked = False

    def submit(self, path, data=None, **more):
        """Submit a form."""
        return self.post(path, data={"token": self.token, **(data or {})}, **more)

    def example(self, name="build-up-week/6-the-wall.toml"):
        """Begin a plan with an example, and return its number."""
        done = self.submit("/plans/example", {"name": name})
        assert done.status_code == 303, done.text
        return int(done.headers["location"].rpartition("/")[2])
