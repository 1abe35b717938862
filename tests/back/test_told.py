"""What the desk is told of the log itself: a phone's doubt, once and with proof, and each restore."""

from tests.api.outside import Key
from tests.living import MANAGER


def needs(desk):
    assert desk.post("/api/session", MANAGER).status_code == 200
    answer = desk.get("/api/desk/needs").json()
    return answer["doubts"], answer["restores"]


def test_a_doubt_that_rests_on_a_signed_head_is_told_once(living):
    phone, desk = living.phone("cellar phone"), living.phone("desk")
    head = phone.get("/api/log/head").json()
    for _ in range(2):
        body = {"kind": "forked", "kept": head, "told": {**head, "root": "ab" * 32}}
        assert phone.post("/api/log/doubts", body).status_code == 204
    told, restores = needs(desk)
    assert [(row["name"], row["kind"], row["kept"], row["told"]) for row in told] == [
        ("cellar phone", "forked", head["size"], head["size"])
    ]
    assert restores == []
    assert living.command("check").stdout == "ok\n"


def test_a_doubt_without_proof_is_refused(living):
    phone = living.phone()
    head = phone.get("/api/log/head").json()
    other = Key()
    for body in (
        {"kind": "forked", "kept": {**head, "signature": "A" * 86}},
        {"kind": "forked", "kept": {**head, "root": "ab" * 32}},
        {"kind": "forked", "kept": {**head, "log": "another"}},
        {"kind": "forked", "kept": other.sign({**head, "key": other.jwk})},
        {"kind": "forked"},
        {"kind": "odd", "kept": head},
        {"kind": "forked", "kept": "head"},
    ):
        answer = phone.post("/api/log/doubts", body)
        assert (answer.status_code, answer.json()["type"]) == (422, "urn:vesselside:invalid"), body
    assert needs(phone)[0] == []


def test_a_restore_is_told_at_the_desk(living):
    desk = living.phone("desk")
    living.copy()
    living.put_back()
    desk.sync()
    _, [restore] = needs(desk)
    assert restore["size"] == int(desk.pulled[-1]["sequence"]) - 1
