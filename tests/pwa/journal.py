"""What the tests of the phone's second store share: its files, and a database that is lost."""

from playwright.sync_api import Page

FILES = """async (end) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle("journal", { create: true });
    const found = {};
    for await (const [name, handle] of folder.entries())
        if (name.endsWith(end)) found[name] = await (await handle.getFile()).text();
    return found;
}"""
NAMES = """async () => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle("journal", { create: true });
    const found = [];
    for await (const name of folder.keys()) found.push(name);
    return found;
}"""
# Puts bytes behind what a file holds, as a kill leaves them there; no tab may be writing on it.
APPENDED = """async ([name, text]) => {
    const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle("journal");
    const file = await (await folder.getFileHandle(name)).createWritable({ keepExistingData: true });
    await file.seek((await (await folder.getFileHandle(name)).getFile()).size);
    await file.write(text);
    await file.close();
}"""
DELETED = """() => new Promise((resolve, reject) => {
    const asked = indexedDB.deleteDatabase("vesselside");
    asked.onsuccess = resolve;
    asked.onerror = asked.onblocked = reject;
})"""
LOADED = "() => parts.identity.loadIdentity()"
DEVICE = "() => parts.identity.device.value"
NOTHING = "/nothing"


def files(page: Page) -> dict[str, str]:
    """The files of lines, by name."""
    found: dict[str, str] = page.evaluate(FILES, ".jsonl")
    return found


def lines(page: Page) -> list[str]:
    """Every line of the journal but what follows a file's last end of line."""
    return [line for text in files(page).values() for line in text.split("\n")[:-1]]


def kept(page: Page) -> list[str]:
    """The names of what is kept beside the lines."""
    return sorted(name.split("-")[0] for name in page.evaluate(FILES, ".kept"))


def elsewhere(page: Page, origin: str) -> None:
    """Leave the app for a page of the same origin that is no part of it: nothing is held open any more."""
    page.goto(f"{origin}{NOTHING}")


def awake(page: Page, origin: str) -> Page:
    """A new life of the app, which has looked up who it is."""
    page.goto(f"{origin}/")
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate(LOADED)
    return page


def journal_lost(page: Page) -> None:
    """Nothing of the journal is left; the page is none of the app."""
    page.evaluate(
        "async () => (await navigator.storage.getDirectory()).removeEntry('journal', { recursive: true })"
    )


def database_lost(page: Page, origin: str) -> None:
    """The browser has thrown the database away, and the app was opened again."""
    elsewhere(page, origin)
    page.evaluate(DELETED)
    awake(page, origin)
