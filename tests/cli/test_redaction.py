"""`redact`: what was named goes from all that the server keeps; its hash stays, and everything still proves itself."""

import json

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError

from tests.api.outside import Phone, digest_of, hash_of, new_run
from tests.api.test_photos import name_of, put
from tests.cli.redacting import NOTE, REASON, WORD, Told, below_text, standing, told
from tests.cli.test_tampering import below
from vesselside.store.base.db import db
from vesselside.store.base.models import Replaced
from vesselside.store.log import signing
from vesselside.store.site import founding


@pytest.fixture
def held(fresh) -> Told:
    """The run, on either database."""
    fresh.start()
    return told(fresh)


def findings(held: Told) -> list[tuple[str, str]]:
    return [
        (row["event"], row["text"]) for row in held.run_now()["run"]["findings"] if row["code"] == "taken-out"
    ]


def said(held: Told) -> list[dict]:
    """The redactions as a phone pulls them."""
    return [event for event in held.phone.pull() if event["type"] == "event.redacted"]


def test_a_text_goes_from_everything_and_its_hash_stays(held):
    held.redact(held.events[3])
    assert "log.body" in standing(held.living)
    before = held.run_now()["run"]["digest"]
    held.redact(held.note, "--by", "mara")
    assert standing(held.living) == []

    answer = held.run_now()
    assert answer["run"]["digest"] == before == digest_of(held.events)
    note = next(event for event in answer["events"] if event["id"] == held.note["id"])
    assert note["data"]["text"] == "(taken out)"
    assert note["redacted"] == hash_of(held.note)
    kept = {"data", "sequence", "recordedtime", "redacted"}
    assert {name: value for name, value in note.items() if name not in kept} == {
        name: value for name, value in held.note.items() if name != "data"
    }
    by_event = dict(findings(held))
    assert by_event.keys() == {held.note["id"], held.events[3]["id"]}
    told_of = by_event[held.note["id"]]
    assert told_of.startswith("A text was taken out on 20")
    assert told_of.endswith(f"at the server's command line, asked for by Mara: {REASON}")

    redaction = said(held)[-1]
    assert (redaction["by"], redaction["source"]) == ("command-line", "/server")
    data = redaction["data"]
    assert (data["event"], data["hash"]) == (held.note["id"], hash_of(held.note))
    assert (data["fields"], data["reason"], data["person"]) == (["text"], REASON, "mara")


def test_all_checks_hold_and_say_what_was_taken_out(held):
    (held.living.folder / "head.json").write_text(json.dumps(held.head))
    for event in (held.note, held.pictured):
        held.redact(event)
    checked = held.living.command("check", "--head", str(held.living.folder / "head.json"))
    assert (checked.stdout, checked.returncode) == ("ok\n", 0)
    assert f"record {held.note['id']}: text was taken out ({REASON})" in checked.stderr
    assert f"record {held.pictured['id']}: its photo was taken out ({REASON})" in checked.stderr
    assert "0 differences" in held.living.command("rebuild").stdout

    file = held.living.folder / "run.json"
    made = held.living.command(
        "evidence", held.run, "-o", str(file), "--head", str(held.living.folder / "head.json")
    )
    assert made.returncode == 0, made.stderr
    assert NOTE not in file.read_text()
    verified = held.living.command("verify", str(file), "--head", str(held.living.folder / "head.json"))
    assert (verified.stdout, verified.returncode) == ("ok\n", 0)
    assert f"{held.note['id']}: text was taken out ({REASON})" in verified.stderr


def forgeries(evidence: dict) -> list[tuple[dict, dict]]:
    """The file with a redaction forged in it, each with the record that does not hold."""
    made = []
    for change in ("words", "hash", "another", "redaction"):
        copy = json.loads(json.dumps(evidence))
        note, other = copy["events"][1], copy["events"][-1]
        if change == "words":
            note["data"]["text"] = "said something else"
        elif change == "hash":
            note["redacted"] = "0" * 64
        elif change == "another":
            other["redacted"] = hash_of(other)
            other["data"]["text"] = "(taken out)"
        else:
            copy["administration"] = [
                row for row in copy["administration"] if row["type"] != "event.redacted"
            ]
        made.append((copy, other if change == "another" else note))
    return made


