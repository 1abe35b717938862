"""The phone's second store: a journal in the origin private file system, real files in a real Chromium."""

import json

import pytest

from tests.pwa.chain import check_chain
from tests.pwa.exchange import HELD, SYNC, WAITING, on_server, start
from tests.pwa.house import ALL_OF, DRAFT, TAPS, adopt, enrol, error_of, opened, until
from tests.pwa.journal import (
    APPENDED,
    DEVICE,
    LOADED,
    awake,
    database_lost,
    elsewhere,
    files,
    kept,
    lines,
)
from vesselside import store
from vesselside.store.site import devices, founding

REFERENCE = "() => parts.log.holdReference({ etag: 'x', reference: { people: [], procedures: [] } })"


def test_each_record_is_a_line_of_the_tabs_own_file_before_it_is_acknowledged(browser, network, page):
    adopt(page)
    made = page.evaluate(TAPS, [3, "run-1"])
    texts = page.evaluate("(events) => events.map((event) => parts.record.canonical(event))", made)
    assert lines(page) == texts
    other = opened(browser, network.origin)
    other.evaluate(TAPS, [2, "run-2"])
    assert sorted(text.count("\n") for text in files(page).values()) == [2, 3]
    assert all(text.endswith("\n") for text in files(page).values())
    other.close()


def test_several_drafts_are_as_many_lines(page):
    adopt(page)
    page.evaluate("(draft) => parts.log.appendAll([draft, draft, draft])", DRAFT)
    assert len(lines(page)) == 3


def test_the_journal_alone_restores_a_phone_whose_database_was_deleted(page, network):
    key = adopt(page)
    made = page.evaluate(TAPS, [7, "run-1"])
    page.evaluate(REFERENCE)
    database_lost(page, network.origin)
    device = page.evaluate(DEVICE)
    assert (device["name"], device["was"]) == ("Test phone", "phone-a")
    assert device["id"] != "phone-a"
    held = page.evaluate(ALL_OF, "run-1")
    assert held == made
    check_chain(held, key)
    assert page.evaluate(WAITING) == 7
    assert page.evaluate("() => parts.log.heldReference()")["etag"] == "x"
    after = page.evaluate(TAPS, [2, "run-1"])
    assert [event["number"] for event in after] == [1, 2]
    assert {event["source"] for event in after} == {f"/devices/{device['id']}"}
    assert after[0]["hlc"] > made[-1]["hlc"]
    assert page.evaluate(WAITING) == 9
    assert len(lines(page)) == 9
    assert network.calls == []


def test_two_tabs_that_find_the_database_lost_begin_one_chain_together(browser, page, network):
    adopt(page)
    page.evaluate(TAPS, [3, "run-1"])
    elsewhere(page, network.origin)
    page.evaluate("() => indexedDB.deleteDatabase('vesselside')")
    tabs = [opened(browser, network.origin) for _ in range(3)]
    for tab in tabs:
        tab.evaluate(f"() => {{ window.looked = ({LOADED})(); }}")
    for tab in tabs:
        tab.evaluate("() => window.looked")
    assert len({tab.evaluate(DEVICE)["id"] for tab in tabs}) == 1
    made = [event for tab in tabs for event in tab.evaluate(TAPS, [2, "run-2"])]
    assert sorted(event["number"] for event in made) == [1, 2, 3, 4, 5, 6]
    assert tabs[0].evaluate(WAITING) == 9
    for tab in tabs:
        tab.close()


def test_a_database_lost_twice_gives_back_what_was_recorded_in_between(page, network):
    adopt(page)
    first = page.evaluate(TAPS, [3, "run-1"])
    database_lost(page, network.origin)
    second = page.evaluate(TAPS, [2, "run-1"])
    database_lost(page, network.origin)
    assert page.evaluate(ALL_OF, "run-1") == [*first, *second]
    assert page.evaluate(WAITING) == 5


def test_a_line_that_was_cut_short_is_dropped_and_what_comes_next_stands_on_a_line_of_its_own(page, network):
    key = adopt(page)
    made = page.evaluate(TAPS, [3, "run-1"])
    elsewhere(page, network.origin)
    [(name, text)] = files(page).items()
    page.evaluate(APPENDED, [name, text.split("\n")[0][:200]])
    awake(page, network.origin)
    made += page.evaluate(TAPS, [2, "run-1"])
    database_lost(page, network.origin)
    held = page.evaluate(ALL_OF, "run-1")
    assert held == made
    check_chain(held, key)
    assert page.evaluate("() => parts.log.recall('lost', () => true)")["torn"] == 1


