"""The phone's log, in a real browser with a real IndexedDB."""

import hashlib
import re

import pytest

from tests.pwa.chain import check_chain, digest_of
from tests.pwa.house import ALL_OF, DRAFT, TAPS, adopt, error_of, opened
from tests.pwa.journal import awake


def test_an_event_has_the_envelope_of_the_records_page(page):
    adopt(page)
    event = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    assert {name: event[name] for name in DRAFT} == DRAFT
    assert event["specversion"] == "1.0"
    assert event["source"] == "/devices/phone-a"
    assert event["number"] == 1
    assert event["prevhash"] == "0" * 64
    assert event["seen"] == "0" * 16
    assert re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", event["id"])
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", event["time"])
    assert re.fullmatch(r"[0-9a-f]{12}-[0-9a-f]{4}", event["hlc"])


def test_a_chain_holds_for_an_independent_reader(page):
    key = adopt(page)
    page.evaluate(TAPS, [20, "run-1"])
    check_chain(page.evaluate(ALL_OF, "run-1"), key)


def test_two_tabs_tapping_at_once_make_one_gapless_chain(browser, network, page):
    key = adopt(page)
    other = opened(browser, network.origin)
    for tab, run in ((page, "run-1"), (other, "run-2")):
        tab.evaluate(f"([count, run]) => {{ window.done = ({TAPS})([count, run]); }}", [200, run])
    made = [event for tab in (page, other) for event in tab.evaluate("() => window.done")]
    held = page.evaluate(ALL_OF, "run-1") + page.evaluate(ALL_OF, "run-2")
    assert len(made) == 400
    assert {event["id"] for event in held} == {event["id"] for event in made}
    check_chain(held, key)
    assert page.evaluate("() => parts.log.waiting()") == 400
    other.close()


def test_several_drafts_are_written_all_or_none(page):
    key = adopt(page)
    page.evaluate("(draft) => parts.log.appendAll([draft, draft, draft])", DRAFT)
    bad = {**DRAFT, "data": {"text": "x" * 70_000}}
    thrown = error_of(page, "([good, bad]) => parts.log.appendAll([good, bad])", [DRAFT, bad])
    assert thrown["code"] == "too-large"
    events = page.evaluate(ALL_OF, "run-1")
    assert len(events) == 3
    check_chain(events, key)


def nested(depth: int) -> dict[str, object]:
    """An object with `depth` objects inside each other."""
    return {"in": nested(depth - 1)} if depth > 1 else {}


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ({"text": "x" * 65_536}, "too-large"),
        (nested(8), "too-deep"),
        ({"text": "a\0b"}, "bad-text"),
        ({"a\0b": "text"}, "bad-text"),
        ({"value": 1.5}, "bad-number"),
        ({"value": 2**53}, "bad-number"),
    ],
    ids=["over 64 kB", "nested over 8", "U+0000", "U+0000 in a name", "not whole", "beyond 2^53-1"],
)
def test_what_the_server_could_not_store_gets_no_number(page, data, code):
    key = adopt(page)
    thrown = error_of(page, "(draft) => parts.log.append(draft)", {**DRAFT, "data": data})
    assert (thrown["name"], thrown["code"]) == ("NotAccepted", code)
    page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    check_chain(page.evaluate(ALL_OF, "run-1"), key)


def test_half_a_surrogate_pair_gets_no_number(page):
    adopt(page)
    script = '(draft) => parts.log.append({ ...draft, data: { text: "\\ud800" } })'
    assert error_of(page, script, DRAFT)["code"] == "bad-text"


def test_the_largest_storable_event_is_stored(page):
    adopt(page)
    size = """async (draft) => {
        const event = await parts.log.append(draft);
        return new TextEncoder().encode(parts.record.canonical(event)).length;
    }"""
    around = page.evaluate(size, {**DRAFT, "data": {"text": ""}})
    data = {"text": "x" * (65_536 - around)}
    assert page.evaluate(size, {**DRAFT, "data": data}) == 65_536
    assert page.evaluate("(d) => parts.log.append(d)", {**DRAFT, "data": nested(7)})["number"] == 3


