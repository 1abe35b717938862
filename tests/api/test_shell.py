"""The phone's app as files: what may be kept for ever, what is asked for anew, and that all of it is hardened."""

import dataclasses
import gzip

import pytest

from tests.conftest import settings_for
from vesselside.app import create_app

FILES = {
    "index.html": "<!doctype html><title>Vesselside</title>",
    "sw.js": "self.addEventListener('install', () => {});",
    "manifest.webmanifest": "{}",
    "assets/main-B1a2C3d4.js": "console.log('page');" * 100,
    "assets/worker-Z9y8X7w6.js": "console.log('worker');",
}


@pytest.fixture
def app(templates, tmp_path):
    """An app that serves a small built page."""
    url = templates.of("sqlite", founded=False).copy(tmp_path)
    folder = tmp_path / "dist"
    (folder / "assets").mkdir(parents=True)
    for name, text in FILES.items():
        (folder / name).write_text(text)
    (folder / "assets/main-B1a2C3d4.js.gz").write_bytes(
        gzip.compress(FILES["assets/main-B1a2C3d4.js"].encode())
    )
    return create_app(dataclasses.replace(settings_for(tmp_path, url), pwa=folder), serving=True)


def get(app, path, headers=None):
    """The answer, read to its end so that no file stays open."""
    with app.test_client().get(path, headers=headers, buffered=True) as answer:
        return answer


def test_nothing_beside_the_app_is_served(app):
    answer = get(app, "/../secret-key", {"Accept": "text/html"})
    assert answer.get_data(as_text=True) == FILES["index.html"]


@pytest.mark.parametrize("name", FILES)
def test_every_file_is_served_hardened(app, name):
    answer = get(app, f"/{name}")
    assert answer.status_code == 200
    assert answer.get_data(as_text=True) == FILES[name]
    assert "script-src 'self' 'wasm-unsafe-eval'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert "Access-Control-Allow-Origin" not in answer.headers
    assert "geolocation=()" in answer.headers["Permissions-Policy"]


@pytest.mark.parametrize("name", FILES)
def test_only_what_is_named_by_its_content_is_kept(app, name):
    kept = get(app, f"/{name}").headers["Cache-Control"]
    assert ("immutable" in kept) == name.startswith("assets/")
    assert ("no-cache" in kept) == (not name.startswith("assets/"))


def test_what_was_compressed_beforehand_is_sent_so(app):
    answer = get(app, "/assets/main-B1a2C3d4.js", headers={"Accept-Encoding": "gzip"})
    assert answer.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(answer.get_data()).decode() == FILES["assets/main-B1a2C3d4.js"]


@pytest.mark.parametrize("path", ["/", "/runs/some-run", "/desk"])
def test_every_screens_address_is_the_page(app, path):
    answer = get(app, path, headers={"Accept": "text/html"})
    assert answer.get_data(as_text=True) == FILES["index.html"]
    assert answer.headers["Cache-Control"] == "no-cache"
    assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"]


@pytest.mark.parametrize("path", ["/assets/gone-00000000.js", "/nothing.png", "/api/nothing"])
def test_a_file_that_is_not_there_is_not_the_page(app, path):
    answer = get(app, path, headers={"Accept": "text/html"})
    assert (answer.status_code, answer.mimetype) == (404, "application/problem+json")


def test_an_app_that_is_not_built_says_so(templates, tmp_path):
    url = templates.of("sqlite", founded=False).copy(tmp_path)
    app = create_app(dataclasses.replace(settings_for(tmp_path, url), pwa=tmp_path / "nothing"), serving=True)
    answer = get(app, "/", headers={"Accept": "text/html"})
    assert answer.status_code == 503
    assert "not built" in answer.get_data(as_text=True)
