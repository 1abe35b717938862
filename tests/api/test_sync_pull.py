"""Pulling: the cursor never skips, old runs are withheld, `fetch` brings them whole."""

import json
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.api.outside import START, Phone, digest_of, hash_of, instant, new_run
from tests.living import Living
from vesselside import store
from vesselside.store.site import founding

DAY = 86_400_000


def ids(events):
    return [event["id"] for event in events]


def test_another_phone_gets_what_was_pushed_in_order_of_sequence(phone, other, run):
    events = [phone.make(run) for _ in range(5)]
    phone.push(events)
    pulled = [event for event in other.pull(limit=2) if event["subject"] == f"/runs/{run}"]
    assert ids(pulled) == ids(events)
    assert [hash_of(event) for event in pulled] == [hash_of(event) for event in events]
    assert all(event["recordedtime"].endswith("Z") for event in pulled)
    assert other.exchange().json()["events"] == []


def test_what_was_pushed_in_this_request_is_passed_by_the_cursor(phone, run):
    phone.pull()
    answer = phone.exchange([phone.make(run) for _ in range(3)]).json()
    mine = [row["sequence"] for row in answer["results"]]
    assert set(mine).isdisjoint(event["sequence"] for event in answer["events"])
    assert answer["cursor"] >= max(mine)


def test_a_push_alone_moves_no_cursor_past_others_events(phone, other, run):
    phone.pull()
    theirs = [other.make(run) for _ in range(4)]
    other.push(theirs)
    answer = phone.exchange([phone.make(run)], limit=1).json()
    assert answer["more"] is True
    assert answer["cursor"] < answer["results"][0]["sequence"]
    seen = ids(answer["events"])
    while answer["more"]:
        phone.cursor = answer["cursor"]
        answer = phone.exchange(limit=1).json()
        seen += ids(answer["events"])
    assert [event for event in seen if event in ids(theirs)] == ids(theirs)


def test_the_same_cursor_gives_the_same_events_again(phone, other, run):
    other.pull()
    phone.push([phone.make(run)])
    assert other.exchange().json()["events"] == other.exchange().json()["events"]


def test_administration_is_pulled_and_chained_by_the_server(phone):
    admin = [event for event in phone.pull() if event["source"] == "/server"]
    assert {event["subject"] for event in admin} == {"/admin"}
    kinds = {event["type"] for event in admin}
    assert {"person.changed", "device.enrolled", "procedure.published"} <= kinds
    by_number = {event["number"]: event for event in admin}
    assert sorted(by_number) == list(range(1, len(admin) + 1))
    for number in range(2, len(admin) + 1):
        assert by_number[number]["prevhash"] == hash_of(by_number[number - 1])


@pytest.mark.parametrize(
    "change",
    [
        {"cursor": "12"},
        {"cursor": 0},
        {"cursor": None},
        {"cursor": "000000000000000x"},
        {"cursor": "9" * 16},
        {"limit": 0},
        {"limit": 501},
        {"limit": "5"},
        {"limit": True},
        {"events": {}},
        {"fetch": "run"},
        {"fetch": ["Not A Run"]},
        {"fetch": ["a"] * 21},
        {"clock": "noon"},
    ],
    ids=json.dumps,
)
def test_a_bad_shape_or_cursor_is_422_and_stores_nothing(phone, run, change):
    event = phone.make(run)
    body = {"cursor": START, "events": [event], **change}
    answer = phone.post("/api/sync", body)
    assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid")
    assert phone.get(f"/api/runs/{run}").status_code == 404


def test_no_cursor_or_no_object_is_422(phone):
    assert phone.post("/api/sync", {"events": []}).status_code == 422
    assert phone.post("/api/sync", []).status_code == 422
    assert (
        phone.send("/api/sync", b'{"cursor": "0000000000000000", "cursor": "0000000000000000"}').status_code
        == 422
    )


@pytest.mark.parametrize("body", [b"", b"{", b"\xff\xfe", b"not json", b'{"a": 1} {'])
def test_what_is_no_json_is_400(phone, body):
    answer = phone.send("/api/sync", body)
    assert (answer.status_code, answer.json()["type"]) == (400, "urn:vesselside:malformed")


def test_too_much_at_once_is_413_and_the_half_goes_through(phone, run):
    many = [phone.make(run) for _ in range(501)]
    assert phone.exchange(many).status_code == 413
    big = [phone.make(run, data={"text": "x" * 50_000}) for _ in range(6)]
    answer = phone.exchange(big)
    assert (answer.status_code, answer.json()["type"]) == (413, "urn:vesselside:too-large")
    assert {row["status"] for row in phone.push(big[:3])} == {"stored"}


