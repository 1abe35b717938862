"""What the tests of the exchange share: scripts for the page, and what reached the server."""

from collections.abc import Callable

from playwright.sync_api import Page

from tests.pwa.house import Reply, Scripted, adopt

SYNC = "() => parts.sync.syncNow()"
STATE = "() => parts.sync.syncState.value"
WAITING = "() => parts.log.waiting()"
FILL = """([count, run]) => parts.log.appendAll([...Array(count).keys()].map((at) => ({
    type: "note.added", subject: `/runs/${run}`, person: "bern", data: { text: `reading ${at}` },
})))"""

# Reaches behind the log's back, as damage does.
RAW = """async ([store, script]) => {
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const tx = db.transaction(store, "readwrite");
    new Function("store", script)(tx.objectStore(store));
    await new Promise((resolve) => { tx.oncomplete = resolve; });
    db.close();
}"""

# What this phone holds of secrets, of keys and of the reference, by the names they are kept under.
HELD = """async () => {
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const keys = (store) => new Promise((resolve) => {
        const asked = db.transaction(store).objectStore(store).getAllKeys();
        asked.onsuccess = () => resolve(asked.result);
    });
    const found = [...await keys("kept"), ...await keys("keys"), ...await keys("reference")];
    db.close();
    return found.filter((key) => /^(verifier:.*|seal|sign|current|session)$/.test(key)).sort();
}"""

ANSWER = {
    "results": [],
    "events": [],
    "cursor": "0000000000000001",
    "more": False,
    "now": "2026-11-25T05:40:00.000Z",
    "digests": {},
    "withheld": [],
}


def start(page: Page) -> None:
    """Start the loop, and wait until the server has been reached."""
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.lastReached !== null")


def on_server(page: Page, run: str) -> list[dict]:
    """A run's events as the server gives them out, without its own two attributes."""
    events = page.evaluate("(run) => parts.api.run(run).then(({ events }) => events)", run)
    return [
        {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
        for event in events
    ]


def pushes(network: Scripted) -> list[list[dict]]:
    """The events of every exchange that carried any."""
    bodies = [call.json() for call in network.calls if call.path == "/api/sync"]
    return [body["events"] for body in bodies if body["events"]]


def scripted_phone(page: Page, network: Scripted, answer: Callable[[dict], dict]) -> None:
    """A phone whose server is the test's own script; the reference never changes."""
    network.answer = lambda called: (
        Reply(200, {**ANSWER, **answer(called.json())}) if called.path == "/api/sync" else Reply(304)
    )
    adopt(page)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate("() => parts.identity.loadIdentity()")
