"""Records on their way: the phone's loop against the real server, over a line that is cut, slow or hostile."""

import re
import threading
import time

from tests.pwa.chain import check_chain, digest_of
from tests.pwa.exchange import FILL, STATE, SYNC, WAITING, on_server, pushes, scripted_phone
from tests.pwa.house import ALL_OF, TAPS, Reply, enrol, error_of, opened, problem, until
from tests.pwa.line import connect


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


def test_a_carried_record_that_was_changed_on_the_way_is_not_taken(syncing, colleague, run):
    """The colleague's key came with the reference, so the phone can tell by itself."""
    syncing.evaluate("() => parts.api.refreshReference(() => Promise.resolve(true))")
    colleague.evaluate(TAPS, [2, run])
    text = colleague.evaluate("(run) => parts.log.exportRun(run)", run)
    script = "(text) => parts.log.importText(text)"
    for changed in (text.replace("tap 1", "tap 9"), re.sub(r'"signature":"..', '"signature":"AA', text)):
        assert changed != text
        assert error_of(syncing, script, changed)["code"] == "bad-signature"
    assert syncing.evaluate(ALL_OF, run) == []
    assert syncing.evaluate(script, text) == {"taken": 2, "held": 0}


def test_more_than_a_page_is_pulled_to_the_end(syncing, colleague, run):
    made = colleague.evaluate(FILL, [1200, run])
    colleague.evaluate(SYNC)
    until(colleague, "async () => (await parts.log.waiting()) === 0")
    syncing.evaluate(SYNC)
    until(syncing, f"async () => (await parts.log.eventsOf('{run}')).length === 1200")
    held = syncing.evaluate(ALL_OF, run)
    assert [event["id"] for event in held] == [event["id"] for event in made]
    assert syncing.evaluate(STATE)["trouble"] is None


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


def test_asking_for_a_run_that_nobody_has_holds_up_nothing(syncing, run):
    syncing.evaluate(TAPS, [1, run])
    for asked in ("nobody-has-this", "No Run's Id", "x" * 65):
        syncing.evaluate("(run) => parts.sync.fetchRun(run)", asked)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (0, None)
