"""Which events of the server a server takes back that was put back to a copy, and which it never does."""

import pytest

from tests.api.outside import Key, new_run
from tests.back.outside import bare
from vesselside import store
from vesselside.store.log import signing
from vesselside.store.read import attention
from vesselside.store.site import devices, founding, people, siting


def statuses(phone, events, **more):
    answer = phone.exchange(returned=events, **more)
    assert answer.status_code == 200, answer.text
    return [row["status"] for row in answer.json()["returned"]]


def roles(living):
    """The people the store has, with their roles."""
    with living.inside():
        return {row["id"]: row["role"] for row in people.everyone(living.brewery())}


def size(living):
    with living.inside():
        return store.head(living.brewery())


def signed(living, event):
    """An event that only whoever has the server's key can sign."""
    with living.inside():
        unsigned = {name: value for name, value in event.items() if name != "signature"}
        return {**unsigned, "signature": store.book(living.brewery()).sign(signing.canonical(unsigned))}


def test_the_servers_own_events_return_in_order_and_once(living, lost):
    phone, gone = lost()
    known = {"people": [{"id": "newt", "name": "Newt Hale"}, {"id": "mara", "name": "Someone Else"}]}
    assert statuses(phone, gone, known=known) == ["stored"] * len(gone)
    assert roles(living) | {"newt": "manager", "nell": "duty"} == roles(living)
    after = size(living)
    assert statuses(phone, gone) == ["stored"] * len(gone)
    assert size(living) == after, "nothing is kept or said twice"
    fresh = phone.pull()
    again = [event for event in fresh if "again" in event]
    assert [(event["type"], event["data"]) for event in again] == [
        (event["type"], event["data"]) for event in gone
    ]
    assert [event["time"] for event in again] == [event["time"] for event in gone]
    with living.inside():
        names = {row["id"]: row["name"] for row in people.everyone(living.brewery())}
    assert (names["newt"], names["nell"], names["mara"]) == ("Newt Hale", None, "Mara")
    assert living.command("check").stdout == "ok\n"
    assert "0 differences" in living.command("rebuild").stdout


def test_none_can_be_left_out_of_the_middle(living, lost):
    phone, gone = lost()
    assert statuses(phone, gone[1:]) == ["refused"] * (len(gone) - 1)
    assert statuses(phone, [gone[0], gone[2]]) == ["stored", "refused"]
    assert roles(living).get("newt") == "brewer"
    assert statuses(phone, gone[1:]) == ["stored"] * (len(gone) - 1)
    assert roles(living)["newt"] == "manager"


def test_what_was_decided_since_the_restore_stands(living, lost):
    phone, gone = lost()
    living.add_person("newt", "starter")
    assert statuses(phone, gone) == ["stored"] * len(gone)
    assert (roles(living)["newt"], roles(living)["nell"]) == ("starter", "duty")


def test_a_log_that_was_not_put_back_takes_none(living):
    phone = living.phone()
    living.add_person("newt")
    event = bare(phone.sync() and phone.pulled[-1])
    before = size(living)
    assert statuses(phone, [event]) == ["repeat"]
    forged = signed(living, {**event, "id": "0" * 8, "number": event["number"] + 1})
    assert statuses(phone, [forged]) == ["refused"]
    assert size(living) == before


def test_whoever_has_no_key_of_the_server_makes_none(living, lost):
    phone, gone = lost()
    crown = {"person": "stig", "role": "manager", "status": "active"}
    first = gone[0]
    forged = [
        Key().sign({**first, "data": crown}),
        phone.key.sign({**first, "data": crown}),
        {**first, "data": crown},
        {**first, "signature": "A" * 86},
        phone.make(new_run()),
        phone.key.sign({**first, "source": f"/devices/{phone.id}"}),
        {**first, "log": "another"},
        "no event",
        {"id": "x"},
    ]
    before = size(living)
    assert statuses(phone, forged) == ["refused"] * len(forged)
    assert (size(living), roles(living)["stig"]) == (before, "starter")


def test_an_event_of_another_brewery_of_the_same_server_is_not_taken(living, lost):
    phone, gone = lost()
    with living.inside():
        other = store.create_brewery("Another")
    event = signed(living, {**gone[0], "log": other})
    unnamed = signed(living, {name: value for name, value in gone[0].items() if name != "log"})
    assert statuses(phone, [event, unnamed]) == ["refused", "refused"]


def test_a_push_takes_no_event_of_the_server(living, lost):
    phone, gone = lost()
    before = size(living)
    assert [row["status"] for row in phone.push(gone)] == ["refused"] * len(gone)
    assert size(living) == before


def test_a_phone_revoked_after_the_copy_is_revoked_again(living):
    phone, stolen = living.phone(), living.phone("stolen")
    living.copy()
    late = living.phone("late and stolen")
    for device in (stolen, late):
        with living.inside():
            devices.revoke(store.book(living.brewery()), device.id, "lost", by="mara")
    phone.sync()
    living.put_back()
    phone.sync()
    for device in (stolen, late):
        assert device.exchange().status_code == 401
        assert device.known_again().status_code == 403
        assert device.exchange().status_code == 401
    assert living.command("check").stdout == "ok\n"


