"""A phone that hears that a text or a photo was taken out of a record: it goes from the phone, its hash stays."""

import json

from tests.pwa.exchange import STATE, SYNC
from tests.pwa.house import ALL_OF, TAPS, until
from tests.pwa.test_going_back import NAME_PHOTO, PHOTO, copy, put_back

WORD = "Quillfeather"
NOTE = """([run, text]) => parts.log.append({
    type: "note.added", subject: `/runs/${run}`, person: "bern", data: { text },
})"""
DIGEST = "(run) => parts.log.digest(run)"
OFFICE = "(run) => parts.api.run(run)"

# All that this browser keeps, as one text; a picture is told by its size.
KEPT = """async () => {
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const all = {};
    for (const store of db.objectStoreNames) {
        const asked = db.transaction(store).objectStore(store).getAll();
        const rows = await new Promise((resolve) => { asked.onsuccess = () => resolve(asked.result); });
        all[store] = rows.map((row) => row?.photo ? { sha256: row.sha256 } : row);
    }
    db.close();
    const root = await navigator.storage.getDirectory();
    all.journal = [];
    for await (const file of (await root.getDirectoryHandle("journal", { create: true })).values())
        all.journal.push(await (await file.getFile()).text());
    return JSON.stringify(all);
}"""
KEEP_VIEW = (
    """([run, text]) => Promise.all(["view:", "life:"].map((name) => parts.log.keep(name + run, { text })))"""
)
QUEUE = """async (event) => {
    const { sequence, recordedtime, ...signed } = event;
    const text = parts.record.canonical(signed);
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const tx = db.transaction("outbox", "readwrite");
    tx.objectStore("outbox").add({ id: event.id, text, bytes: text.length });
    await new Promise((resolve) => { tx.oncomplete = resolve; });
    db.close();
}"""
CACHED = """async (sha256) => {
    const answer = await fetch(`/api/photos/${sha256}`, { cache: "force-cache" });
    return answer.status;
}"""


def redact(living, event: str) -> None:
    done = living.command("redact", event, "names a person")
    assert done.returncode == 0, done.stderr


def same_as_the_office(tab, run: str) -> None:
    """The phone holds of the run what the office holds, by its digest, and nothing waits."""
    tab.evaluate(SYNC)
    until(tab, "async () => (await parts.log.waiting()) === 0")
    assert tab.evaluate(STATE)["trouble"] is None
    assert tab.evaluate(DIGEST, run) == tab.evaluate(OFFICE, run)["run"]["digest"]


def test_it_drops_the_text_and_keeps_its_hash_and_the_chain_goes_on(phones, own_brewery, run):
    mine, theirs = phones("localhost"), phones("127.0.0.1")
    mine.evaluate(TAPS, [2, run])
    note = mine.evaluate(NOTE, [run, f"{WORD} slipped"])
    for tab in (mine, theirs):
        tab.evaluate(SYNC)
        tab.evaluate(KEEP_VIEW, [run, f"{WORD} slipped"])
    before = mine.evaluate(DIGEST, run)
    # it lies in the queue once more, as after an answer that was lost
    mine.evaluate(QUEUE, note)
    redact(own_brewery, note["id"])
    for tab in (mine, theirs):
        assert WORD in tab.evaluate(KEPT)
        tab.evaluate(SYNC)
        assert WORD not in tab.evaluate(KEPT)
        left = next(event for event in tab.evaluate(ALL_OF, run) if event["id"] == note["id"])
        assert left["data"]["text"] == "(taken out)"
        assert {name: left[name] for name in ("prevhash", "number", "signature", "hlc")} == {
            name: note[name] for name in ("prevhash", "number", "signature", "hlc")
        }
        assert tab.evaluate(DIGEST, run) == before
    made = mine.evaluate(TAPS, [1, run])
    assert made[0]["prevhash"] == left["redacted"]
    for tab in (mine, theirs):
        same_as_the_office(tab, run)
    assert own_brewery.command("check").stdout == "ok\n"


def test_it_drops_the_photo_and_what_the_browser_kept_of_it(phones, own_brewery, run):
    mine, theirs = phones("localhost"), phones("127.0.0.1")
    photo = mine.evaluate(PHOTO)
    event = mine.evaluate(NAME_PHOTO, [run, photo])
    for tab in (mine, theirs):
        tab.evaluate(SYNC)
        assert tab.evaluate(CACHED, photo["sha256"]) == 200
    redact(own_brewery, event["id"])
    for tab in (mine, theirs):
        assert tab.evaluate(CACHED, photo["sha256"]) == 200, "the browser has it still"
        tab.evaluate(SYNC)
        assert tab.evaluate(CACHED, photo["sha256"]) == 404
        assert json.loads(tab.evaluate(KEPT))["photos"] == []
        same_as_the_office(tab, run)


def test_it_does_not_come_back_by_a_server_that_was_put_back(phones, own_brewery, run):
    """The copy holds the text and the photo; the redaction comes back from the first phone that had heard of it."""
    mine, theirs = phones("localhost"), phones("127.0.0.1")
    photo = mine.evaluate(PHOTO)
    pictured = mine.evaluate(NAME_PHOTO, [run, photo])
    note = mine.evaluate(NOTE, [run, f"{WORD} slipped"])
    for tab in (mine, theirs):
        tab.evaluate(SYNC)
    copy(own_brewery)
    later = theirs.evaluate(NOTE, [run, f"{WORD} again"])
    for tab in (theirs, mine, theirs):
        tab.evaluate(SYNC)
    for event in (note, later, pictured):
        redact(own_brewery, event["id"])
    mine.evaluate(SYNC)
    put_back(own_brewery)
    # the one that never heard brings the whole text of what came after the copy
    for tab in (theirs, mine, theirs, mine):
        tab.evaluate(SYNC)
    for tab in (mine, theirs):
        same_as_the_office(tab, run)
        assert WORD not in tab.evaluate(KEPT)
    held = mine.evaluate(OFFICE, run)
    assert WORD not in json.dumps(held)
    assert {note["id"], later["id"]} <= {event["id"] for event in held["events"]}
    assert mine.evaluate(CACHED, photo["sha256"]) == 404
    assert own_brewery.command("check").stdout == "ok\n"


def test_what_another_phone_carries_does_not_bring_it_back(phones, own_brewery, run):
    other, mine = phones("127.0.0.1"), phones("localhost")
    note = other.evaluate(NOTE, [run, f"{WORD} slipped"])
    other.evaluate(SYNC)
    carried = other.evaluate("(run) => parts.log.exportRun(run)", run)
    redact(own_brewery, note["id"])
    mine.evaluate(SYNC)
    mine.evaluate("(text) => parts.log.importText(text)", carried)
    assert WORD not in mine.evaluate(KEPT)
    other.evaluate(SYNC)
    assert WORD not in other.evaluate("(run) => parts.log.exportRun(run)", run)
    for tab in (mine, other):
        same_as_the_office(tab, run)