def test_evidence_in_which_a_redaction_was_forged_does_not_hold(held):
    held.redact(held.note)
    file = held.living.folder / "run.json"
    assert held.living.command("evidence", held.run, "-o", str(file)).returncode == 0
    for forged, wrong in forgeries(json.loads(file.read_text())):
        file.write_text(json.dumps(forged))
        verified = held.living.command("verify", str(file))
        assert (verified.stdout, verified.returncode) == (f"{wrong['id']} redaction-not-signed\n", 1)


def test_a_photo_goes_and_is_not_taken_again(held):
    name = name_of(held.photo)
    held.redact(held.pictured)
    assert not list(held.living.folder.rglob(f"{name}*"))
    assert held.phone.get(f"/api/photos/{name}").status_code == 404
    again = put(held.phone, held.photo)
    assert (again.status_code, again.json()["sha256"]) == (200, name), (
        "whoever holds it need not offer it again"
    )
    assert not list(held.living.folder.rglob(f"{name}*"))
    assert [event for event, _ in findings(held)] == [held.pictured["id"]]
    assert held.living.command("check").stdout == "ok\n"


def test_a_photo_that_is_there_again_is_told(held):
    held.redact(held.pictured)
    name = name_of(held.photo)
    with held.living.inside():
        brewery = founding.breweries()[0][0]
    (held.living.folder / "photos" / brewery / f"{name}.jpeg").write_bytes(held.photo)
    assert held.phone.get(f"/api/photos/{name}").status_code == 404
    assert (
        f"the photo {name} was taken out of the record and is still there"
        in held.living.command("check").stdout
    )
    held.redact(held.pictured)
    assert held.living.command("check").stdout == "ok\n"


def test_what_is_pushed_again_is_a_duplicate_whoever_holds_it(held):
    held.redact(held.note)
    left = next(event for event in held.phone.pull() if event["id"] == held.note["id"])
    other = Phone(held.living.url, held.living.code("other"))
    for phone in (held.phone, other):
        for event in (held.note, left):
            assert phone.push([event])[0]["status"] == "repeat"
    assert NOTE not in json.dumps(held.run_now())
    assert standing(held.living, NOTE) == []
    assert held.phone.push([held.phone.make(held.run)])[0]["status"] == "stored", "and the chain goes on"
    assert held.living.command("check").stdout == "ok\n"


def test_done_twice_it_is_done_once(held):
    held.redact(held.note)
    held.redact(held.note, reason="another")
    assert [event["data"]["reason"] for event in said(held)] == [REASON]


def test_what_may_not_be_redacted_is_told(held):
    note = held.note["id"]
    administration = next(event["id"] for event in held.phone.pull() if event["source"] == "/server")
    for arguments, why in (
        ([note, " "], "A reason is"),
        ([note], "REASON"),
        (["nothing", "why"], "There is no record nothing"),
        ([held.events[0]["id"], "why"], "holds no text or photo"),
        ([note, "why", "--by", "bern"], "There is no manager bern"),
        ([administration, "why"], "There is no record"),
    ):
        done = held.living.command("redact", *arguments)
        assert (done.returncode, why in done.stderr) == (2, True), done.stderr
    assert WORD in json.dumps(held.run_now())


def test_a_reading_stays(held):
    procedure = next(
        row for row in held.phone.get("/api/reference").json()["procedures"]
        if row["id"] == held.events[0]["data"]["procedure"]
    )  # fmt: skip
    step, entry = next(
        (step["id"], entry["id"])
        for step in procedure["steps"] for entry in step.get("entries", []) if entry["kind"] == "reading"
    )  # fmt: skip
    data = {
        "step": step, "field": entry, "value": "4", "typed": "4", "how": "keyed", "verdict": "target", "core": "5",
        "over": [],
    }  # fmt: skip
    reading = held.phone.make(held.run, "entry.made", data)
    assert held.phone.push([reading])[0]["status"] == "stored"
    done = held.living.command("redact", reading["id"], "why")
    assert (done.returncode, "readings, counts, lots and choices stay" in done.stderr) == (2, True)