@pytest.mark.parametrize("stray", ["\n\n", "{}\n", "no record\n", '{"id":1}\n', "\0\xff\n", "null\n"])
def test_a_line_that_is_no_record_keeps_no_other_from_coming_back(page, network, stray):
    adopt(page)
    made = page.evaluate(TAPS, [2, "run-1"])
    elsewhere(page, network.origin)
    [name] = files(page)
    page.evaluate(APPENDED, [name, stray])
    database_lost(page, network.origin)
    assert page.evaluate(ALL_OF, "run-1") == made


TAIL_LOST = """async (count) => {
    const db = await new Promise((resolve) => {
        const opening = indexedDB.open("vesselside");
        opening.onsuccess = () => resolve(opening.result);
    });
    const all = (store) => new Promise((resolve) => { store.getAll().onsuccess = (e) => resolve(e.target.result); });
    const tx = db.transaction(["events", "outbox", "head"], "readwrite");
    const events = (await all(tx.objectStore("events"))).map((row) => row.event);
    const head = (await all(tx.objectStore("head")))[0];
    const last = events.find((event) => event.number === head.number - count);
    const after = events.find((event) => event.number === head.number - count + 1);
    for (const row of await all(tx.objectStore("outbox")))
        if (JSON.parse(row.text).number > last.number) tx.objectStore("outbox").delete(row.at);
    for (const event of events) if (event.number > last.number) tx.objectStore("events").delete(event.id);
    tx.objectStore("head").put({ ...head, number: last.number, hash: after.prevhash, hlc: last.hlc }, "mine");
    await new Promise((resolve) => { tx.oncomplete = resolve; });
    db.close();
}"""


def test_where_only_the_newest_records_are_gone_the_chain_goes_on_from_the_journals_last_line(page, network):
    key = adopt(page)
    made = page.evaluate(TAPS, [6, "run-1"])
    elsewhere(page, network.origin)
    page.evaluate(TAIL_LOST, 4)
    awake(page, network.origin)
    made += page.evaluate(TAPS, [2, "run-1"])
    assert page.evaluate(DEVICE)["id"] == "phone-a"
    held = page.evaluate(ALL_OF, "run-1")
    assert held == made
    check_chain(held, key)
    assert page.evaluate(WAITING) == 8


def test_a_journal_that_does_not_follow_the_chain_is_carried_and_nothing_is_signed_twice(page, network):
    """The newest lines are gone too, but for the last: another chain is begun, for a number is used once."""
    key = adopt(page)
    made = page.evaluate(TAPS, [6, "run-1"])
    elsewhere(page, network.origin)
    page.evaluate(TAIL_LOST, 4)
    [(name, text)] = files(page).items()
    kept_lines = text.split("\n")
    page.evaluate(
        """async ([name, text]) => {
            const folder = await (await navigator.storage.getDirectory()).getDirectoryHandle("journal");
            const file = await (await folder.getFileHandle(name)).createWritable();
            await file.write(text);
            await file.close();
        }""",
        [name, "\n".join([*kept_lines[:2], kept_lines[5], ""])],
    )
    page.goto(f"{network.origin}/")
    page.wait_for_function("() => window.parts !== undefined")
    with page.expect_navigation():
        page.evaluate(f"() => {{ ({LOADED})(); }}")
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate(LOADED)
    assert page.evaluate(DEVICE)["was"] == "phone-a"
    after = page.evaluate(TAPS, [1, "run-1"])
    held = page.evaluate(ALL_OF, "run-1")
    assert held == [made[0], made[1], made[5], *after]
    check_chain(held[:2], key)


