"""A restore to yesterday, on both databases, with three phones, one of them enrolled after the copy."""

import pytest

from tests.api.outside import digest_of, new_run
from tests.back.outside import Keeper
from tests.living import PINS, Living
from tests.outside.chain import verify
from vesselside import store
from vesselside.store.site import founding, people


@pytest.fixture
def brewery(fresh: Living) -> Living:
    """A server with two phones' records, a copy of which was made."""
    fresh.start()
    return fresh


def add_person(living: Living, person: str, role: str = "brewer") -> None:
    with living.inside():
        store.add_person(founding.breweries()[0][0], person.title(), role, person=person, pin="530917")


def put_back(living: Living) -> None:
    """Stop, put the copy back, and start again, as an owner does."""
    living.stop()
    done = living.command("restore", "--replace", str(living.folder / "copy.zip"))
    assert done.returncode == 0, done.stderr
    living.start()


def copy(living: Living) -> None:
    done = living.command("backup", str(living.folder / "copy.zip"))
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("first", ["old", "new"])
def test_nothing_acknowledged_is_missing_after_a_restore_to_yesterday(brewery, first):
    run, later = new_run(), new_run()
    one, two = (Keeper(brewery.url, brewery.code()) for _ in range(2))
    for phone in (one, two):
        phone.sign_in("bern", PINS["bern"])
        phone.sync()
        phone.sync([phone.make(run) for _ in range(5)])
    one.sync(), two.sync()
    copy(brewery)
    three = Keeper(brewery.url, brewery.code("the new phone"))
    add_person(brewery, "newt")
    with brewery.inside():
        tank = {"id": "fv9", "name": "FV 9", "kind": "fermenter", "place": "Yard"}
        store.change_vessel(founding.breweries()[0][0], tank)
    one.sync([one.make(run), one.make(later)])
    three.sign_in("newt", "530917")
    three.sync()
    three.sync([three.make(run, person="newt"), three.make(later, person="newt")])
    two.sync([two.make(later)])
    one.sync(), three.sync()
    before = {name: one.get(f"/api/runs/{name}").json() for name in (run, later)}
    put_back(brewery)

    assert three.exchange().status_code == 401
    order = (one, two, three) if first == "old" else (three, two, one)
    for phone in (*order, *order):
        phone.sync()

    assert tank in one.get("/api/reference").json()["vessels"]
    made = one.made + two.made + three.made
    for name in (run, later):
        held = one.get(f"/api/runs/{name}").json()
        wanted = [event for event in made if event["subject"] == f"/runs/{name}"]
        assert {event["id"] for event in held["events"]} == {event["id"] for event in wanted}
        assert held["run"]["digest"] == digest_of(wanted) == before[name]["run"]["digest"]
        assert verify(held, one.get("/api/reference").json()) == len(wanted)
        assert held["run"]["findings"] == before[name]["run"]["findings"]
        assert {row["code"] for row in held["run"]["findings"]} == {"not-opened"}, (
            "and no right is doubted, and nobody"
        )
    assert brewery.command("check").stdout == "ok\n"
    assert "0 differences" in brewery.command("rebuild").stdout
    file = str(brewery.folder / "evidence.json")
    assert brewery.command("evidence", later, "-o", file).returncode == 0
    assert brewery.command("verify", file).stdout == "ok\n"
    for phone in (one, two, three):
        told = phone.sync([phone.make(run)])
        assert told["results"] == [] or told["results"][0]["status"] == "stored"


def test_a_server_that_was_not_stopped_forgets_what_the_restore_took_back(brewery):
    """Its processes keep the administration they have read; a right given after the copy was taken back with it."""
    phone, run = Keeper(brewery.url, brewery.code()), new_run()
    second = Keeper(brewery.url, brewery.code())
    phone.sync(), second.sync()
    phone.sync([phone.make(run)])
    copy(brewery)
    other = Keeper(brewery.url, brewery.code())
    with brewery.inside():
        book = store.book(founding.breweries()[0][0])
        people.change_person(book, "stig", role="manager")
    later = new_run()
    skipped = {"step": "a-step", "reason": "not needed"}
    other.sync()
    other.sync([other.make(later, person="stig"), other.make(later, "step.skipped", skipped, person="stig")])
    assert "unauthorised" not in codes(phone, later)
    done = brewery.command("restore", "--replace", str(brewery.folder / "copy.zip"))
    assert done.returncode == 0, done.stderr
    phone.sync()
    second.sync(
        [second.make(run) for _ in range(10)]
    )  # so that the log goes on past where the right was given
    phone.sync()
    assert "unauthorised" not in codes(phone, run)
    phone.sync([phone.make(run, "step.skipped", skipped, person="stig")])
    assert "unauthorised" in codes(phone, run)


def codes(phone: Keeper, run: str) -> list[str]:
    """The findings of a run."""
    return [row["code"] for row in phone.get(f"/api/runs/{run}").json()["run"]["findings"]]