def test_copies_in_quarantine_go_too(held):
    """The same id with other bytes, and with bytes that are no event, lie beside the record."""
    forged = held.phone.key.sign({**held.note, "data": {"text": f"{NOTE}!"}})
    odd = {**held.note, "number": "seven", "data": [NOTE]}
    results = held.phone.push([forged, odd])
    assert [row["status"] for row in results] == ["quarantined", "quarantined"]
    held.redact(held.events[3])
    assert standing(held.living) != []
    held.redact(held.note)
    assert standing(held.living) == []
    assert held.living.command("check").stdout == "ok\n"
    assert [row["status"] for row in held.phone.push([forged, odd])] == ["quarantined", "quarantined"]
    assert standing(held.living) == []


def test_a_record_that_only_lies_in_quarantine_goes(held):
    other = held.phone.key.sign(held.phone.draft(held.run, data={"text": NOTE}, prevhash="1" * 64))
    assert held.phone.push([other])[0]["status"] == "quarantined"
    for event in (held.events[3], held.note, other):
        held.redact(event)
    assert standing(held.living) == []
    assert held.living.command("check").stdout == "ok\n"
    assert held.phone.push([other])[0]["status"] == "quarantined"
    assert standing(held.living) == []


def test_what_rebuild_kept_of_what_it_replaced_holds_it_no_more(held):
    with held.living.inside():
        db.session.execute(text("UPDATE runs SET digest = :zero"), {"zero": "0" * 64})
        db.session.commit()
    held.living.command("rebuild", "--apply")
    with held.living.inside():
        before = [json.loads(row.kept) for row in db.session.execute(select(Replaced)).scalars()]
    held.redact(held.note)
    held.redact(held.events[3])
    assert standing(held.living) == []
    with held.living.inside():
        after = [json.loads(row.kept) for row in db.session.execute(select(Replaced)).scalars()]
    assert len(after) == len(before) > 0
    inner = [row["kept"] for row in after if "redacted" in row]
    assert {row["digest"] for row in inner} == {"0" * 64}, "the rest of it stands"
    for statement in ("UPDATE replaced SET kept = '{}'", "UPDATE replaced SET what = 'x'"):
        with pytest.raises(DBAPIError):
            below_text(held.living, statement)


def test_a_redaction_forged_by_a_program_with_the_database_is_found(held):
    """A text changed and marked as taken out with no event for it; then with an event that the server never signed."""
    note = held.note
    left = {**note, "data": {"text": "(taken out)"}, "redacted": hash_of(note)}
    body = signing.canonical(left)
    with pytest.raises(DBAPIError):
        below_text(
            held.living, "UPDATE log SET body = :body WHERE event = :event", body=body, event=note["id"]
        )
    below(
        held.living,
        ("UPDATE log SET body = :body WHERE event = :event", {"body": body, "event": note["id"]}),
    )
    found = held.living.command("check")
    assert found.returncode == 1
    assert "its hash is not that of its bytes" in found.stdout
    assert "its signature is not its source's" in found.stdout

    held.redact(held.events[3])
    signed = said(held)[-1]
    bare = {name: value for name, value in signed.items() if name not in ("sequence", "recordedtime")}
    bare["data"] = {
        **signed["data"],
        "event": note["id"],
        "hash": hash_of(note),
        "left": signing.sha256(body),
    }
    forged = "UPDATE log SET body = :body WHERE event = :event"
    below(held.living, (forged, {"body": signing.canonical(bare), "event": signed["id"]}))
    again = held.living.command("check").stdout
    place = next(event["sequence"] for event in held.run_now()["events"] if event["id"] == note["id"])
    assert f"sequence {int(place)}: its hash is not that of its bytes" in again
    assert f"sequence {int(signed['sequence'])}: its signature is not its source's" in again


def test_a_text_put_back_where_it_was_taken_out_is_found(held):
    held.redact(held.note)
    whole = signing.parts(held.note)[0]
    below(
        held.living,
        ("UPDATE log SET body = :body WHERE event = :event", {"body": whole, "event": held.note["id"]}),
    )
    assert "it was redacted and its text is still there" in held.living.command("check").stdout


def test_a_redaction_touches_no_other_record(held):
    other = new_run()
    held.phone.push([held.phone.make(other)])
    before = {event["id"]: event for event in held.run_now()["events"]}
    held.redact(held.note)
    for event in held.run_now()["events"]:
        assert event == before[event["id"]] or event["id"] == held.note["id"]
