"""Someone with the database in hand, then with the server's key too: what `check` finds, and what a kept head adds."""

import json
import re

import pytest
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from sqlalchemy import text

from tests.api.outside import Key, Phone, b64, hash_of, new_run
from vesselside.store.base.db import db
from vesselside.store.base.schema import TRIGGERS
from vesselside.store.fold import projections
from vesselside.store.log import merkle, signing, tree
from vesselside.store.site import founding


@pytest.fixture
def held(fresh):
    """A brewery with a run of sixty records of one phone, and the head that phone keeps."""
    fresh.start()
    phone, run = Phone(fresh.url, fresh.code()), new_run()
    events = [phone.make(run, data={"text": f"pH 9.{at % 10}"}) for at in range(60)]
    phone.push(events[:40])
    early = phone.get("/api/log/head").json()
    phone.push(events[40:])
    late = phone.get("/api/log/head").json()
    assert fresh.command("check").stdout == "ok\n"
    return fresh, phone, events, early, late


def below(living, *statements: tuple[str, dict]) -> None:
    """Change the log below its triggers, which are put back as if nothing had been."""
    with living.inside():
        sqlite = db.engine.dialect.name == "sqlite"
        names = sorted(TRIGGERS[db.engine.dialect.name])
        made = []
        if sqlite:
            for name in names:
                query = text("SELECT sql FROM sqlite_master WHERE name = :name")
                made.append(db.session.execute(query, {"name": name}).scalar())
                db.session.execute(text(f"DROP TRIGGER {name}"))
        else:
            db.session.execute(text("ALTER TABLE log DISABLE TRIGGER USER"))
        for statement, values in statements:
            db.session.execute(text(statement), values)
        for sql in made:
            db.session.execute(text(str(sql)))
        if not sqlite:
            db.session.execute(text("ALTER TABLE log ENABLE TRIGGER USER"))
        db.session.commit()


def dropped(living, phone: Phone, last: int) -> None:
    """Drop the newest ten records, with every head, node, count and folded run that tells of them."""
    below(
        living,
        ("DELETE FROM log WHERE sequence > :last", {"last": last}),
        ("DELETE FROM heads WHERE size > :last", {"last": last}),
        ("DELETE FROM nodes", {}),
        ("UPDATE devices SET number = 50 WHERE id = :device", {"device": phone.id}),
        ("UPDATE runs SET last = :last", {"last": last}),
    )
    with living.inside():
        brewery = founding.breweries()[0][0]
        runs = db.session.execute(text("SELECT id FROM runs")).scalars().all()
        projections.refresh(brewery, runs, whole=True)


def found(living, *heads: dict) -> str:
    """What `check` finds, with these heads of phones."""
    files = []
    for at, head in enumerate(heads):
        file = living.folder / f"head-{at}.json"
        file.write_text(json.dumps(head))
        files += ["--head", str(file)]
    done = living.command("check", *files)
    assert "Traceback" not in done.stderr
    return done.stdout


def rewritten(events: list[dict], key: Key, at: int) -> list[dict]:
    """The chain with one reading changed, and all from there on chained and signed anew with `key`."""
    made, before = list(events[:at]), events[at]["prevhash"]
    for event in events[at:]:
        data = {"text": "pH 7.0"} if event is events[at] else event["data"]
        made.append(key.sign({**event, "data": data, "prevhash": before}))
        before = hash_of(made[-1])
    return made


def written(events: list[dict]) -> list[tuple[str, dict]]:
    """Statements that put these in the place of the records with their ids, hashes and all."""
    statement = "UPDATE log SET body = :body, hash = :hash, prevhash = :prevhash WHERE event = :event"
    return [
        (
            statement,
            {
                "body": signing.parts(event)[0],
                "hash": hash_of(event),
                "prevhash": event["prevhash"],
                "event": event["id"],
            },
        )
        for event in events
    ]


def test_the_newest_records_dropped(held):
    living, _, _, _, late = held
    below(living, ("DELETE FROM log WHERE sequence > :last", {"last": late["size"] - 10}))
    assert f"the log has only {late['size'] - 10}" in found(living)
    assert "it was heard to its record 60" in found(living)


def test_the_newest_records_dropped_with_every_head_and_count_that_tells(held):
    living, phone, _, _, late = held
    dropped(living, phone, late["size"] - 10)
    assert found(living) == "ok\n", "nothing in the database tells it"
    assert f"the kept head of {late['size']} records" in found(living, late)


def test_a_reading_changed_and_its_chain_signed_again_under_a_swapped_key(held):
    living, phone, events, _, _ = held
    key = Key()
    below(
        living,
        *written(rewritten(events, key, 20)),
        (
            "UPDATE devices SET key = :key WHERE id = :device",
            {"key": json.dumps(key.jwk), "device": phone.id},
        ),
    )
    told = found(living)
    assert f"device {phone.id}: its key is not proved, it was enrolled with another" in told
    assert "was changed, dropped or put in" in told


PUT_IN = """
INSERT INTO log (brewery, sequence, status, problem, event, hash, body, recorded)
SELECT brewery, :place, 'quarantined', 'invalid', 'put-in', hash, body, recorded FROM log WHERE event = :event
"""


