"""A server with no brewery: its first is begun by the code that it printed, once, and by nobody who has it not."""

from concurrent.futures import ThreadPoolExecutor

import pytest
import requests

from tests.api.outside import Phone
from tests.living import Living
from vesselside import store
from vesselside.store.site import beginning, founding

FIRST = {
    "name": "Saltmarsh Brewery", "manager": "Edda Quist", "pin": "926471", "password": "three-larches-hum",
    "device": "Desk",
}  # fmt: skip


@pytest.fixture
def empty(database_url, tmp_path):
    """A server that has no brewery."""
    living = Living(tmp_path, database_url, workers=2)
    living.start()
    yield living
    living.leave()


def code(living):
    with living.inside():
        return beginning.code_of(store.kept().keys)


def begun(living, **changes):
    return requests.post(f"{living.url}/api/brewery", json={**FIRST, **changes}, timeout=60)


def is_begun(living):
    return requests.get(f"{living.url}/api/brewery", timeout=60).json()


def test_the_first_brewery_is_begun_with_its_manager_and_the_library_that_ships(empty):
    assert is_begun(empty) == {"begun": False}
    assert f"#/begin/{code(empty)}" in (empty.folder / "serve.log").read_text(), "the start says where"
    answer = begun(empty, code=code(empty).lower())
    assert answer.status_code == 201, answer.text
    made = answer.json()
    assert is_begun(empty) == {"begun": True}
    desk = Phone(empty.url, made["code"], "Desk")
    assert desk.enrolled["brewery"] == made["brewery"]
    signed = desk.post("/api/session", {"person": made["person"], "password": FIRST["password"]})
    assert (signed.status_code, signed.json()["role"]) == (200, "manager")
    held = desk.get("/api/reference").json()
    assert held["vessels"] == []
    assert len(held["procedures"]) > 40
    assert [row["name"] for row in held["people"]] == [FIRST["manager"]]
    empty.stop()
    assert empty.command("check").returncode == 0


def test_nobody_begins_one_without_the_code_and_not_by_trying(empty):
    for wrong in ("0000000000", "", "x" * 60):
        refused = begun(empty, code=wrong)
        assert refused.status_code in (403, 422)
    tried = [begun(empty, code="1111111111").status_code for _ in range(6)]
    assert tried[-1] == 429
    assert begun(empty, code=code(empty)).status_code == 429, "not even with the right one, for a minute"
    assert is_begun(empty) == {"begun": False}


@pytest.mark.parametrize(
    "changes",
    [
        {"pin": "123456"},
        {"pin": "12"},
        {"password": "short"},
        {"name": " "},
        {"manager": ""},
        {"device": "\t"},
    ],
)
def test_what_cannot_be_taken_begins_nothing(empty, changes):
    answer = begun(empty, code=code(empty), **changes)
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert is_begun(empty) == {"begun": False}


def test_of_many_at_once_one_begins_it_and_there_is_one_brewery(empty):
    good = code(empty)
    with ThreadPoolExecutor(8) as pool:
        told = list(pool.map(lambda at: begun(empty, code=good, name=f"Brewery {at}").status_code, range(8)))
    assert sorted(told) == [201] + [403] * 7
    with empty.inside():
        assert len(founding.breweries()) == 1


def test_where_there_is_a_brewery_no_code_begins_another_and_nobody_is_shut_out_for_trying(fresh):
    fresh.start()
    good = code(fresh)
    assert [begun(fresh, code=good).status_code for _ in range(7)] == [403] * 7
    assert Phone(fresh.url, fresh.code()).id
