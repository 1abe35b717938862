"""Records on their way: the phone's loop against the real server, over a line that is cut, slow or hostile."""

import shutil
import threading
import time

import pytest

from tests.living import Living
from tests.pwa.chain import check_chain, digest_of
from tests.pwa.house import (
    ALL_OF,
    DRAFT,
    TAPS,
    Reply,
    adopt,
    enrol,
    error_of,
    opened,
    problem,
    set_clock,
    until,
)
from tests.pwa.line import connect
from vesselside.core.clock import milliseconds
from vesselside.store import add_person, devices, reference

SYNC = "() => parts.sync.syncNow()"
STATE = "() => parts.sync.syncState.value"
WAITING = "() => parts.log.waiting()"
FILL = """([count, run]) => parts.log.appendAll([...Array(count).keys()].map((at) => ({
    type: "note.added", subject: `/runs/${run}`, person: "bern", data: { text: `reading ${at}` },
})))"""


@pytest.fixture
def run(request) -> str:
    """A run id that no other test uses on the shared server."""
    return f"run-{abs(hash(request.node.nodeid)) % 10**12}-{time.time_ns()}"


@pytest.fixture
def syncing(phone):
    """An enrolled phone whose loop runs."""
    phone.evaluate("() => { window.stop = parts.sync.startSync(); }")
    phone.wait_for_function("() => parts.sync.syncState.value.lastReached !== null")
    phone.evaluate(SYNC)
    return phone


@pytest.fixture
def colleague(browser, network, line, brewery):
    """A second phone: another host name, so another storage and other cookies, on the same line."""
    page = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    enrol(page, brewery, "Second phone")
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.lastReached !== null")
    yield page
    page.close()


def on_server(page, run: str) -> list[dict]:
    """A run's events as the server gives them out, without its own two attributes."""
    events = page.evaluate("(run) => parts.api.run(run).then(({ events }) => events)", run)
    return [
        {name: value for name, value in event.items() if name not in ("sequence", "recordedtime")}
        for event in events
    ]


def pushes(network) -> list[list[dict]]:
    """The events of every exchange that carried any."""
    bodies = [call.json() for call in network.calls if call.path == "/api/sync"]
    return [body["events"] for body in bodies if body["events"]]


def test_a_record_reaches_the_server_as_it_was_signed(syncing, run):
    made = syncing.evaluate(TAPS, [3, run])
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made
    key = syncing.evaluate(
        """async () => {
            const { id } = parts.identity.device.value;
            const { devices } = await parts.api.read("/api/reference", (value) => true);
            return devices.find((device) => device.id === id).key;
        }"""
    )
    check_chain(made, key)
    assert syncing.evaluate("(run) => parts.log.digest(run)", run) == digest_of(made)


def test_a_tap_goes_out_by_itself_soon_after(syncing, network, run):
    before = len(pushes(network))
    syncing.evaluate(TAPS, [5, run])
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    sent = [event["number"] for batch in pushes(network)[before:] for event in batch]
    assert sent == sorted(set(sent)), "in the order they were made, each once"


def test_two_phones_see_each_others_taps(syncing, colleague, run):
    mine = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    colleague.evaluate(SYNC)
    theirs = colleague.evaluate(TAPS, [2, run])
    colleague.evaluate(SYNC)
    syncing.evaluate(SYNC)
    both = sorted(mine + theirs, key=lambda event: (event["hlc"], event["id"]))
    for page in (syncing, colleague):
        held = page.evaluate(ALL_OF, run)
        assert [event["id"] for event in held] == [event["id"] for event in both]
    assert min(event["hlc"] for event in theirs) > max(event["hlc"] for event in mine)
    assert min(event["seen"] for event in theirs) > max(event["seen"] for event in mine)


def test_an_answer_cut_in_the_middle_is_asked_for_again_and_nothing_is_stored_twice(syncing, line, run):
    syncing.evaluate("() => window.stop()")
    made = syncing.evaluate(TAPS, [10, run])
    cuts = []

    def cut(called, reply):
        if called.path == "/api/sync" and len(cuts) < 3:
            cuts.append(called)
            reply.cut = True
        return reply

    line.spoil = cut
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    for _ in range(5):
        syncing.evaluate(SYNC)
    assert len(cuts) == 3
    assert syncing.evaluate(WAITING) == 0
    assert on_server(syncing, run) == made


