"""One run as a file that proves itself, judged on a machine that has neither database nor network."""

import json
import os
import random
import subprocess
import sys

import pytest

from tests.api.outside import Phone, new_run
from tests.living import PINS
from vesselside.store.log import signing

UNPROVED = {"made", "paths", "older"}
"""Parts that nothing signs: when the file was made, and the paths, of which only those that are needed count."""


@pytest.fixture
def proved(fresh):
    """A run's file, the head a phone kept before, and a judge that knows nothing else."""
    fresh.start()
    phone, run = Phone(fresh.url, fresh.code()), new_run()
    phone.sign_in("bern", PINS["bern"])
    claim = {"person": "bern", "how": "pin"}
    phone.push([phone.make(run, "person.signed-in", claim, subject="/admin")])
    procedure = phone.get("/api/reference").json()["procedures"][0]
    said = {
        name: procedure[of]
        for name, of in (("procedure", "id"), ("version", "version"), ("sha256", "sha256"))
    }
    phone.push([phone.make(run, "run.opened", {**said, "vessel": "fv1", "inputs": {}})])
    kept = phone.get("/api/log/head").json()
    other = new_run()
    phone.push([phone.make(run) for _ in range(3)] + [phone.make(other)] + [phone.make(run)])
    (fresh.folder / "head.json").write_text(json.dumps(kept))
    file = fresh.folder / "run.json"
    done = fresh.command("evidence", run, "-o", str(file), "--head", str(fresh.folder / "head.json"))
    assert done.returncode == 0, done.stderr
    return fresh, file, kept


