"""What proves the log, asked from outside: heads, paths, and a log that was put back to an earlier state."""

import hashlib

import pytest
import rfc8785

from tests.api.outside import START, ZERO, hash_of, new_run
from tests.outside.chain import verify_head
from vesselside.store.log import merkle


def leaf_of(event) -> bytes:
    """The leaf a stored event is, made from the contract."""
    said = {
        "sequence": event["sequence"],
        "recordedtime": event["recordedtime"],
        "status": "stored",
        "hash": hash_of(event),
    }
    return hashlib.sha256(b"\x00" + rfc8785.dumps(said)).digest()


def head_of(phone):
    answer = phone.get("/api/log/head")
    assert answer.status_code == 200, answer.text
    head = answer.json()
    verify_head(head, phone.get("/api/reference").json()["server"])
    return head


def test_every_record_is_shown_to_be_in_the_log_under_a_signed_head(phone):
    run = new_run()
    phone.push([phone.make(run) for _ in range(40)])
    head = head_of(phone)
    assert (head["log"], head["size"]) == (phone.enrolled["brewery"], int(phone.pull()[-1]["sequence"]))
    for event in [*phone.pulled[:3], *phone.get(f"/api/runs/{run}").json()["events"]]:
        index = int(event["sequence"]) - 1
        told = phone.get("/api/log/proof", index=index, size=head["size"]).json()
        assert (told["index"], told["size"]) == (index, head["size"])
        path = [bytes.fromhex(step) for step in told["path"]]
        assert merkle.included(leaf_of(event), index, head["size"], path, bytes.fromhex(head["root"]))


def test_every_head_is_shown_to_begin_with_those_before_it(phone):
    run, heads = new_run(), [head_of(phone)]
    for count in (1, 17, 256, 3):
        phone.push([phone.make(run) for _ in range(count)])
        heads.append(head_of(phone))
    for old in heads:
        for new in heads[heads.index(old) :]:
            told = phone.get("/api/log/consistency", first=old["size"], second=new["size"]).json()
            path, roots = [bytes.fromhex(step) for step in told["path"]], (old["root"], new["root"])
            assert merkle.consistent(old["size"], new["size"], path, *map(bytes.fromhex, roots))
            if old["size"] != new["size"]:
                assert not merkle.consistent(old["size"], new["size"], path, *map(bytes.fromhex, roots[::-1]))


def test_a_head_rides_in_every_answer_and_is_new_when_asked_for(phone):
    run = new_run()
    first = phone.exchange([phone.make(run)], head=True).json()
    assert first["head"]["size"] == int(first["results"][0]["sequence"])
    later = phone.exchange([phone.make(run)]).json()
    assert later["head"] == first["head"]
    assert phone.exchange(head=True).json()["head"]["size"] == first["head"]["size"] + 1


@pytest.mark.parametrize(
    "path",
    [
        "proof?index=0&size=0", "proof?index=5&size=5", "proof?index=-1&size=5", "proof?index=0&size=99999999999",
        "proof?index=0", "proof?index=x&size=1", "consistency?first=0&second=1", "consistency?first=2&second=1",
        "consistency?first=1&second=99999999999", "consistency?second=1", f"proof?index=0&size={9**40}",
    ],
)  # fmt: skip
def test_what_is_out_of_range_is_told(phone, path):
    answer = phone.get(f"/api/log/{path}")
    assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid")


def test_the_place_reached_in_the_log_is_named_and_believed_when_it_is_true(phone, other):
    other.push([other.make(new_run())])
    phone.pull()
    answer = phone.exchange().json()
    assert answer["cursor"] == phone.pulled[-1]["sequence"]
    assert answer["at"] == leaf_of(phone.pulled[-1]).hex()
    assert phone.exchange(at=answer["at"], epoch=answer["epoch"]).json()["at"] == answer["at"]
    phone.cursor = START
    assert phone.exchange(at=ZERO).status_code == 200, "before the first record there is nothing to differ"


@pytest.mark.parametrize("more", [{"at": "1" * 64}, {"epoch": "another"}])
def test_another_log_than_the_one_read_is_told_before_anything_is_taken(phone, more):
    run = new_run()
    phone.pull()
    answer = phone.exchange([phone.make(run)], **more)
    assert (answer.status_code, answer.json()["type"]) == (409, "urn:vesselside:log-changed")
    assert answer.json()["shared"] == START
    assert phone.get(f"/api/runs/{run}").status_code == 404


@pytest.mark.parametrize("more", [{"at": "x"}, {"at": 5}, {"epoch": ""}, {"epoch": "A"}, {"head": "yes"}])
def test_a_place_of_no_shape_is_refused(phone, more):
    assert phone.exchange(**more).status_code == 422