def test_a_phone_is_known_again_by_its_key_alone(living):
    living.copy()
    phone, other = living.phone("late"), living.phone("other")
    living.put_back()
    enrolled = next(
        bare(e) for e in other.pulled if e["type"] == "device.enrolled" and e["data"]["device"] == phone.id
    )
    assert phone.http.cookies.clear() is None
    thief = other
    thief.id, owner = phone.id, thief.id
    assert thief.known_again(enrolled).status_code == 403, "it has not the key"
    thief.id = owner
    assert phone.known_again(time="2026-01-01T00:00:00.000Z").status_code == 403, "said long ago"
    assert phone.known_again(log="another").status_code == 403
    assert phone.exchange().status_code == 401
    assert phone.known_again().status_code == 200
    assert phone.exchange().status_code == 200
    assert phone.known_again({"data": 5}).status_code == 200, "known by now, whatever it brings"


def test_guesses_at_being_known_are_counted(living):
    phone = living.phone()
    answers = [phone.known_again(log="another").status_code for _ in range(7)]
    assert answers == [403] * 5 + [429] * 2


def test_a_word_of_no_shape_is_refused(living):
    phone = living.phone()
    for body in ({}, {"log": "x"}, {"log": "x", "device": "y", "time": "z", "signature": "s"}, []):
        assert phone.post("/api/devices/known", body).status_code == 422
    for more in ({"returned": {}}, {"returned": [1] * 501}, {"known": []}):
        assert phone.exchange(**more).status_code == 422


def test_records_in_quarantine_are_judged_again_when_their_phone_is_known(living):
    living.copy()
    carrier, late = living.phone("carrier"), living.phone("late")
    run = new_run()
    made = [late.make(run) for _ in range(3)]
    living.put_back()
    carrier.sync()
    assert [row["status"] for row in carrier.push(made)] == ["quarantined"] * 3
    assert carrier.get(f"/api/runs/{run}").status_code == 404
    late.sync()
    held = carrier.get(f"/api/runs/{run}").json()
    assert [bare(event) for event in held["events"]] == made
    carrier.sync()
    told = [event for event in carrier.pulled if event["type"] == "record.judged-again"]
    assert [event["data"]["event"] for event in told] == [event["id"] for event in made]
    assert [row["status"] for row in carrier.push(made)] == ["repeat"] * 3
    with living.inside():
        assert attention.needs(living.brewery(), 0, now=store.now_ms())["counts"]["quarantine"] == 0
    assert living.command("check").stdout == "ok\n"


@pytest.mark.parametrize("brought", ["right", "changed", "none"])
def test_a_procedure_published_after_the_copy_returns_with_its_text(living, brought):
    phone = living.phone()
    living.copy()
    procedure = next(row for row in phone.get("/api/reference").json()["procedures"])
    newer = {name: value for name, value in procedure.items() if name != "sha256"}
    newer |= {"version": procedure["version"] + 1, "title": "As we do it here"}
    with living.inside():
        store.publish_procedure(living.brewery(), newer, by="mara")
    known = phone.get("/api/reference").json()["procedures"]
    phone.sync()
    gone = [bare(phone.pulled[-1])]
    living.put_back()
    given = [row for row in known if row["title"] == newer["title"]]
    assert len(given) == 1
    if brought == "changed":
        given = [{**given[0], "title": "As somebody else does it"}]
    phone.cursor, phone.place = "0" * 16, {}
    phone.exchange(returned=gone, known={"procedures": given} if brought != "none" else {})
    titles = [row["title"] for row in phone.get("/api/reference").json()["procedures"]]
    assert (newer["title"] in titles) == (brought == "right")
    if brought != "right":
        phone.exchange(
            returned=gone, known={"procedures": [r for r in known if r["title"] == newer["title"]]}
        )
        assert newer["title"] in [row["title"] for row in phone.get("/api/reference").json()["procedures"]]
    assert living.command("check").stdout == "ok\n"


def test_settings_and_what_else_the_server_said_return_too(living):
    phone = living.phone()
    living.copy()
    with living.inside():
        store.set_setting(living.brewery(), "clean-hours", "48")
    phone.sync()
    living.put_back()
    phone.sync()
    with living.inside():
        assert siting.settings_of(founding.breweries()[0][0])["clean-hours"] == "48"


def test_it_comes_back_over_two_restores(living):
    """A phone that slept through a restore finds the log put back once more."""
    one, sleeper = living.phone(), living.phone()
    living.copy()
    living.add_person("newt")
    one.sync(), sleeper.sync()
    run = new_run()
    sleeper.sync([sleeper.make(run)])
    living.put_back()
    one.sync()
    living.add_person("nell", "duty")
    one.sync()
    living.put_back()
    sleeper.sync()
    one.sync()
    assert {"newt", "nell"} <= set(roles(living))
    assert len(one.get(f"/api/runs/{run}").json()["events"]) == 1
    assert living.command("check").stdout == "ok\n"
