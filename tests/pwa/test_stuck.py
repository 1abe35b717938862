"""Nothing stuck on the way: a slow line, a record no server can take, a passing refusal, a clock that leapt."""

import socket
import threading
import time
from datetime import timedelta

import pytest

from tests.living import PINS
from tests.pwa.exchange import ANSWER, FILL, STATE, SYNC, WAITING, on_server, pushes, scripted_phone
from tests.pwa.house import TAPS, Called, Reply, adopt, problem, set_clock, until

SENT = "async () => (await parts.log.waiting()) === 0"
HEAD = "() => parts.log.headNow()"
SIGN_IN = "([person, secret]) => parts.identity.signIn(person, secret)"
MADE = """([type, run, data]) => parts.log.append({ type, subject: `/runs/${run}`, person: "bern", data })"""
START = "() => { window.stop = parts.sync.startSync(); }"
YEAR = 366 * 86_400_000
MINUTE = 60_000
HEARD = """() => {
    const set = window.setTimeout;
    window.heard = 0;
    window.setTimeout = (call, wait, ...more) => {
        if (wait > 10_000) window.heard += 1;
        return set(call, wait, ...more);
    };
}"""


def stamp(event: dict) -> int:
    return int(event["hlc"][:12], 16)


def accepted(body: dict) -> dict:
    return {"results": [{"id": event["id"], "status": "stored"} for event in body.get("events", [])]}


def test_what_a_slow_line_gives_up_is_tried_with_half_as_much_each_way(timed_page, network):
    """The server below takes for ever over more than 30 records; the clock is the test's own."""
    open_again = threading.Event()
    scripted_phone(timed_page, network, accepted)
    timed_page.evaluate("() => window.stop()")

    def answer(called: Called) -> Reply:
        if called.path != "/api/sync":
            return Reply(304)
        if len(called.json()["events"]) > 30:
            open_again.wait(60)
        return Reply(200, {**ANSWER, **accepted(called.json())})

    network.answer = answer
    timed_page.evaluate(FILL, [100, "slow"])
    before = len(pushes(network))
    timed_page.evaluate(START)
    for count in (100, 50):
        reached(network, before, count)
        timed_page.clock.run_for(31_000)
        timed_page.wait_for_function("() => parts.sync.syncState.value.trouble === 'no-network'")
        timed_page.evaluate("() => { parts.sync.syncNow(); }")
        before += 1
    for _ in range(100):
        timed_page.clock.run_for(1_000)
        timed_page.wait_for_timeout(50)
        if timed_page.evaluate(WAITING) == 0:
            break
    assert timed_page.evaluate(WAITING) == 0
    assert [len(batch) for batch in pushes(network)[:3]] == [100, 50, 25]
    asked = [call.json()["limit"] for call in network.calls if call.path == "/api/sync"]
    assert 125 in asked
    open_again.set()


def reached(network, before: int, count: int) -> None:
    end = time.monotonic() + 20
    while time.monotonic() < end:
        if len(pushes(network)) > before and len(pushes(network)[before]) == count:
            return
        time.sleep(0.05)
    raise AssertionError([len(batch) for batch in pushes(network)])


def test_an_answer_that_keeps_coming_is_no_slow_line(timed_page, network):
    """Half a minute is for when nothing moves: an answer that takes two is read to its end."""
    step = threading.Semaphore(0)
    body = b'{"vessels": [], "fill": "' + b"x" * 400_000 + b'"}'
    network.answer = lambda _: Reply(200, body, slow=step)
    timed_page.evaluate(HEARD)
    timed_page.evaluate("() => { window.asked = parts.api.vessels(); }")
    in_parts(timed_page, step, 8)
    assert timed_page.evaluate("() => window.asked") == []


def test_a_photo_on_a_slow_line_has_the_time_it_needs(timed_page, network):
    """Four of eight parts take twenty seconds each: more than it would have if its progress were not seen.

    It is larger than a photo may be, since a machine's own sockets would swallow one whole, as they do the last parts.
    """
    step = threading.Semaphore(0)
    network.answer = lambda _: Reply(201, {"sha256": "ab", "bytes": 1})
    network.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 65_536)
    network.slow_in = step
    timed_page.evaluate(HEARD)
    timed_page.evaluate(
        """() => { window.asked = parts.api.sendPhoto("ab", new Blob([new Uint8Array(16 * 1024 * 1024)],
            { type: "image/jpeg" })).then(() => "sent", (error) => error.message); }"""
    )
    in_parts(timed_page, step, 4)
    assert timed_page.evaluate("() => window.asked") == "sent"