def test_a_phone_with_neither_database_nor_journal_asks_to_be_enrolled(page, network):
    page.evaluate(LOADED)
    assert page.evaluate(DEVICE) is None
    assert error_of(page, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"


OTHERS = """([events, cursor]) => parts.log.receive({
    sent: [], results: [], events, cursor, offset: 0, at: Date.now(),
})"""


def test_open_runs_of_others_and_what_was_made_of_the_rest_come_back(browser, network, page):
    adopt(page)
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(there, "phone-z")
    theirs = there.evaluate(TAPS, [2, "run-1"]) + there.evaluate(TAPS, [1, "run-2"])
    there.close()
    placed = [{**event, "sequence": f"{at:016d}"} for at, event in enumerate(theirs, 5)]
    page.evaluate(OTHERS, [placed, "0000000000000007"])
    page.evaluate("() => parts.log.keep('life:run-2', { line: 2 })")
    page.evaluate("() => parts.log.keep('verifier:ada', 'a secret')")
    page.evaluate(TAPS, [1, "run-1"])
    page.evaluate("() => parts.log.keepOthers(['run-1'], ['life:', 'board'])")
    assert kept(page) == ["enrolled", "others"]
    database_lost(page, network.origin)
    assert [event["source"] for event in page.evaluate(ALL_OF, "run-1")] == [
        "/devices/phone-z",
        "/devices/phone-z",
        "/devices/phone-a",
    ]
    assert page.evaluate(ALL_OF, "run-2") == []
    assert page.evaluate("() => parts.log.recall('life:run-2', () => true)") == {"line": 2}
    assert page.evaluate("() => parts.log.recall('verifier:ada', (value) => value !== undefined)") is None
    assert page.evaluate(WAITING) == 1
    after = page.evaluate(TAPS, [1, "run-1"])
    assert after[0]["seen"] == "0000000000000006", "as far as what came back reaches"


SETTLED = """async () => {
    const sent = await parts.log.batch(500, 1e6);
    const results = sent.map(({ id }) => ({ id, status: "stored" }));
    await parts.log.receive({
        sent, results, events: [], cursor: "0000000000000001", offset: 0, at: Date.now(),
    });
}"""
KEPT_BESIDE = "() => parts.log.keepOthers([], [])"
DAY_MS = 24 * 3_600_000


def test_a_file_goes_when_all_its_records_are_acknowledged_and_14_days_old(timed_page, network):
    page = timed_page
    adopt(page)
    page.evaluate(TAPS, [2, "run-1"])
    awake(page, network.origin)
    page.evaluate(SETTLED)
    page.evaluate(TAPS, [1, "run-1"])  # this one waits, in a file of its own
    elsewhere(page, network.origin)
    acknowledged, waits = sorted(files(page))
    awake(page, network.origin)
    page.evaluate(TAPS, [1, "run-2"])
    begun = page.evaluate("() => Date.now()")
    page.clock.set_fixed_time((begun + 13 * DAY_MS) / 1000)
    page.evaluate(KEPT_BESIDE)
    assert {acknowledged, waits} < set(files(page))
    page.clock.set_fixed_time((begun + 15 * DAY_MS) / 1000)
    page.evaluate(KEPT_BESIDE)
    left = set(files(page))
    assert acknowledged not in left
    assert waits in left
    assert len(left) == 2, "nor does one that a tab writes on"


def test_a_phone_that_was_revoked_keeps_nothing_beside_its_records(phone, line, brewery, network, run):
    start(phone)
    phone.evaluate(SYNC)
    phone.evaluate("() => parts.log.keepOthers([], ['life:'])")
    assert kept(phone) == ["enrolled", "others", "reference"]
    line.down = True
    made = phone.evaluate(TAPS, [3, run])
    with brewery.inside():
        book = store.book(founding.breweries()[0][0])
        devices.revoke(book, phone.evaluate(DEVICE)["id"], "lost", by="mara")
    line.down = False
    phone.evaluate(SYNC)
    phone.wait_for_function("() => parts.identity.device.value === null")
    assert kept(phone) == []
    awake(phone, network.origin)
    assert phone.evaluate(DEVICE) is None, "it is not made another phone by itself"
    database_lost(phone, network.origin)
    assert phone.evaluate(DEVICE) is None
    assert phone.evaluate(HELD) == []
    assert phone.evaluate(ALL_OF, run) == made
    assert phone.evaluate(WAITING) == 3


def test_a_phone_that_came_back_is_enrolled_under_the_chain_it_has_begun_and_everything_is_sent_once(
    phone, line, brewery, network, run
):
    """Two records reached the office before; one more, and two of the new chain, had not."""
    start(phone)
    made = phone.evaluate(TAPS, [2, run])
    phone.evaluate(SYNC)
    line.down = True
    made += phone.evaluate(TAPS, [1, run])
    was = phone.evaluate(DEVICE)["id"]
    database_lost(phone, network.origin)
    own = phone.evaluate(DEVICE)["id"]
    made += phone.evaluate(TAPS, [2, run])
    phone.evaluate("() => { window.stop = parts.sync.startSync(); }")
    line.down = False
    phone.evaluate(SYNC)
    assert phone.evaluate("() => parts.sync.syncState.value.trouble") == "enrol"
    assert phone.evaluate(WAITING) == 5
    assert enrol(phone, brewery, "Back again") == own
    phone.evaluate(SYNC)
    until(phone, "async () => (await parts.log.waiting()) === 0")
    made += phone.evaluate(TAPS, [1, run])
    until(phone, "async () => (await parts.log.waiting()) === 0")
    there = on_server(phone, run)
    assert sorted(event["id"] for event in there) == sorted(event["id"] for event in made)
    assert phone.evaluate("() => parts.log.refused()") == []
    assert [event["number"] for event in made if event["source"] == f"/devices/{own}"] == [1, 2, 3]
    admin = phone.evaluate("() => parts.log.admin()")
    [event] = [row for row in admin if row["data"].get("device") == own and row["type"] == "device.enrolled"]
    assert event["data"]["lost"] == {"device": was, "records": 3, "torn": 0, "loss": "none"}
    awake(phone, network.origin)
    assert phone.evaluate(DEVICE)["was"] is None
    assert json.loads(lines(phone)[-1])["number"] == 3