def test_a_full_disk_is_told_as_not_saved_and_takes_nothing(browser, network, page):
    cdp = browser.new_cdp_session(page)
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": network.origin, "quotaSize": 200_000})
    key = adopt(page)
    large = {**DRAFT, "data": {"text": "x" * 60_000}}
    fill = """async (draft) => {
        for (let made = 0; made < 20; made++) {
            try { await parts.log.append(draft); }
            catch (error) { return [made, error.name, error.cause?.name]; }
        }
        return null;
    }"""
    made, *thrown = page.evaluate(fill, large)
    assert thrown == ["NotSaved", "QuotaExceededError"]
    assert len(page.evaluate(ALL_OF, "run-1")) == made
    cdp.send("Storage.overrideQuotaForOrigin", {"origin": network.origin})
    page.evaluate("(draft) => parts.log.append(draft)", large)
    events = page.evaluate(ALL_OF, "run-1")
    assert len(events) == made + 1
    check_chain(events, key)


def test_a_phone_never_enrolled_says_so(page):
    assert error_of(page, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"


DELETE_KEY = """() => new Promise((resolve, reject) => {
    const opening = indexedDB.open("vesselside");
    opening.onerror = reject;
    opening.onsuccess = () => {
        const tx = opening.result.transaction("STORE", "readwrite");
        tx.objectStore("STORE").clear();
        tx.oncomplete = () => { opening.result.close(); resolve(); };
    };
})"""


@pytest.mark.parametrize("lost", ["keys", "events", "head"])
@pytest.mark.parametrize("journal", [True, False], ids=["with a journal", "with none"])
def test_a_phone_that_lacks_its_key_or_its_log_begins_anew_or_asks_to_be_enrolled_again(
    browser, network, lost, journal
):
    page = browser.new_page()
    if not journal:
        page.add_init_script("delete window.Worker")
    awake(page, network.origin)
    adopt(page)
    page.evaluate(TAPS, [2, "run-1"])
    page.evaluate(DELETE_KEY.replace("STORE", lost))
    awake(page, network.origin)
    held = 0 if lost == "events" and not journal else 2
    assert len(page.evaluate(ALL_OF, "run-1")) == held
    assert page.evaluate("() => parts.log.waiting()") == 2
    if journal:
        assert page.evaluate("() => parts.identity.device.value.was") == "phone-a"
        assert page.evaluate("(draft) => parts.log.append(draft)", DRAFT)["number"] == 1
    else:
        assert page.evaluate("() => parts.identity.device.value") is None
        assert error_of(page, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"
    page.close()


def test_a_new_identity_starts_a_new_chain_and_keeps_the_old_records_queued(page):
    first = adopt(page, "phone-a")
    page.evaluate(TAPS, [2, "run-1"])
    second = adopt(page, "phone-b")
    assert first != second
    page.evaluate(TAPS, [3, "run-1"])
    events = page.evaluate(ALL_OF, "run-1")
    check_chain([e for e in events if e["source"] == "/devices/phone-a"], first)
    check_chain([e for e in events if e["source"] == "/devices/phone-b"], second)
    assert page.evaluate("() => parts.log.waiting()") == 5


def test_a_newer_pages_upgrade_is_let_through_and_taps_go_on_after_it(page):
    adopt(page)
    page.evaluate(TAPS, [1, "run-1"])
    page.evaluate(
        """() => new Promise((resolve, reject) => {
            const opening = indexedDB.open("vesselside", 2);
            opening.onblocked = () => reject(new Error("blocked"));
            opening.onsuccess = () => { opening.result.close(); resolve(); };
        })"""
    )
    assert page.evaluate("() => parts.log.logState.value") == "closed"
    # This page is now the older one: it must say that it could not save, not fall silent.
    assert error_of(page, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotSaved"
    assert page.evaluate("() => parts.log.logState.value") == "failed"


def test_an_upgrade_that_another_page_holds_up_is_shown_and_can_be_tried_again(browser, network, page):
    key = adopt(page)
    page.evaluate(TAPS, [2, "run-1"])
    page.evaluate(
        """() => new Promise((resolve) => {
            const opening = indexedDB.open("vesselside");
            opening.onsuccess = () => { window.held = opening.result; resolve(); };
        })"""
    )
    newer = browser.new_page()
    newer.add_init_script(
        """{
            const real = IDBFactory.prototype.open;
            IDBFactory.prototype.open = function (name, version) { return real.call(this, name, version + 1); };
        }"""
    )
    newer.goto(f"{network.origin}/")
    newer.wait_for_function("() => window.parts !== undefined")
    newer.evaluate(
        "(draft) => { window.tried = parts.log.append(draft).catch((error) => error.name); }", DRAFT
    )
    newer.wait_for_function("() => parts.log.logState.value === 'blocked'")
    assert newer.evaluate("() => window.tried") == "NotSaved"
    assert newer.evaluate("() => parts.log.logState.value") == "blocked"
    page.evaluate("() => window.held.close()")
    newer.evaluate("() => parts.log.reopen()")
    newer.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    events = newer.evaluate(ALL_OF, "run-1")
    assert len(events) == 3
    check_chain(events, key)
    newer.close()


def test_a_dead_handle_is_replaced_and_the_same_event_is_written_once(page):
    key = adopt(page)
    page.evaluate(TAPS, [1, "run-1"])
    page.evaluate(
        """() => {
            const real = IDBDatabase.prototype.transaction;
            let left = 1;
            IDBDatabase.prototype.transaction = function (...given) {
                if (given[1] === "readwrite" && left-- > 0) this.close();
                return real.apply(this, given);
            };
        }"""
    )
    event = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    events = page.evaluate(ALL_OF, "run-1")
    assert [held["id"] for held in events].count(event["id"]) == 1
    check_chain(events, key)


def test_a_commit_whose_answer_was_lost_is_not_written_twice(page):
    key = adopt(page)
    page.evaluate(TAPS, [1, "run-1"])
    page.evaluate(
        """() => {
            const real = IDBDatabase.prototype.transaction;
            let left = 1;
            IDBDatabase.prototype.transaction = function (...given) {
                const tx = real.apply(this, given);
                if (given[1] === "readwrite" && left-- > 0) {
                    tx.addEventListener("complete", (event) => {
                        event.stopImmediatePropagation();
                        tx.dispatchEvent(new Event("error"));
                    });
                }
                return tx;
            };
        }"""
    )
    page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    events = page.evaluate(ALL_OF, "run-1")
    assert len(events) == 2
    check_chain(events, key)
    assert page.evaluate("() => parts.log.waiting()") == 2


RECEIVE = """(given) => parts.log.receive({
    sent: [], results: [], cursor: "0000000000000009", offset: 0, at: Date.now(), ...given
})"""


def made_elsewhere(browser, network, run: str = "run-1", count: int = 2) -> list[dict]:
    """Events of another device, made at another origin so that this one has not got them."""
    with_own = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(with_own, "phone-z")
    events = with_own.evaluate(TAPS, [count, run])
    with_own.close()
    return events


def test_pulled_events_are_stored_once_with_cursor_and_clock(browser, network, page):
    adopt(page)
    events = made_elsewhere(browser, network)
    page.evaluate(RECEIVE, {"events": events})
    page.evaluate(RECEIVE, {"events": events})
    held = page.evaluate(ALL_OF, "run-1")
    assert held == sorted(events, key=lambda event: (event["hlc"], event["id"]))
    mine = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    assert mine["seen"] == "0000000000000009"
    assert mine["hlc"] > max(event["hlc"] for event in events)


def test_a_held_event_is_never_rewritten(page):
    adopt(page)
    mine = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    page.evaluate(RECEIVE, {"events": [{**mine, "data": {"text": "something else"}}]})
    assert page.evaluate(ALL_OF, "run-1") == [mine]


def test_a_clock_far_ahead_of_the_server_is_not_taken_over(browser, network, page):
    adopt(page)
    [event] = made_elsewhere(browser, network, count=1)
    now = page.evaluate("() => Date.now()")
    for minutes, taken in ((4, True), (6, False)):
        far = f"{now + minutes * 60_000:012x}-0000"
        page.evaluate(RECEIVE, {"events": [{**event, "id": f"far-{minutes}", "hlc": far}]})
        mine = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
        assert (mine["hlc"] > far) is taken


def test_the_servers_clock_decides_what_is_far_ahead(browser, network, page):
    """A phone whose own clock is an hour slow still follows its colleagues'."""
    adopt(page)
    [event] = made_elsewhere(browser, network, count=1)
    hour = 3_600_000
    ahead = f"{page.evaluate('() => Date.now()') + hour:012x}-0000"
    page.evaluate(RECEIVE, {"events": [{**event, "hlc": ahead}], "offset": hour})
    assert page.evaluate("(draft) => parts.log.append(draft)", DRAFT)["hlc"] > ahead


def test_only_a_result_that_names_it_takes_a_record_from_the_queue(page):
    adopt(page)
    made = page.evaluate(TAPS, [4, "run-1"])
    page.evaluate(
        """async ([first, second, third]) => {
            const sent = await parts.log.batch(500, 1e6);
            const results = [
                { id: first, status: "stored" },
                { id: second, status: "refused", problem: "malformed" },
                { id: third, status: "quarantined", problem: "signature-invalid" },
                { id: "nobody", status: "stored" },
            ];
            await parts.log.receive({
                sent, results, events: [], cursor: "0000000000000000", offset: 0, at: Date.now(),
            });
        }""",
        [event["id"] for event in made[:3]],
    )
    assert page.evaluate("() => parts.log.waiting()") == 1
    refusals = page.evaluate("() => parts.log.refused()")
    assert {(r["id"], r["kind"], r["problem"]) for r in refusals} == {
        (made[1]["id"], "refused", "malformed"),
        (made[2]["id"], "quarantined", "signature-invalid"),
    }
    held = {event["id"] for event in page.evaluate(ALL_OF, "run-1")}
    assert held == {made[0]["id"], made[1]["id"], made[3]["id"]}, "quarantine is kept but not folded"
    assert page.evaluate("(id) => parts.log.eventOf(id)", made[2]["id"]) == made[2]


def test_a_digest_is_that_of_the_records_page_over_what_the_server_has(browser, network, page):
    adopt(page)
    events = made_elsewhere(browser, network, count=5)
    page.evaluate(RECEIVE, {"events": events})
    page.evaluate(TAPS, [2, "run-1"])
    assert page.evaluate("() => parts.log.digest('run-1')") == digest_of(events)
    assert page.evaluate("() => parts.log.digest('run-none')") == hashlib.sha256(b"").hexdigest()


def test_every_tab_hears_of_a_record(browser, network, page):
    adopt(page)
    other = opened(browser, network.origin)
    other.evaluate("() => { window.heard = []; parts.log.onChange((change) => window.heard.push(change)); }")
    made = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    other.wait_for_function("() => window.heard.length > 0")
    heard = {"subjects": ["/runs/run-1"], "made": True, "events": [made["id"]]}
    assert other.evaluate("() => window.heard[0]") == heard
    other.close()


def test_runs_are_listed_newest_first(page):
    adopt(page)
    for run in ("run-1", "run-2"):
        page.evaluate(
            "(draft) => parts.log.append(draft)", {**DRAFT, "type": "run.opened", "subject": f"/runs/{run}"}
        )
    assert [row["run"] for row in page.evaluate("() => parts.log.runs()")] == ["run-2", "run-1"]