def in_parts(page, step: threading.Semaphore, parts: int) -> None:
    """Lets a part through, and twenty seconds go by only when the page has heard of it: its limit was set anew."""
    for _ in range(parts):
        before = page.evaluate("() => window.heard")
        step.release()
        page.wait_for_function("before => window.heard > before", arg=before)
        page.clock.run_for(20_000)
    step.release(100)


@pytest.mark.parametrize("status", [500, 400])
def test_a_record_that_no_server_can_take_goes_after_the_others_and_is_told(syncing, line, run, status):
    syncing.evaluate("() => window.stop()")
    made = syncing.evaluate(TAPS, [6, run])
    bad = made[2]["id"]
    line.bar = lambda called: (
        problem(status, "invalid")
        if called.path == "/api/sync" and bad in {event["id"] for event in called.json()["events"]}
        else None
    )
    syncing.evaluate(START)
    until(syncing, "async () => (await parts.log.waiting()) === 1")
    assert [event["id"] for event in on_server(syncing, run)] == [e["id"] for e in made if e["id"] != bad]
    syncing.wait_for_function("() => parts.sync.syncState.value.undigested.length === 1")
    assert syncing.evaluate(STATE)["undigested"] == [bad]
    later = syncing.evaluate(TAPS, [1, run])
    until(syncing, "async () => (await parts.log.waiting()) === 1")
    assert later[0]["id"] in {event["id"] for event in on_server(syncing, run)}
    line.bar = lambda _: None
    syncing.evaluate(SYNC)
    until(syncing, SENT)
    assert {event["id"] for event in on_server(syncing, run)} == {e["id"] for e in [*made, *later]}
    syncing.wait_for_function("() => parts.sync.syncState.value.undigested.length === 0")


def test_a_refusal_that_passes_does_not_keep_the_phone_from_sending(syncing, line, run):
    refused = []

    def once(called: Called) -> Reply | None:
        if called.path not in ("/api/sync", "/api/devices/known") or len(refused) > 3:
            return None
        refused.append(called.path)
        return problem(401, "not-enrolled")

    line.bar = once
    syncing.evaluate(TAPS, [1, run])
    syncing.wait_for_function("() => parts.sync.syncState.value.trouble === 'enrol'")
    until(syncing, SENT)
    assert len(refused) > 3
    syncing.wait_for_function("() => parts.sync.syncState.value.trouble === null")


def test_a_phone_goes_back_twice_in_one_life_of_its_page(page, network):
    """A server that calls the cursor invalid, is gone back with, and does so again."""
    bad: list[str] = []

    def answer(called: Called) -> Reply:
        if called.path != "/api/sync":
            return Reply(304)
        cursor = called.json()["cursor"]
        if cursor in bad:
            return problem(422, "invalid")
        return Reply(200, {**ANSWER, "cursor": f"{max(int(cursor) + 1, 7):016d}"})

    network.answer = answer
    adopt(page)
    page.evaluate(START)
    page.evaluate("() => parts.identity.loadIdentity()")
    for _ in range(2):
        page.evaluate(SYNC)
        bad[:] = [page.evaluate(HEAD)["cursor"]]
        page.evaluate(SYNC)
        until(page, f"async () => (await parts.log.headNow()).cursor !== '{bad[0]}'")
        page.evaluate(SYNC)
        until(page, "() => parts.sync.syncState.value.trouble === null")


def test_a_clock_set_back_a_year_does_not_put_the_exchange_off(timed_page, network):
    scripted_phone(timed_page, network, accepted)
    now = timed_page.evaluate("() => Date.now()")
    set_clock(timed_page, now - YEAR)
    timed_page.evaluate(TAPS, [1, "back"])
    timed_page.clock.run_for(5_000)
    until(timed_page, SENT)


