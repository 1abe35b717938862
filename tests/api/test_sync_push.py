"""Pushing: what is stored, repeated, quarantined or refused, and that one bad event holds up nothing."""

import json

import pytest

from tests.api.outside import ZERO, Key, Phone, digest_of, hash_of, new_run, uuid7


def statuses(results):
    return [(result["status"], result.get("problem")) for result in results]


def test_a_push_is_stored_and_a_repeat_says_so(phone, run):
    events = [phone.make(run) for _ in range(3)]
    first = phone.push(events)
    again = phone.push(events)
    assert [row["id"] for row in first] == [event["id"] for event in events]
    assert statuses(first) == [("stored", None)] * 3
    assert statuses(again) == [("repeat", None)] * 3
    assert [row["sequence"] for row in again] == [row["sequence"] for row in first]
    assert all(len(row["sequence"]) == 16 and row["sequence"].isdigit() for row in first)


def test_one_event_twice_in_one_push_is_stored_once(phone, run):
    event = phone.make(run)
    assert statuses(phone.push([event, event])) == [("stored", None), ("repeat", None)]


def test_out_of_order_holds_up_nothing_and_the_gap_closes(phone, run):
    one, two, three = (phone.make(run) for _ in range(3))
    assert statuses(phone.push([one, three])) == [("stored", None)] * 2
    gaps = [row for row in phone.get(f"/api/runs/{run}").json()["run"]["findings"] if row["code"] == "gap"]
    assert [row["event"] for row in gaps] == [three["id"]]
    assert statuses(phone.push([two])) == [("stored", None)]
    answer = phone.get(f"/api/runs/{run}").json()
    assert [row for row in answer["run"]["findings"] if row["code"] == "gap"] == []
    assert [event["id"] for event in answer["events"]] == [one["id"], three["id"], two["id"]]


def test_a_late_predecessor_that_its_successor_contradicts_is_quarantined(phone, run):
    one, _two, three = (phone.make(run) for _ in range(3))
    forged = phone.key.sign({**phone.draft(run), "number": 2, "prevhash": hash_of(one)})
    assert statuses(phone.push([one, three])) == [("stored", None)] * 2
    assert statuses(phone.push([forged])) == [("quarantined", "chain-broken")]


def test_what_the_server_sets_is_not_part_of_the_event(phone, run):
    event = phone.make(run)
    dressed = {**event, "sequence": "0000000000000001", "recordedtime": "2020-01-01T00:00:00.000Z"}
    (stored,) = phone.push([dressed])
    assert stored["status"] == "stored"
    assert stored["sequence"] != "0000000000000001"
    assert statuses(phone.push([event])) == [("repeat", None)]


