"""The shell: page, worker and core from one revision, with the server gone, and changed only on the person's word."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pwa.house import BUILT, DRAFT, Reply, Scripted, adopt, opened, scripted

UPDATE = "() => parts.sw.update.value.waiting"


@pytest.fixture
def folder(built, tmp_path) -> Path:
    """A copy of the built page that a test may change, as a new release does."""
    return Path(shutil.copytree(BUILT, tmp_path / "shell"))


@pytest.fixture
def site(folder) -> Iterator[Scripted]:
    with scripted(folder) as serving:
        yield serving


@pytest.fixture
def shell(browser, site):
    """A page under a service worker that has kept all it needs."""
    page = opened(browser, site.origin)
    page.evaluate("() => parts.sw.startShell()")
    page.evaluate("() => navigator.serviceWorker.ready")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    yield page
    page.close()


def release(folder: Path) -> None:
    """A new revision: the page changes, and with it the worker's list."""
    page = folder / "index.html"
    put(page, page.read_text().replace("<body>", '<body data-release="two">'))
    worker = folder / "sw.js"
    changed, count = re.subn(
        r'("?revision"?:")[0-9a-f]+(",\s*"?url"?:"index\.html")|("?url"?:"index\.html",\s*"?revision"?:")[0-9a-f]+',
        lambda found: (found[1] or found[3]) + "two" + (found[2] or ""),
        worker.read_text(),
    )
    assert count == 1
    put(worker, changed)


def put(file: Path, text: str) -> None:
    """Change a file at once: a browser that looks for news in between must not be given half of one."""
    new = file.with_suffix(".new")
    new.write_text(text)
    new.replace(file)


def again(page) -> None:
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => parts.sw.startShell()")


def test_the_first_worker_takes_over_without_a_reload(browser, site):
    page = opened(browser, site.origin)
    page.evaluate("() => { window.same = true; return parts.sw.startShell(); }")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    page.wait_for_timeout(300)
    assert page.evaluate("() => window.same") is True
    assert page.evaluate(UPDATE) is False
    page.close()


def test_with_the_server_gone_any_screen_opens_and_the_core_runs(shell, site):
    site.shutdown()
    site.server_close()
    shell.goto(f"{site.origin}/runs/some-run?from=the-board")
    shell.wait_for_function("() => window.parts !== undefined")
    assert shell.evaluate("() => parts.engine.call('about', {}).then(({ core }) => core)")


def test_the_api_is_never_answered_from_here(shell, site):
    site.answer = lambda called: Reply(200, {"way": called.method})
    count = len(site.calls)
    for _ in range(2):
        assert shell.evaluate("() => parts.api.read('/api/vessels', (v) => true)") == {"way": "GET"}
    assert len(site.calls) == count + 2
    kept = shell.evaluate(
        """async () => {
            const names = await caches.keys();
            const lists = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
            return lists.flat().map((request) => new URL(request.url).pathname);
        }"""
    )
    assert not any(path.startswith("/api") for path in kept)
    assert "/index.html" in kept
    # A navigation to the API is the server's to answer too, not the shell's page.
    site.answer = lambda _: Reply(200, b"from the server", "text/plain")
    shell.goto(f"{site.origin}/api/anything")
    assert shell.inner_text("body") == "from the server"


def test_a_new_version_waits_for_the_persons_word_and_comes_with_a_reload(shell, folder):
    adopt(shell)
    again(shell)
    release(folder)
    again(shell)
    shell.wait_for_function(UPDATE)
    again(shell)
    shell.wait_for_function(UPDATE)
    assert shell.evaluate("() => document.body.dataset.release") is None, "it went on with the version it had"
    with shell.expect_navigation():
        shell.evaluate("() => parts.sw.update.value.apply()")
    shell.wait_for_function("() => window.parts !== undefined")
    assert shell.evaluate("() => document.body.dataset.release") == "two"
    assert shell.evaluate("(draft) => parts.log.append(draft)", DRAFT)["number"] == 1


def test_no_tab_takes_a_new_version_while_another_holds_it_back(browser, shell, site, folder):
    adopt(shell)
    other = opened(browser, site.origin)
    other.evaluate("() => { window.release = parts.sw.holdBack(); return parts.sw.startShell(); }")
    release(folder)
    again(shell)
    shell.wait_for_function(UPDATE)
    assert shell.evaluate("() => parts.sw.update.value.apply()") is False
    other.evaluate("() => window.release()")
    other.evaluate("() => { window.same = true; }")
    with shell.expect_navigation():
        shell.evaluate("() => { parts.sw.update.value.apply(); }")
    other.wait_for_function("() => parts.sw.update.value.outdated")
    other.wait_for_timeout(300)
    assert other.evaluate("() => window.same") is True, "what somebody does there is not taken away from them"
    with other.expect_navigation():
        other.evaluate("() => { dispatchEvent(new Event('vite:preloadError')); }")
    other.wait_for_function("() => window.parts !== undefined")
    assert other.evaluate("() => document.body.dataset.release") == "two"
    other.close()


def test_becoming_visible_looks_for_a_new_version(browser, shell, folder):
    release(folder)
    shell.evaluate("() => { document.dispatchEvent(new Event('visibilitychange')); }")
    shell.wait_for_function(UPDATE)


def test_recovering_the_shell_leaves_every_record(shell):
    adopt(shell)
    shell.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    with shell.expect_navigation():
        shell.evaluate("() => { parts.sw.recoverShell(); }")
    shell.wait_for_function("() => window.parts !== undefined")
    assert shell.evaluate("() => caches.keys()") == []
    assert shell.evaluate("() => navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
    assert shell.evaluate("() => parts.log.waiting()") == 1
    assert shell.evaluate("(draft) => parts.log.append(draft)", DRAFT)["number"] == 2


def test_the_test_page_is_no_part_of_the_app():
    app = BUILT.parents[1] / "dist"
    assert list(app.rglob("*.js")), "the app is not built: run deploy/run build"
    assert not any("window.parts" in script.read_text() for script in app.rglob("*.js"))
