"""Reference data: what a phone needs beforehand, and that it is sent again only when it changed."""

import gzip
import json

import requests

from tests.api.outside import Phone, hash_of, new_run
from tests.core.brewing import RECIPE
from vesselside import store
from vesselside.store.base.turns import turn_of
from vesselside.store.site import founding


def test_it_holds_what_the_contract_lists(phone):
    sent = phone.get("/api/reference").json()
    assert {
        "version",
        "minCore",
        "procedures",
        "cautions",
        "vessels",
        "people",
        "recipes",
        "settings",
    } <= set(sent)
    assert {"id": "bern", "name": "Bern", "role": "brewer"} in sent["people"]
    assert {"id": phone.id, "name": "outside phone", "key": phone.key.jwk} in sent["devices"]
    assert {"bbt1", "fv1"} <= {vessel["id"] for vessel in sent["vessels"]}
    assert "argon2" not in json.dumps(sent)


def test_each_procedure_carries_its_own_hash(phone):
    procedures = phone.get("/api/reference").json()["procedures"]
    assert procedures
    for procedure in procedures:
        assert (
            hash_of({key: value for key, value in procedure.items() if key != "sha256"})
            == procedure["sha256"]
        )


def test_an_unchanged_reference_is_not_sent_again(phone):
    first = phone.get("/api/reference")
    tag = first.headers["ETag"]
    assert tag.startswith('"')
    again = phone.http.get(f"{phone.url}/api/reference", headers={"If-None-Match": tag}, timeout=30)
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["ETag"] == tag
    other = phone.http.get(f"{phone.url}/api/reference", headers={"If-None-Match": '"else"'}, timeout=30)
    assert other.status_code == 200


def test_each_encoding_has_a_tag_of_its_own(phone):
    """RFC 9110 §8.8.1: a strong tag stands for the very bytes."""
    plain = phone.http.get(f"{phone.url}/api/reference", headers={"Accept-Encoding": "identity"}, timeout=30)
    packed = phone.http.get(
        f"{phone.url}/api/reference", headers={"Accept-Encoding": "gzip"}, timeout=30, stream=True
    )
    assert packed.headers["Content-Encoding"] == "gzip"
    assert plain.headers["ETag"] != packed.headers["ETag"]
    assert gzip.decompress(packed.raw.read(decode_content=False)) == plain.content
    assert "Accept-Encoding" in packed.headers["Vary"]


def test_a_change_changes_the_tag(server, phone):
    before = phone.get("/api/reference")
    with server.inside():
        store.change_vessel(
            founding.breweries()[0][0],
            {"id": "bbt1", "name": "BBT 1 again", "kind": "bright", "place": "Cold room"},
        )
    after = phone.get("/api/reference")
    assert after.headers["ETag"] != before.headers["ETag"]
    assert "BBT 1 again" in after.text
    assert before.json()["version"] != after.json()["version"]


def test_a_setting_is_an_event_and_a_value(desk, phone):
    assert desk.send("/api/desk/settings/caustic-low", b'{"value": "1.7"}', method="PUT").status_code == 204
    assert phone.get("/api/reference").json()["settings"]["caustic-low"] == "1.7"
    (event,) = [
        row for row in phone.pull() if row["type"] == "setting.changed" and row["data"]["value"] == "1.7"
    ]
    assert event["person"] == "mara"


def test_an_old_version_stays_while_a_run_is_open_on_it(server, desk, phone):
    procedure = phone.get("/api/reference").json()["procedures"][0]
    run, name = new_run(), f"copy-{new_run()}"

    def publish(version: int) -> str:
        draft = {key: value for key, value in procedure.items() if key != "sha256"}
        answer = desk.post("/api/desk/procedures", {**draft, "id": name, "version": version})
        assert answer.status_code == 201, answer.text
        return answer.json()["sha256"]

    def versions(device: Phone) -> list[int]:
        return [
            row["version"] for row in device.get("/api/reference").json()["procedures"] if row["id"] == name
        ]

    first = publish(1)
    opened = {"procedure": name, "version": 1, "sha256": first, "vessel": "fv1", "inputs": {}}
    phone.push([phone.make(run, "run.opened", opened)])
    publish(2)
    assert versions(phone) == [1, 2]
    phone.push([phone.make(run, "run.abandoned", {"reason": "enough", "left": "soiled"})])
    with server.inside():
        assert versions(phone) == [2]


def test_a_version_stays_though_the_run_on_it_is_not_folded_yet(server, desk, phone):
    procedure = phone.get("/api/reference").json()["procedures"][0]
    name, recipe = f"copy-{new_run()}", f"beer-{new_run()}"

    def publish(version: int) -> str:
        draft = {key: value for key, value in procedure.items() if key != "sha256"}
        return desk.post("/api/desk/procedures", {**draft, "id": name, "version": version}).json()["sha256"]

    def held(kind: str, key: str) -> list[int]:
        return [row["version"] for row in phone.get("/api/reference").json()[kind] if row["id"] == key]

    def brewed(version: int) -> None:
        answer = desk.post("/api/recipes", {**RECIPE, "id": recipe, "version": version})
        assert answer.status_code == 201, answer.text

    first = publish(1)
    brewed(1)
    opened = {"procedure": name, "version": 1, "sha256": first, "vessel": "fv1", "inputs": {}}
    opened |= {"recipe": recipe, "recipe_version": 1, "gyle": f"g-{new_run()}"}
    with server.inside(), turn_of("fold", founding.breweries()[0][0]) as mine:
        assert mine
        phone.push([phone.make(new_run(), "run.opened", opened)])
        publish(2)
        brewed(2)
        assert held("procedures", name) == [1, 2]
        assert sorted(held("recipes", recipe)) == [1, 2]


def test_a_published_version_cannot_be_changed(desk, phone):
    procedure = phone.get("/api/reference").json()["procedures"][0]
    draft = {key: value for key, value in procedure.items() if key != "sha256"}
    same = desk.post("/api/desk/procedures", draft)
    assert (same.status_code, same.json()["sha256"]) == (201, procedure["sha256"])
    changed = desk.post("/api/desk/procedures", {**draft, "title": "Something else"})
    assert changed.status_code == 409
    assert "published" in changed.json()["detail"]


def test_a_procedure_with_a_fault_is_not_published_and_the_fault_is_named(desk, phone):
    procedure = phone.get("/api/reference").json()["procedures"][0]
    draft = {key: value for key, value in procedure.items() if key not in ("sha256", "title")}
    answer = desk.post("/api/desk/procedures", {**draft, "id": "faulty", "version": 1})
    assert answer.status_code == 422
    assert "title" in answer.json()["detail"]


def test_strangers_get_no_reference(server):
    assert requests.get(f"{server.url}/api/reference", timeout=30).status_code == 401
