"""People from the command line: what is done to them stands in the log, in the command line's name."""

import json

import pytest
from sqlalchemy import insert

from vesselside import store
from vesselside.store.base.db import db
from vesselside.store.base.models import Logged, Person
from vesselside.store.log import signing
from vesselside.store.site import founding


def events(living) -> list[dict]:
    """The administration in the log."""
    with living.inside():
        rows = db.session.query(Logged).filter(Logged.run.is_(None)).order_by(Logged.sequence)
        return [signing.loaded(row.body) for row in rows]


@pytest.fixture
def ada(fresh) -> str:
    """Somebody new."""
    return fresh.command(
        "person", "add", "Ada Quill", "--role", "brewer", "--pin-stdin", stdin="246817\n"
    ).stdout.strip()


def test_a_person_is_renamed_given_a_role_and_a_secret_and_retired(fresh, ada):
    before = len(events(fresh))
    for command, given in (
        (("rename", ada, "Ada Reed"), ""),
        (("role", ada, "manager"), ""),
        (("secret", ada, "--pin-stdin", "--password-stdin"), "246819\nseven-otters-in-tweed\n"),
        (("retire", ada), ""),
        (("erase", ada), ""),
    ):
        done = fresh.command("person", *command, stdin=given)
        assert (done.returncode, done.stdout) == (0, ""), done.stderr
    said = events(fresh)[before:]
    assert [(row["type"], row["data"].get("changed", row["data"].get("kinds"))) for row in said] == [
        ("person.changed", ["name"]),
        ("person.changed", ["role"]),
        ("person.secret-set", ["pin", "password"]),
        ("person.retired", None),
        ("person.changed", ["erased"]),
    ]
    assert {row["by"] for row in said} == {"command-line"}
    assert all(word not in json.dumps(said) for word in ("Ada", "Reed", "246819", "otters"))
    assert fresh.command("check").stdout == "ok\n"


@pytest.mark.parametrize("command", [("retire", "mara"), ("role", "mara", "brewer")])
def test_the_last_manager_stays_one(fresh, ada, command):
    """Nobody else could open the desk; somebody who has left is no other manager either."""
    assert fresh.command("person", "role", ada, "manager").returncode == 0
    assert fresh.command("person", "retire", ada).returncode == 0
    before = len(events(fresh))
    done = fresh.command("person", *command)
    assert (done.returncode, done.stdout) == (2, "")
    assert "This is the last manager. Make someone else a manager first." in done.stderr
    assert len(events(fresh)) == before
    for name in ("dora", "stig"):
        assert fresh.command("person", "role", name, "manager").returncode == 0
    assert fresh.command("person", *command).returncode == 0
    assert fresh.command("check").stdout == "ok\n"


def test_everyone_is_listed_with_the_id_the_other_commands_take(fresh, ada):
    assert fresh.command("person", "retire", ada).returncode == 0
    assert f"{ada}  brewer   gone    Ada Quill" in fresh.command("person", "list").stdout


@pytest.mark.parametrize(
    "command",
    [
        ("rename", "nobody", "X"),
        ("role", "nobody", "duty"),
        ("retire", "nobody"),
        ("erase", "nobody"),
        ("erase", "mara"),
        ("rename", "mara", " "),
        ("role", "mara", "king"),
        ("secret", "mara"),
    ],
)
def test_what_cannot_be_done_is_said_and_changes_nothing(fresh, command):
    before = len(events(fresh))
    done = fresh.command("person", *command)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr
    assert len(events(fresh)) == before


def test_who_left_is_gone_also_where_the_table_says_otherwise(fresh, ada):
    """`rebuild` reads it from the log."""
    assert fresh.command("person", "retire", ada).returncode == 0
    with fresh.inside():
        row = db.session.get(Person, (founding.breweries()[0][0], ada))
        row.status = "active"
        db.session.commit()
    assert "the log says brewer, gone" in fresh.command("rebuild", "--apply").stdout
    with fresh.inside():
        assert db.session.get(Person, (founding.breweries()[0][0], ada)).status == "gone"


def test_a_server_event_that_does_not_say_who_did_it_is_found(fresh, ada):
    """Also one of a kind that nobody knows: both are signed with the server's own key."""
    with fresh.inside():
        brewery = founding.breweries()[0][0]
        chain = db.session.query(Logged).filter_by(brewery=brewery, source="/server")
        last = chain.order_by(Logged.number.desc()).first()
        event = {**signing.loaded(last.body), "id": signing.uuid7(store.now_ms()), "type": "person.forged"}
        event |= {"number": last.number + 1, "prevhash": last.hash}
        del event["by"], event["signature"]
        event["signature"] = store.book(brewery).sign(signing.canonical(event))
        row = {column.name: getattr(last, column.name) for column in Logged.__table__.columns}
        row |= {"sequence": store.head(brewery) + 1, "body": signing.canonical(event), "kind": event["type"]}
        row |= {"event": event["id"], "number": event["number"], "prevhash": last.hash}
        db.session.execute(insert(Logged).values(**{**row, "hash": signing.sha256(row["body"])}))
        db.session.commit()
    told = fresh.command("check").stdout
    assert "does not say who did it" in told
    assert "of a kind that is not known: person.forged" in told