def test_a_record_put_in_between_others(held):
    living, _, events, early, _ = held
    shift = "UPDATE log SET sequence = {} WHERE sequence {}"
    below(
        living,
        (shift.format("-(sequence + 1)", f">= {early['size']}"), {}),
        (shift.format("-sequence", "< 0"), {}),
        (PUT_IN, {"place": early["size"], "event": events[0]["id"]}),
    )
    # from the head before it on: the server signs one by itself when it starts
    assert re.search(rf"one from \d+ to {early['size']} was changed, dropped or put in", found(living))


def test_two_records_that_changed_places(held):
    living, _, _, early, _ = held
    one, other = early["size"] - 20, early["size"] - 10
    move = "UPDATE log SET sequence = :to WHERE sequence = :at"
    below(
        living,
        (move, {"at": one, "to": -1}),
        (move, {"at": other, "to": one}),
        (move, {"at": -1, "to": other}),
    )
    assert re.search(rf"one from \d+ to {early['size']} was changed, dropped or put in", found(living))


def test_a_file_made_of_a_log_that_was_rolled_back_and_grown_does_not_fit_the_head_a_phone_kept(held):
    """By `verify` alone, with neither database nor network."""
    living, phone, events, _, late = held
    run = events[0]["subject"].removeprefix("/runs/")
    (living.folder / "late.json").write_text(json.dumps(late))
    dropped(living, phone, late["size"] - 10)
    other, more = Phone(living.url, living.code()), new_run()
    other.push([other.make(more) for _ in range(20)])
    file = living.folder / "run.json"
    assert living.command("evidence", run, "-o", str(file)).returncode == 0
    assert living.command("verify", str(file)).stdout == "ok\n", "the file holds together"
    judged = living.command("verify", str(file), "--head", str(living.folder / "late.json"))
    assert (judged.returncode, judged.stdout) == (1, "kept-head not-tied\n")


def test_a_day_dropped_and_the_log_grown_again(held):
    living, phone, _, _, late = held
    dropped(living, phone, late["size"] - 10)
    other, run = Phone(living.url, living.code()), new_run()
    other.push([other.make(run) for _ in range(20)])
    other.get("/api/log/head")
    assert found(living) == "ok\n"
    assert "was changed, dropped or put in" in found(living, late)


def test_everything_made_anew_by_one_who_has_the_servers_key(held):
    """The strongest: a record's time changed, every node and head made again with the key. A phone's head tells."""
    living, _, _, early, late = held
    stolen = signing.ServerKey(living.folder)
    below(
        living,
        ("UPDATE log SET recorded = recorded - 86400000 WHERE sequence = 5", {}),
        ("DELETE FROM nodes", {}),
    )
    with living.inside():
        brewery = late["log"]
        for size, time in db.session.execute(text("SELECT size, time FROM heads")).all():
            root = merkle.root(size, tree.nodes_of(brewery)).hex()
            said = tree.SignedHead(brewery, size, root, time, stolen.jwk).said()
            values = {
                "root": root,
                "signature": stolen.sign(signing.canonical(said)),
                "size": size,
                "time": time,
            }
            query = (
                "UPDATE heads SET root = :root, signature = :signature WHERE size = :size AND time = :time"
            )
            db.session.execute(text(query), values)
        db.session.commit()
    assert found(living) == "ok\n", "nothing in the database tells it"
    assert f"the kept head of {early['size']} records" in found(living, early)


def test_heads_of_another_key_or_made_up_are_told(held):
    living, _, _, _, late = held
    private = ec.generate_private_key(ec.SECP256R1())
    numbers = private.public_key().public_numbers()
    jwk = {"kty": "EC", "crv": "P-256"} | {
        name: b64(value.to_bytes(32, "big")) for name, value in (("x", numbers.x), ("y", numbers.y))
    }
    said = {**{name: late[name] for name in ("log", "size", "root", "time")}, "key": jwk}
    r, s = decode_dss_signature(private.sign(signing.canonical(said), ec.ECDSA(hashes.SHA256())))
    foreign = {**said, "signature": b64(r.to_bytes(32, "big") + s.to_bytes(32, "big"))}
    assert "it was signed with another key than the server has now" in found(living, foreign)
    assert "its signature is not that of its key" in found(living, {**late, "size": late["size"] + 1})
    assert found(living, late) == "ok\n"
    for nothing in ({}, [1], {**late, "root": 5}, {**late, "key": {}}):
        file = living.folder / "none.json"
        file.write_text(json.dumps(nothing))
        assert living.command("check", "--head", str(file)).returncode == 2


def test_bytes_that_are_no_record_are_named_and_hide_nothing_else(held):
    living, _, events, _, late = held
    change = "UPDATE log SET body = :body WHERE event = :event"
    below(
        living,
        *(
            (change, {"body": body, "event": events[at].get("id")})
            for at, body in ((3, b"{}"), (5, b"{"), (7, b"5"))
        ),
        ("UPDATE log SET status = 'gone' WHERE event = :event", {"event": events[9]["id"]}),
        ("UPDATE log SET recorded = 1000000000000000000 WHERE event = :event", {"event": events[11]["id"]}),
    )
    told = found(living)
    first = late["size"] - 59
    for at in (3, 5, 7):
        assert f"sequence {first + at}: its bytes are no record" in told
        assert f"sequence {first + at}: its hash is not that of its bytes" in told
    assert f"sequence {first + 9}: its status is gone" in told
    assert f"the head of {late['size']} records" in told


def test_a_head_of_a_log_that_is_not_here_is_told(held):
    living, _, _, _, late = held
    assert "no log here is the one of the kept head of" in found(living, {**late, "log": "another"})