def test_a_time_too_long_for_a_timer_is_no_frenzy(page, network):
    """A browser runs a timer beyond 24.8 days at once."""
    network.answer = lambda _: problem(503, "unavailable", **{"Retry-After": str(40 * 86_400)})
    adopt(page)
    page.evaluate(START)
    page.evaluate("() => parts.identity.loadIdentity()")
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'busy'")
    page.evaluate(
        """() => { window.timers = 0; const set = window.setTimeout;
        window.setTimeout = (...given) => { window.timers += 1; return set(...given); }; }"""
    )
    page.evaluate(TAPS, [1, "long"])
    page.wait_for_timeout(1_500)
    assert page.evaluate("() => window.timers") < 20
    assert len([call for call in network.calls if call.path == "/api/sync"]) == 1


@pytest.fixture
def leapt(timed_phone, run):
    """A phone whose clock was a year ahead while it recorded the opening of a run; the time it is."""
    now = timed_phone.evaluate("() => Date.now()")
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["ok"]
    set_clock(timed_phone, now + YEAR)
    made = timed_phone.evaluate(MADE, ["run.opened", run, opening(timed_phone)])
    assert abs(stamp(made) - now - YEAR) < MINUTE
    set_clock(timed_phone, now)
    timed_phone.evaluate(START)
    timed_phone.evaluate("() => parts.identity.loadIdentity()")
    return now


def opening(page) -> dict:
    procedure = page.evaluate("() => parts.api.reference.value.procedures[0]")
    named = {name: procedure[name] for name in ("version", "sha256")}
    return {**named, "procedure": procedure["id"], "vessel": "fv1", "inputs": {}}


def test_a_clock_that_leapt_is_set_back_once_no_run_with_its_stamps_is_open(timed_phone, leapt, run):
    timed_phone.evaluate(SYNC)
    head = timed_phone.evaluate(HEAD)
    assert head["leapt"]["ahead"] == pytest.approx(YEAR, abs=MINUTE)
    told = timed_phone.evaluate(STATE)["leapt"]
    assert told["ahead"] == pytest.approx(YEAR, abs=MINUTE)
    after = timed_phone.evaluate(MADE, ["note.added", run, {"text": "in the run"}])
    assert stamp(after) >= leapt + YEAR, "within a run no record goes before an earlier one"
    timed_phone.evaluate(MADE, ["run.abandoned", run, {"reason": "enough", "left": "soiled"}])
    timed_phone.evaluate(SYNC)
    until(timed_phone, SENT)
    other = timed_phone.evaluate(MADE, ["note.added", f"{run}-b", {"text": "in another"}])
    assert abs(stamp(other) - leapt) < 10 * MINUTE
    found = timed_phone.evaluate("(run) => parts.api.run(run)", run)["run"]
    assert found["status"] == "abandoned"
    assert {row["code"] for row in found["findings"]} >= {"clock-ahead"}


def test_a_clock_that_leapt_does_not_end_with_a_new_enrolment(timed_phone, leapt, brewery, run):
    timed_phone.evaluate("() => window.stop()")
    timed_phone.evaluate("([code]) => parts.identity.enrol(code, 'Again')", [brewery.code("Again")])
    made = timed_phone.evaluate(MADE, ["note.added", f"{run}-c", {"text": "as a new device"}])
    assert abs(stamp(made) - leapt) < 10 * MINUTE


def test_a_stamp_known_to_have_leapt_ends_no_verifier(timed_phone, leapt, line):
    timed_phone.evaluate(SYNC)
    timed_phone.evaluate("() => window.stop()")
    line.down = True
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["ok"] is True
    set_clock(timed_phone, leapt + timedelta(days=15) // timedelta(milliseconds=1))
    timed_phone.evaluate(MADE, ["note.added", "later", {"text": "two weeks on"}])
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["why"] == "lapsed"


def test_a_clock_that_is_still_wrong_is_told_by_the_offices_time(timed_phone, run):
    now = timed_phone.evaluate("() => Date.now()")
    set_clock(timed_phone, now + YEAR)
    timed_phone.evaluate(MADE, ["note.added", run, {"text": "a year too soon"}])
    timed_phone.evaluate(START)
    timed_phone.evaluate("() => parts.identity.loadIdentity()")
    timed_phone.evaluate(SYNC)
    until(timed_phone, SENT)
    told = timed_phone.evaluate(STATE)["leapt"]
    assert told["at"] == pytest.approx(now, abs=5 * MINUTE)
    assert told["ahead"] == pytest.approx(YEAR, abs=5 * MINUTE)
