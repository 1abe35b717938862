"""The phone's app as files: hashed assets for ever, everything else asked for anew each time.

Any other address that a browser navigates to is a screen of the app, so it gets the app's page.
"""

import re
from collections.abc import MutableMapping
from pathlib import Path

from flask import Flask, Response, request, send_file
from werkzeug.exceptions import NotFound
from werkzeug.routing import PathConverter
from whitenoise import WhiteNoise

from .edge import harden

HASHED = re.compile(r"^/assets/.+-[A-Za-z0-9_-]{8,}\.[a-z0-9.]+$")
NOT_BUILT = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Vesselside: the app is not built</title>
<h1>The app is not built yet</h1>
<p>The server runs, but there is no app for it to hand out. Run <code>deploy/run</code>, which builds it.</p>
</html>
"""


class ScreenPath(PathConverter):
    """An address that no call has: one that is there for other methods is answered 405, and not that it is nowhere."""

    regex = "(?!api/)" + PathConverter.regex


def register(app: Flask, folder: Path) -> None:
    """Serve the built app in `folder`, or say clearly that there is none."""
    app.url_map.converters["screen"] = ScreenPath
    if folder.is_dir():
        app.wsgi_app = WhiteNoise(  # type: ignore[method-assign]
            app.wsgi_app,
            root=folder,
            max_age=0,
            allow_all_origins=False,
            immutable_file_test=lambda _path, url: bool(HASHED.match(url)),
            add_headers_function=_dress,
        )

    @app.get("/", defaults={"path": ""})
    @app.get("/<screen:path>")
    def screen(path: str) -> Response:
        last = path.rpartition("/")[2]
        if "." in last or not request.accept_mimetypes.accept_html:
            raise NotFound("There is nothing at this address.")
        page = folder / "index.html"
        if not page.is_file():
            response = Response(NOT_BUILT, 503, content_type="text/html; charset=utf-8")
            response.headers["Retry-After"] = "60"
            return response
        response = send_file(page, mimetype="text/html", conditional=True, etag=True, max_age=0)
        response.headers["Cache-Control"] = "no-cache"
        return response


def _dress(headers: MutableMapping[str, str], _path: str, url: str) -> None:
    if not HASHED.match(url):
        headers["Cache-Control"] = "no-cache"
    harden(headers)