def test_unknown_fields_are_ignored(phone, run):
    assert phone.push([phone.make(run)], mood="sunny")[0]["status"] == "stored"


def test_the_device_cookie_is_renewed_by_each_sync(phone):
    cookie = phone.exchange().headers["Set-Cookie"]
    assert cookie.startswith("vesselside-device=")
    assert "Max-Age=34560000" in cookie


class TestOldRuns:
    """A run closed 20 days ago, received then; see `KEPT_DAYS`."""

    @pytest.fixture
    def old(self, server: Living, phone: Phone):
        """A phone whose run was closed and received 20 days ago."""
        run, then = new_run(), int(time.time() * 1000) - 20 * DAY
        events = []
        for at, (kind, data) in enumerate(
            [("note.added", {"text": "first"}), ("run.abandoned", {"reason": "tea", "left": "soiled"})]
        ):
            moment = {"time": instant(then + at), "hlc": f"{then + at:012x}-0000"}
            events.append(phone.make(run, kind, data, **moment))
        with server.inside():
            results = store.ingest(founding.breweries()[0][0], events, device_id=phone.id, now=then + 1000)
        assert [row["status"] for row in results] == ["stored", "stored"]
        return run, events

    def test_it_is_withheld_and_named(self, old, other):
        run, events = old
        withheld, more = [], True
        pulled = []
        while more:
            answer = other.exchange().json()
            withheld += answer["withheld"]
            pulled += answer["events"]
            other.cursor, more = answer["cursor"], answer["more"]
        assert run in withheld
        assert set(ids(pulled)).isdisjoint(ids(events))

    def test_fetch_brings_it_whole(self, old, other):
        run, events = old
        other.pull()
        answer = other.exchange(fetch=[run]).json()
        assert [event for event in ids(answer["events"]) if event in ids(events)] == ids(events)
        assert run not in answer["withheld"]
        assert answer["digests"][run] == digest_of(events)

    def test_a_new_event_of_it_is_sent_and_the_run_named(self, old, phone, other):
        run, events = old
        other.pull()
        late = phone.make(run)
        phone.push([late])
        answer = other.exchange().json()
        assert late["id"] in ids(answer["events"])
        assert set(ids(answer["events"])).isdisjoint(ids(events))
        assert run in answer["withheld"]

    def test_a_run_that_is_open_is_never_withheld(self, server, phone, other):
        run, then = new_run(), int(time.time() * 1000) - 40 * DAY
        event = phone.make(run, time=instant(then), hlc=f"{then:012x}-0000")
        with server.inside():
            store.ingest(founding.breweries()[0][0], [event], device_id=phone.id, now=then)
        assert event["id"] in ids(other.pull())


CLIENTS = 8
ROUNDS = 12
BATCH = 7


def test_eight_clients_at_once_lose_double_and_skip_nothing(server, enrol):
    """Each pushes its own chain in small batches and pulls as it goes, all into the same few runs."""
    phones = [enrol() for _ in range(CLIENTS)]
    for phone in phones:
        phone.pull()
    runs = [new_run() for _ in range(3)]
    begin = threading.Barrier(CLIENTS)
    made: dict[str, list[str]] = {}
    sequences: list[str] = []

    def work(phone: Phone) -> None:
        begin.wait()
        mine = []
        for turn in range(ROUNDS):
            events = [phone.make(runs[(turn + at) % 3]) for at in range(BATCH)]
            answer = phone.exchange(events, limit=5)
            while answer.status_code == 503:
                answer = phone.exchange(events, limit=5)
            body = answer.json()
            assert {row["status"] for row in body["results"]} <= {"stored", "repeat"}, body["results"]
            sequences.extend(row["sequence"] for row in body["results"])
            mine += ids(events)
            phone.pulled += body["events"]
            phone.cursor = body["cursor"]
        made[phone.id] = mine

    with ThreadPoolExecutor(CLIENTS) as pool:
        list(pool.map(work, phones))
    for phone in phones:
        phone.pull()

    everything = {event for mine in made.values() for event in mine}
    assert len(everything) == CLIENTS * ROUNDS * BATCH
    assert len(sequences) == len(set(sequences)) == len(everything)
    for phone in phones:
        pulled = [event["id"] for event in phone.pulled if event["id"] in everything]
        assert len(pulled) == len(set(pulled))
        assert set(pulled) | set(made[phone.id]) == everything
    held = [event for run in runs for event in phones[0].get(f"/api/runs/{run}").json()["events"]]
    assert sorted(ids(held)) == sorted(everything)
    by_number = {(event["source"], event["number"]): event for event in held}
    for (source, number), event in by_number.items():
        if number > 1:
            assert event["prevhash"] == hash_of(by_number[(source, number - 1)])