REFUSED = {
    "no object": "just words",
    "a list": [1],
    "null": None,
    "no id": {"type": "note.added"},
    "an id that is no id": {"id": "Not An Id", "type": "note.added"},
    "a float": {"id": "x1", "data": {"value": 4.75}},
    "too large a number": {"id": "x2", "data": {"value": 2**53}},
    "U+0000": {"id": "x3", "data": {"text": "a\x00b"}},
    "half a surrogate pair": {"id": "x4", "data": {"text": "\ud800"}},
    "nested 9 deep": {"id": "x5", "data": [[[[[[[["deep"]]]]]]]]},
    "nested 5000 deep": '{"id": "x6", "data": ' + "[" * 5000 + "]" * 5000 + "}",
    "a key twice": '{"id": "x7", "id": "x8"}',
    "a key twice, deep": '{"id": "x9", "data": {"list": [{"a": 1, "a": 1}]}}',
    "not a number": '{"id": "x10", "data": {"value": NaN}}',
    "infinity": '{"id": "x11", "data": {"value": -Infinity}}',
    "a number of 5000 digits": '{"id": "x12", "data": {"value": ' + "9" * 5000 + "}}",
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_cannot_be_stored_is_refused_alone(phone, run, what):
    before, after = phone.make(run), phone.make(run)
    bad = REFUSED[what]
    text = bad if isinstance(bad, str) and bad.startswith("{") else json.dumps(bad)
    body = f'{{"cursor": "{phone.cursor}", "events": [{json.dumps(before)}, {text}, {json.dumps(after)}]}}'
    answer = phone.send("/api/sync", body.encode())
    assert answer.status_code == 200, answer.text
    results = answer.json()["results"]
    assert statuses(results) == [("stored", None), ("refused", "malformed"), ("stored", None)]
    assert "sequence" not in results[1]
    assert results[1]["text"]


def test_one_oversize_event_amid_good_ones_is_refused_alone(phone, run):
    events = [phone.make(run), phone.make(run, data={"text": "x" * 70_000}), phone.make(run)]
    results = phone.push(events)
    assert statuses(results) == [("stored", None), ("refused", "too-large"), ("stored", None)]
    assert results[1]["id"] == events[1]["id"]


def test_a_lone_oversize_event_is_refused_and_not_a_failure(phone, run):
    event = phone.make(run, data={"text": "x" * 300_000})
    assert statuses(phone.push([event])) == [("refused", "too-large")]


def test_an_event_just_within_the_limit_is_stored(phone, run):
    event = phone.make(run, data={"text": "x" * 60_000})
    assert statuses(phone.push([event])) == [("stored", None)]


def test_numbers_of_whole_value_are_stored_however_they_are_written(phone, run):
    """RFC 8785 writes 5.0 and 5 the same, so the signature holds over both."""
    event = phone.make(run, data={"value": 5})
    text = json.dumps(event).replace('{"value": 5}', '{"value": 5.0}')
    answer = phone.send("/api/sync", f'{{"cursor": "{phone.cursor}", "events": [{text}]}}'.encode())
    assert statuses(answer.json()["results"]) == [("stored", None)]


def test_text_that_traps_canonical_json_is_stored_and_comes_back_whole(phone, other, run):
    data = {
        "€": "Euro",
        "\r": "return",
        "דּ": "Hebrew",
        "1": "one",
        "😀": "face",
        "\u0080": "control",
        "ö": '\\"/\b\f\n\t',
    }
    event = phone.make(run, data=data)
    assert statuses(phone.push([event])) == [("stored", None)]
    (pulled,) = [row for row in other.pull() if row["id"] == event["id"]]
    assert pulled["data"] == data
    assert hash_of(pulled) == hash_of(event)


def tampered(phone: Phone, run: str):
    event = phone.make(run)
    return {**event, "data": {"text": "changed on the way"}}, "signature-invalid"


def no_signature(phone: Phone, run: str):
    event = phone.make(run)
    del event["signature"]
    return event, "signature-invalid"


def padded_signature(phone: Phone, run: str):
    event = phone.make(run)
    return {**event, "signature": event["signature"] + "=="}, "signature-invalid"


def zero_signature(phone: Phone, run: str):
    return {**phone.make(run), "signature": "A" * 86}, "signature-invalid"


def wrong_prevhash(phone: Phone, run: str):
    phone.push([phone.make(run)])
    return phone.make(run, prevhash="1" * 64), "chain-broken"


def first_with_a_past(phone: Phone, run: str):
    return phone.make(run, prevhash="1" * 64), "chain-broken"


def number_again(phone: Phone, run: str):
    first = phone.make(run)
    phone.push([first])
    return phone.make(run, number=1, prevhash=ZERO), "number-reused"


def id_again(phone: Phone, run: str):
    first = phone.make(run)
    phone.push([first])
    return phone.make(run, id=first["id"]), "id-reused"


def anothers_source(phone: Phone, run: str):
    return phone.make(run, source=f"/devices/{uuid7()}"), "source-mismatch"


def administration(phone: Phone, run: str):
    data = {"person": "bern", "role": "manager", "status": "active"}
    return phone.make(run, "person.changed", data, subject="/admin"), "invalid"


def bad_time(phone: Phone, run: str):
    return phone.make(run, time="yesterday"), "invalid"


def no_number(phone: Phone, run: str):
    return phone.make(run, number="one"), "invalid"


QUARANTINED = [
    tampered,
    no_signature,
    padded_signature,
    zero_signature,
    wrong_prevhash,
    first_with_a_past,
    number_again,
    id_again,
    anothers_source,
    administration,
    bad_time,
    no_number,
]


@pytest.mark.parametrize("make", QUARANTINED, ids=lambda make: make.__name__)
def test_what_is_not_to_be_believed_is_kept_apart(phone, other, desk, run, make):
    event, problem = make(phone, run)
    (first,) = phone.push([event])
    (again,) = phone.push([event])
    assert (first["status"], first["problem"]) == ("quarantined", problem)
    assert again == {**first, "text": again["text"]}
    assert event["id"] not in [row["id"] for row in other.pull() if row["number"] == event.get("number")]
    shown = desk.get("/api/desk/quarantine", limit=200).json()["quarantine"]
    (kept,) = [row for row in shown if row["sequence"] == first["sequence"]]
    assert kept["event"] == event
    assert (kept["problem"], kept["carrier"]) == (problem, phone.id)


def test_a_forgery_does_not_block_the_genuine_event(phone, run):
    genuine = phone.make(run)
    forged = {**genuine, "data": {"text": "not what was said"}}
    assert statuses(phone.push([forged])) == [("quarantined", "signature-invalid")]
    assert statuses(phone.push([genuine])) == [("stored", None)]
    assert statuses(phone.push([phone.make(run)])) == [("stored", None)]


def test_another_phone_carries_records(phone, other, run):
    events = [phone.make(run) for _ in range(2)]
    assert statuses(other.push(events)) == [("stored", None)] * 2
    assert statuses(phone.push(events)) == [("repeat", None)] * 2


def test_a_carried_event_that_was_changed_is_not_believed(phone, other, run):
    event = {**phone.make(run), "person": "mara"}
    assert statuses(other.push([event])) == [("quarantined", "signature-invalid")]


def test_a_phone_cannot_speak_for_another(phone, other, run):
    event = other.key.sign({**phone.draft(run)})
    assert statuses(other.push([event])) == [("quarantined", "source-mismatch")]


def test_a_type_nobody_knows_is_kept_and_passed_on(phone, other, run):
    event = phone.make(run, "moon.phased", {"phase": "full"})
    assert statuses(phone.push([event])) == [("stored", None)]
    assert event["id"] in [row["id"] for row in other.pull()]
    assert phone.get(f"/api/runs/{run}").json()["run"]["status"] == "open"


def test_digests_are_those_of_the_runs_touched(phone, run):
    elsewhere = new_run()
    events = [phone.make(run), phone.make(run), phone.make(elsewhere)]
    digests = phone.exchange(events).json()["digests"]
    assert digests[run] == digest_of(events[:2])
    assert digests[elsewhere] == digest_of(events[2:])
    assert phone.get(f"/api/runs/{run}").json()["run"]["digest"] == digests[run]


def test_a_revoked_phone_is_out_but_what_it_signed_stays_valid(phone, other, desk, run):
    sent, kept_back = phone.make(run), phone.make(run)
    assert statuses(phone.push([sent])) == [("stored", None)]
    assert desk.post(f"/api/desk/devices/{phone.id}/revocation", {"reason": "lost"}).status_code == 204
    refused = phone.exchange([kept_back])
    assert (refused.status_code, refused.json()["type"]) == (401, "urn:vesselside:not-enrolled")
    assert statuses(other.push([sent, kept_back])) == [("repeat", None), ("stored", None)]
    findings = other.get(f"/api/runs/{run}").json()["run"]["findings"]
    assert [row["event"] for row in findings if row["code"] == "device-revoked"] == [kept_back["id"]]


def test_a_key_that_was_never_enrolled_is_not_believed(phone, run):
    event = Key().sign(phone.draft(run))
    assert statuses(phone.push([event])) == [("quarantined", "signature-invalid")]