def judged(folder, evidence: object, *heads: object) -> tuple[int, str]:
    """What `verify` says in an empty folder, with nothing of ours in its environment."""
    elsewhere = folder / "elsewhere"
    elsewhere.mkdir(exist_ok=True)
    (elsewhere / "run.json").write_text(evidence if isinstance(evidence, str) else json.dumps(evidence))
    told = []
    for at, head in enumerate(heads):
        (elsewhere / f"head-{at}.json").write_text(json.dumps(head))
        told += ["--head", f"head-{at}.json"]
    environment = {"PATH": os.environ["PATH"]}
    done = subprocess.run(
        [sys.executable, "-m", "vesselside", "verify", "run.json", *told],
        cwd=elsewhere, env=environment, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stderr, done.stderr
    assert sorted(file.name for file in elsewhere.iterdir() if file.suffix != ".json") == []
    return done.returncode, done.stdout.strip()


def places(part: object, path: tuple = ()):
    """Where every text and number of a value stands."""
    if isinstance(part, dict | list):
        for key, value in part.items() if isinstance(part, dict) else enumerate(part):
            yield from places(value, (*path, key))
    else:
        yield path


def changed(evidence: object, path: tuple, value: object) -> object:
    copy = json.loads(json.dumps(evidence))
    part = copy
    for key in path[:-1]:
        part = part[key]
    part[path[-1]] = value
    return copy


def spoilt(value: object, draw: random.Random) -> object:
    if isinstance(value, str) and value:
        at = draw.randrange(len(value))
        return value[:at] + ("0" if value[at] != "0" else "1") + value[at + 1 :]
    return value + 1 if isinstance(value, int) and not isinstance(value, bool) else "x"


def test_a_runs_file_holds_by_itself_and_with_a_head_that_a_phone_kept(proved):
    living, file, kept = proved
    evidence = json.loads(file.read_text())
    assert len(evidence["events"]) == 5
    assert judged(living.folder, evidence) == (0, "ok")
    assert judged(living.folder, evidence, kept) == (0, "ok")
    assert judged(living.folder, evidence, evidence["head"]) == (0, "ok")


def test_whatever_is_changed_in_it_is_found(proved):
    from vesselside.store.read.evidence import BrokenError, judge

    _, file, kept = proved
    evidence = json.loads(file.read_text())
    seed = random.randrange(2**32)
    print("seed", seed)
    draw = random.Random(seed)
    judge(evidence, [kept])
    paths = [path for path in places(evidence) if path[0] not in UNPROVED]
    assert len(paths) > 100
    for path in paths:
        value = evidence
        for key in path:
            value = value[key]
        print(path)
        other = changed(evidence, path, spoilt(value, draw))
        with pytest.raises(BrokenError):
            judge(other, [kept])
    for event in evidence["events"]:
        steps = evidence["paths"][event["sequence"]]
        other = changed(evidence, ("paths", event["sequence"], 0), spoilt(steps[0], draw))
        with pytest.raises(BrokenError):
            judge(other, [kept])


def test_what_is_wrong_is_named(proved):
    living, file, kept = proved
    evidence = json.loads(file.read_text())
    third = evidence["events"][2]["id"]
    text = changed(evidence, ("events", 2, "data", "text"), "another")
    assert judged(living.folder, text) == (1, f"{third} signature-invalid")
    moved = changed(evidence, ("events", 2, "recordedtime"), "2020-01-01T00:00:00.000Z")
    assert judged(living.folder, moved) == (1, f"{third} not-in-log")
    assert judged(living.folder, {**evidence, "older": []}, kept) == (1, "kept-head not-tied")
    forked = changed(evidence, ("older", 0, "path", 0), "0" * 64)
    assert judged(living.folder, forked, kept) == (1, "kept-head log-forked")
    step = changed(evidence, ("procedure", "title"), "Another")
    assert judged(living.folder, step) == (1, "procedure changed")
    others = [row for row in evidence["administration"] if row["type"] != "device.enrolled"]
    unknown = {**evidence, "administration": others}
    first = next(row for row in [*others, *evidence["events"]] if row["source"] != "/server")
    assert judged(living.folder, unknown) == (1, f"{first['id']} key-not-enrolled")
    assert judged(living.folder, {**evidence, "events": []}) == (1, "file no-records")
    for nothing in ({}, [], 5, None):
        assert judged(living.folder, nothing) == (1, "file malformed")
    assert judged(living.folder, "{")[0] == 2


def test_beside_no_head_it_says_whose_word_all_of_it_is(proved):
    """Who makes up a whole file signs it with a key of their own: a head that a phone kept names another."""
    living, file, kept = proved
    evidence = json.loads(file.read_text())
    own = signing.thumbprint(evidence["head"]["key"])
    for head, told in (([], True), ([kept], False)):
        options = ["--head", str(living.folder / "head.json")] if head else []
        done = living.command("verify", str(file), *options)
        assert (done.returncode, done.stdout, own in done.stderr) == (0, "ok\n", told)
    (living.folder / "stranger").mkdir()
    stranger = signing.ServerKey(living.folder / "stranger")
    theirs = {**{name: kept[name] for name in ("log", "size", "root", "time")}, "key": stranger.jwk}
    theirs["signature"] = stranger.sign(signing.canonical(theirs))
    assert judged(living.folder, evidence, theirs) == (1, "head key-differs")


def test_it_holds_what_proves_that_its_people_were_there(proved):
    """The server's word and the phone's, and nothing of a person or a phone that made none of its records."""
    living, file, _ = proved
    stranger = Phone(living.url, living.code("the stranger's"))
    stranger.sign_in("bern", PINS["bern"])
    evidence = json.loads(file.read_text())
    done = living.command("evidence", evidence["run"], "-o", str(file))
    assert done.returncode == 0, done.stderr
    evidence = json.loads(file.read_text())
    (source,) = {event["source"] for event in evidence["events"]}
    told = [event for event in evidence["administration"] if event["type"] == "person.signed-in"]
    assert [event["source"] for event in told] == ["/server", source]
    assert told[0]["data"]["device"] == source.removeprefix("/devices/")
    assert judged(living.folder, evidence) == (0, "ok")
    forged = changed(
        evidence, ("administration", evidence["administration"].index(told[1]), "person"), "mara"
    )
    assert judged(living.folder, forged) == (1, f"{told[1]['id']} signature-invalid")


def test_there_is_no_evidence_of_a_run_that_is_not_there(fresh):
    done = fresh.command("evidence", new_run(), "-o", str(fresh.folder / "run.json"))
    assert (done.returncode, (fresh.folder / "run.json").exists()) == (2, False)