def test_every_call_lost_on_the_way_leaves_the_record_waiting(syncing, line, run):
    line.down = True
    syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"], state["running"]) == (2, "no-network", False)
    line.down = False
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (0, None)


def test_a_captive_portal_is_no_network(syncing, line, run):
    line.bar = lambda _: Reply(200, b"<!doctype html><h1>Guest network</h1>", "text/html")
    syncing.evaluate(TAPS, [1, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (1, "no-network")


def test_a_server_killed_again_and_again_loses_and_doubles_nothing(page, network, own_brewery, run):
    line = connect(network, own_brewery.url)
    enrol(page, own_brewery)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate(
        f"""([run]) => {{
            window.made = [];
            window.tapping = (async () => {{
                while (!window.enough) {{
                    window.made.push(...await ({TAPS})([1, run]));
                    await new Promise((done) => setTimeout(done, 15));
                }}
            }})();
        }}""",
        [run],
    )
    for pause in (0.4, 0.15, 0.55):
        asked = threading.Event()
        line.bar = lambda called, asked=asked: asked.set() if called.path == "/api/sync" else None
        page.evaluate("() => { parts.sync.syncNow(); }")
        assert asked.wait(20)
        page.wait_for_timeout(pause * 100)
        own_brewery.kill()
        page.wait_for_timeout(300)
        own_brewery.start()
    line.bar = lambda _: None
    page.evaluate("() => { window.enough = true; return window.tapping; }")
    page.evaluate(SYNC)
    until(page, "async () => (await parts.log.waiting()) === 0")
    assert on_server(page, run) == page.evaluate("() => window.made")


def test_a_push_too_large_for_the_way_is_halved_until_it_fits(syncing, line, network, run):
    syncing.evaluate("() => window.stop()")
    made = syncing.evaluate(FILL, [120, run])
    line.bar = lambda called: (
        problem(413, "too-large")
        if called.path == "/api/sync" and len(called.json()["events"]) > 20
        else None
    )
    before = len(pushes(network))
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made
    assert [len(batch) for batch in pushes(network)[before:]][:4] == [120, 60, 30, 15]


def test_a_lone_record_too_large_is_set_aside_and_holds_up_nothing(syncing, line, run):
    syncing.evaluate("() => window.stop()")
    made = syncing.evaluate(TAPS, [5, run])
    line.bar = lambda called: (
        problem(413, "too-large")
        if called.path == "/api/sync" and made[2]["id"] in {event["id"] for event in called.json()["events"]}
        else None
    )
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    [refusal] = syncing.evaluate("() => parts.log.refused()")
    assert (refusal["id"], refusal["kind"], refusal["event"]) == (made[2]["id"], "refused", made[2])
    assert syncing.evaluate(STATE)["refused"] == 1
    line.bar = lambda _: None
    assert [event["id"] for event in on_server(syncing, run)] == [
        event["id"] for at, event in enumerate(made) if at != 2
    ]
    assert len(syncing.evaluate(ALL_OF, run)) == 5


def test_a_server_that_asks_for_time_gets_it(syncing, line, network, run):
    line.bar = lambda called: (
        problem(429, "rate-limited", **{"Retry-After": "2"}) if called.path == "/api/sync" else None
    )
    syncing.evaluate(TAPS, [1, run])
    syncing.evaluate(SYNC)
    assert syncing.evaluate(STATE)["trouble"] == "busy"
    line.bar = lambda _: None
    before = len(network.calls)
    for _ in range(5):
        syncing.evaluate(SYNC)
    assert len(network.calls) == before
    until(syncing, "async () => (await parts.log.waiting()) === 0")


def test_a_revoked_phone_keeps_everything_and_sends_it_once_enrolled_again(browser, syncing, brewery, run):
    made = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    browser.clear_cookies()
    made += syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (2, "enrol")
    made += syncing.evaluate(TAPS, [1, run])
    assert syncing.evaluate(WAITING) == 3, "the brewer goes on recording"
    enrol(syncing, brewery, "The same phone again")
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made
    assert syncing.evaluate(STATE)["trouble"] is None


def test_records_carried_by_another_phone_are_delivered_by_it(syncing, colleague, run):
    colleague.evaluate("() => window.stop()")
    made = colleague.evaluate(TAPS, [3, run])
    text = colleague.evaluate("(run) => parts.log.exportRun(run)", run)
    syncing.evaluate("(text) => parts.log.importText(text)", text)
    syncing.evaluate(SYNC)
    assert on_server(syncing, run) == made
    colleague.evaluate("() => { window.stop = parts.sync.startSync(); }")
    until(colleague, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made


def test_more_than_a_page_is_pulled_to_the_end(syncing, colleague, run):
    made = colleague.evaluate(FILL, [1200, run])
    colleague.evaluate(SYNC)
    until(colleague, "async () => (await parts.log.waiting()) === 0")
    syncing.evaluate(SYNC)
    until(syncing, f"async () => (await parts.log.eventsOf('{run}')).length === 1200")
    held = syncing.evaluate(ALL_OF, run)
    assert [event["id"] for event in held] == [event["id"] for event in made]
    assert syncing.evaluate(STATE)["trouble"] is None


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


def test_a_run_that_differs_is_fetched_whole(syncing, colleague, run):
    made = colleague.evaluate(TAPS, [4, run])
    colleague.evaluate(SYNC)
    syncing.evaluate(SYNC)
    syncing.evaluate(RAW, ["events", f'store.delete("{made[1]["id"]}")'])
    assert len(syncing.evaluate(ALL_OF, run)) == 3
    made += colleague.evaluate(TAPS, [1, run])
    colleague.evaluate(SYNC)
    syncing.evaluate(SYNC)
    until(syncing, f"async () => (await parts.log.eventsOf('{run}')).length === 5")
    assert syncing.evaluate("(run) => parts.log.digest(run)", run) == digest_of(made)


def test_a_server_put_back_to_an_earlier_state_gets_its_records_again(
    page, network, own_brewery: Living, tmp_path, run
):
    connect(network, own_brewery.url)
    enrol(page, own_brewery)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate(SYNC)
    own_brewery.stop()
    shutil.copy(tmp_path / "vesselside.sqlite3", tmp_path / "kept")
    own_brewery.start()
    made = page.evaluate(FILL, [30, run])
    page.evaluate(SYNC)
    assert on_server(page, run) == made
    own_brewery.stop()
    for leftover in tmp_path.glob("vesselside.sqlite3-*"):
        leftover.unlink()
    shutil.copy(tmp_path / "kept", tmp_path / "vesselside.sqlite3")
    own_brewery.start()
    page.evaluate(SYNC)
    until(page, "async () => (await parts.log.waiting()) === 0")
    page.evaluate(SYNC)
    assert on_server(page, run) == made


def test_a_forked_chain_ends_this_identity_and_no_record(syncing, run):
    """What a copied profile does: the same number is used twice."""
    made = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    syncing.evaluate(
        RAW,
        [
            "head",
            f"""const asked = store.get("mine");
            const back = {{ number: 1, hash: "{made[1]["prevhash"]}" }};
            asked.onsuccess = () => store.put({{ ...asked.result, ...back }}, "mine");""",
        ],
    )
    syncing.evaluate(RAW, ["events", f'store.delete("{made[1]["id"]}")'])
    syncing.reload()
    syncing.wait_for_function("() => window.parts !== undefined")
    syncing.evaluate("() => parts.identity.loadIdentity()")
    [forked] = syncing.evaluate(TAPS, [1, run])
    assert forked["number"] == 2
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    syncing.wait_for_function("() => parts.identity.device.value === null")
    assert syncing.evaluate(STATE)["trouble"] == "enrol"
    assert error_of(syncing, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"
    [aside] = syncing.evaluate("() => parts.log.refused()")
    assert (aside["id"], aside["kind"]) == (forked["id"], "quarantined")


def test_a_phone_whose_log_was_lost_learns_it_from_the_server(syncing, run):
    made = syncing.evaluate(TAPS, [3, run])
    syncing.evaluate(SYNC)
    syncing.evaluate("() => window.stop()")
    for event in made[1:]:
        syncing.evaluate(RAW, ["events", f'store.delete("{event["id"]}")'])
    back = {"number": 1, "hash": made[1]["prevhash"], "cursor": "0" * 16}
    syncing.evaluate(
        RAW,
        [
            "head",
            f"""const asked = store.get("mine");
            asked.onsuccess = () => store.put({{ ...asked.result, ...{back} }}, "mine");""",
        ],
    )
    syncing.reload()
    syncing.wait_for_function("() => window.parts !== undefined")
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    syncing.wait_for_function("() => parts.identity.device.value === null")
    assert syncing.evaluate(STATE)["trouble"] == "enrol"


def test_a_new_colleague_is_known_after_the_next_exchange(syncing, brewery: Living):
    with brewery.inside():
        add_person(
            reference.breweries()[0][0], "Nia", "starter", person=f"nia-{time.time_ns()}", pin="121212"
        )
    syncing.evaluate(SYNC)
    syncing.wait_for_function("() => parts.identity.people().some((person) => person.name === 'Nia')")


def test_the_phone_knows_how_far_its_clock_is_off(timed_phone, line):
    now = timed_phone.evaluate("() => Date.now()")
    set_clock(timed_phone, now - 7_200_000)
    timed_phone.evaluate("() => { window.stop = parts.sync.startSync(); }")
    timed_phone.wait_for_function("() => parts.sync.syncState.value.offset > 7_000_000")
    assert abs(timed_phone.evaluate(STATE)["offset"] - 7_200_000) < 60_000


def test_what_is_sent_says_the_phones_own_time(syncing, network):
    syncing.evaluate(SYNC)
    body = next(call.json() for call in reversed(network.calls) if call.path == "/api/sync")
    assert abs(milliseconds(body["clock"]) - time.time() * 1000) < 60_000


ANSWER = {
    "results": [],
    "events": [],
    "cursor": "0000000000000001",
    "more": False,
    "now": "2026-11-25T05:40:00.000Z",
    "digests": {},
    "withheld": [],
}


def scripted_phone(page, network, answer) -> None:
    """A phone whose server is the test's own script; the reference never changes."""
    network.answer = lambda called: (
        Reply(200, {**ANSWER, **answer(called.json())}) if called.path == "/api/sync" else Reply(304)
    )
    adopt(page)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate("() => parts.identity.loadIdentity()")


def test_a_run_the_server_holds_back_is_fetched_when_part_of_it_is_here(browser, page, network):
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(there, "phone-z")
    old = there.evaluate(TAPS, [3, "run-old"])
    there.close()
    asked = []

    def answer(body):
        asked.append(body.get("fetch", []))
        if "run-old" in body.get("fetch", []):
            return {"events": old, "digests": {"run-old": digest_of(old)}}
        if body["cursor"] == ANSWER["cursor"]:
            return {}
        return {
            "events": old[2:],
            "withheld": ["run-old", "run-never-seen"],
            "digests": {"run-old": digest_of(old)},
        }

    scripted_phone(page, network, answer)
    until(page, "async () => (await parts.log.eventsOf('run-old')).length === 3")
    assert ["run-old"] in asked
    assert not any("run-never-seen" in fetch for fetch in asked)
    page.evaluate(SYNC)
    assert page.evaluate("() => parts.sync.partialRuns()") == ["run-never-seen"]


def test_a_run_that_can_not_be_mended_is_told_and_not_fought_over(page, network):
    scripted_phone(page, network, lambda _: {"digests": {"run-1": "0" * 64}})
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'mismatch'")
    before = len(network.calls)
    page.wait_for_timeout(1500)
    assert len(network.calls) - before <= 1


def test_a_server_that_names_no_result_is_not_asked_in_a_frenzy(page, network):
    scripted_phone(page, network, lambda _: {"more": True})
    page.evaluate(TAPS, [1, "run-1"])
    page.wait_for_timeout(2500)
    assert len([call for call in network.calls if call.path == "/api/sync"]) <= 6
    assert page.evaluate(WAITING) == 1


def test_tabs_take_turns(browser, page, network):
    inside, most = [], []

    def answer(_body):
        inside.append(1)
        most.append(len(inside))
        time.sleep(0.15)
        inside.pop()
        return {}

    scripted_phone(page, network, answer)
    other = opened(browser, network.origin)
    other.evaluate("() => { window.stop = parts.sync.startSync(); }")
    for _ in range(6):
        for tab in (page, other):
            tab.evaluate("() => { parts.sync.syncNow(); }")
        page.wait_for_timeout(120)
    assert len(most) > 4
    assert max(most) == 1
    other.close()


def test_a_reference_that_needs_a_newer_core_is_not_taken_and_said_so(page, network):
    newer = {
        "version": "9",
        "minCore": "99.0",
        **{name: [] for name in ("procedures", "cautions", "vessels", "people", "recipes")},
        "settings": {},
    }
    scripted_phone(page, network, lambda _: {})
    sync = network.answer
    network.answer = lambda called: (
        Reply(200, newer, headers={"ETag": '"nine"'}) if called.path == "/api/reference" else sync(called)
    )
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'old-core'")
    page.evaluate(SYNC)
    assert page.evaluate(STATE)["trouble"] == "old-core"
    assert page.evaluate("() => parts.sync.reference.value") is None


def test_a_photo_is_sent_after_the_record_that_names_it(page, network):
    order = []

    def answer(called):
        order.append(called.path)
        if called.path == "/api/sync":
            results = [{"id": event["id"], "status": "stored"} for event in called.json()["events"]]
            return Reply(200, {**ANSWER, "results": results})
        return Reply(201, {}) if called.path.startswith("/api/photos/") else Reply(304)

    network.answer = answer
    adopt(page)
    kept = page.evaluate(
        """async () => {
            const canvas = new OffscreenCanvas(3000, 20);
            canvas.getContext("2d").fillRect(0, 0, 5, 5);
            const kept = await parts.log.keepPhoto(await canvas.convertToBlob({ type: "image/png" }));
            await parts.log.append({ type: "photo.added", subject: "/runs/run-1", person: "ada", data: kept });
            return kept;
        }"""
    )
    assert kept["mime"] == "image/jpeg"
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    until(page, "async () => (await parts.log.unsentPhotos()).length === 0")
    photo = next(call for call in network.calls if call.path == f"/api/photos/{kept['sha256']}")
    assert photo.headers["content-type"] == "image/jpeg"
    assert len(photo.body) == kept["bytes"]
    assert b"Exif" not in photo.body
    assert order.index("/api/sync") < order.index(photo.path)


def test_the_phone_says_whether_its_storage_is_kept(browser, page, network):
    cdp = browser.new_cdp_session(page)
    permission = {"permission": {"name": "persistent-storage"}, "origin": network.origin}
    cdp.send("Browser.setPermission", {**permission, "setting": "granted"})
    scripted_phone(page, network, lambda _: {})
    page.wait_for_function("() => parts.sync.syncState.value.storage === 'persistent'")


def test_refused_storage_is_said_too(browser, page, network):
    cdp = browser.new_cdp_session(page)
    permission = {"permission": {"name": "persistent-storage"}, "origin": network.origin}
    cdp.send("Browser.setPermission", {**permission, "setting": "denied"})
    scripted_phone(page, network, lambda _: {})
    page.wait_for_function("() => parts.sync.syncState.value.storage === 'refused'")


def test_asking_while_the_enrolment_is_being_lost_is_answered_too(page, network):
    def answer(called):
        time.sleep(0.3)
        return problem(401, "not-enrolled") if called.path == "/api/sync" else Reply(304)

    network.answer = answer
    adopt(page)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.running")
    page.evaluate(SYNC)
    page.evaluate(SYNC)
    assert page.evaluate(STATE)["trouble"] == "enrol"


def test_a_device_is_revoked_for_good(syncing, brewery: Living, run):
    device = syncing.evaluate("() => parts.identity.device.value.id")
    with brewery.inside():
        devices.revoke(reference.breweries()[0][0], device, "lost", by="mara")
    syncing.evaluate(TAPS, [1, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (1, "enrol")
