"""Two breweries on one server: every call of the document, by every caller, with the other brewery's ids in it."""

import hashlib
import io
import re
from collections.abc import Iterator

import pytest
import requests
from PIL import Image

from tests.api.outside import START, Phone, new_run, uuid7
from tests.api.test_interlocks import step
from tests.core.brewing import RECIPE
from tests.databases import KINDS
from tests.living import MANAGER, PINS, Living
from tests.pushed import Browser, Service
from vesselside import library, store
from vesselside.store.site import founding, people

THEIRS = "Alderholt"
"""A word in every name and text of the other brewery, and in nothing else."""
PASSWORDS = {
    "mara": MANAGER["password"],
    "bern": "bright-tin-valve",
    "stig": "slow-oak-barrel",
    "dora": "wide-glass-gauge",
}
THEIR_MANAGER = {"person": "mara", "password": "plain-stone-arch"}
METHODS = ("get", "put", "post", "delete", "patch")
JSON = "application/json"
METER = {"name": "pH 4", "kind": "ph-meter", "place": "Lab", "check_days": 7}
TANK = {"name": "FV 4", "kind": "fermenter"}
DRAFT = {"version": 1, "kind": "cellar", "vessel_kinds": [], "summary": "Quick.", "steps": [step("look")]}

PUSHED = Browser(Service("https://push.example"), "theirs").subscription
BODIES = {
    "Beginning": {
        "code": "0000000000",
        "name": "Ours",
        "manager": "Nell",
        "pin": "471093",
        "password": "a-long-copper-lid",
        "device": "desk",
    },
    "Enrolment": {"code": "0000000000", "name": "phone", "key": {}},
    "SignIn": THEIR_MANAGER,
    "RecipeDraft": {**RECIPE, "id": "their-ale"},
    "InstrumentDraft": METER,
    "VesselDraft": TANK,
    "Publication": {**DRAFT, "id": "their-look", "title": "Look"},
    "Drafted": {**DRAFT, "id": "their-look", "title": "Look"},
    "FileText": {"text": "id: their-look\n"},
    "Reason": {"reason": "lost"},
    "CodeFor": {"name": "phone"},
    "NewPerson": {"name": "Nell", "role": "starter", "pin": "471093"},
    "PersonChange": {"role": "starter"},
    "Setting": {"value": "70"},
    "PutAway": {"through": START},
    "Subscribed": {**PUSHED, "kinds": []},
}
"""What is sent, by the schema that the document names; a new one fails until it is here."""
QUERIES = {
    "/api/log/proof": {"index": 0, "size": 1},
    "/api/log/consistency": {"first": 1, "second": 1},
    "/api/desk/procedures/{procedure}/difference": {"before": 1, "after": 1},
}
ANSWERED = {
    ("post", "/api/brewery"): {403},
    ("post", "/api/devices"): {403, 422, 429},
    ("post", "/api/devices/known"): {422, 429},
    ("post", "/api/log/doubts"): {422},
    ("post", "/api/session"): {403, 429},
    ("get", "/api/runs/{run}"): {404},
    ("get", "/api/gyles/{gyle}"): {404},
    ("get", "/api/photos/{sha256}"): {404},
    ("put", "/api/photos/{sha256}"): {422},
    ("get", "/api/recipes/{recipe}"): {404},
    ("get", "/api/recipes/{recipe}/sheet"): {404},
    ("get", "/api/desk/procedures/{procedure}/versions/{version}"): {404},
    ("get", "/api/desk/procedures/{procedure}/difference"): {404},
    ("post", "/api/desk/procedures/file"): {200, 422},
    ("post", "/api/desk/devices/{device}/revocation"): {404},
    ("patch", "/api/desk/people/{person}"): {404},
    ("delete", "/api/desk/people/{person}/name"): {404},
}
"""The answers to one who may make the call at home; where nothing is named, any success."""


def picture() -> bytes:
    """A small photo, whose bytes nobody else has."""
    file = io.BytesIO()
    Image.frombytes("RGB", (8, 8), bytes(hashlib.sha512(uuid7().encode()).digest() * 3)).save(file, "PNG")
    return file.getvalue()


class Other:
    """The other brewery: a phone, a desk, and something of each kind that can be asked for."""

    def __init__(self, living: Living) -> None:
        shipped = library.load()
        with living.inside():
            self.brewery = store.create_brewery(f"{THEIRS} brewery")
            for person, role in (("mara", "manager"), ("their-bern", "brewer")):
                password = THEIR_MANAGER["password"] if role == "manager" else None
                store.add_person(
                    self.brewery, f"{THEIRS} {person}", role, person=person, pin="402917", password=password
                )
            vessel = {"id": "their-tank", "name": f"{THEIRS} tank", "kind": "fermenter", "place": "Yard"}
            store.change_vessel(self.brewery, vessel)
            store.publish_library(self.brewery, shipped.procedures[:1], shipped.cautions)
            codes = [store.make_code(self.brewery, f"{THEIRS} {name}") for name in ("phone", "desk")]
        self.phone, self.desk = (Phone(living.url, code, f"{THEIRS} device") for code in codes)
        assert self.desk.post("/api/session", THEIR_MANAGER).status_code == 200
        self._fill()

    def _fill(self) -> None:
        phone, desk, self.run = self.phone, self.desk, new_run()
        draft = {**DRAFT, "id": "their-look", "title": f"{THEIRS} look", "kind": "cellar"}
        sha256 = desk.post("/api/desk/procedures", draft).json()["sha256"]
        opening = {
            "procedure": "their-look",
            "version": 1,
            "sha256": sha256,
            "gyle": "their-gyle",
            "inputs": {},
        }
        self.opened = phone.make(self.run, "run.opened", opening, person="their-bern")
        content = picture()
        self.photo = hashlib.sha256(content).hexdigest()
        photo = {"sha256": self.photo, "mime": "image/png", "bytes": len(content)}
        note = phone.make(self.run, data={"text": f"{THEIRS} note"}, person="their-bern")
        events = [self.opened, note, phone.make(self.run, "photo.added", photo, person="their-bern")]
        forged = {**phone.draft(self.run, data={"text": f"{THEIRS} forged"}), "signature": "0"}
        done = [row["status"] for row in phone.push([*events, forged])]
        assert done == ["stored"] * 3 + ["quarantined"]
        kept = phone.send(f"/api/photos/{self.photo}", content, method="PUT", Content_Type="image/png")
        assert kept.status_code == 201
        assert desk.post("/api/recipes", {**RECIPE, "id": "their-ale", "name": f"{THEIRS} ale"}).ok
        assert desk.http.put(f"{desk.url}/api/instruments/their-meter", json={**METER, "name": THEIRS}).ok
        setting = {"value": f"{THEIRS} 71"}
        assert desk.http.put(f"{desk.url}/api/desk/settings/meeting-place", json=setting).ok
        assert phone.pull()
        self.given = {
            "run": self.run,
            "gyle": "their-gyle",
            "recipe": "their-ale",
            "procedure": "their-look",
            "version": "1",
            "device": phone.id,
            "person": "their-bern",
            "sha256": self.photo,
            "name": "meeting-place",
            "instrument": "their-meter",
            "vessel": "their-tank",
        }
        self.marks = [THEIRS, self.brewery, desk.id] + [row["id"] for row in (*events, *phone.pulled)]

    def bodies(self) -> dict[str, dict]:
        """What is sent that names something of this brewery's."""
        # of no time: each word that is judged and refused would count against the address
        word = {"log": self.brewery, "device": self.phone.id, "time": "now"}
        head = self.desk.get("/api/log/head").json()
        return {
            "SyncRequest": {"cursor": START, "fetch": [self.run]},
            "Word": {**word, "signature": "A" * 86},
            "Doubt": {"kind": "forked", "kept": head, "told": head},
        }

    def state(self) -> list[object]:
        """What the other brewery's own desk sees of what calls could have changed."""
        told = [self.desk.get(f"/api/desk/{name}").json() for name in ("people", "quarantine", "devices")]
        for device in told[2]["devices"]:
            device["heard"] = None
        size = self.desk.get("/api/log/head").json()["size"]
        return [*told, size, self.desk.get("/api/reference").headers["ETag"]]


@pytest.fixture(scope="module", params=KINDS)
def server(request, templates, tmp_path_factory) -> Iterator[Living]:
    """A server with a home brewery, whose people all have passwords too."""
    folder = tmp_path_factory.mktemp(f"border-{request.param}")
    living = Living(folder, templates.of(request.param, founded=True).copy(folder))
    with living.inside():
        home = store.book(founding.breweries()[0][0])
        for person, password in PASSWORDS.items():
            people.change_person(home, person, password=password)
    living.start()
    yield living
    living.leave()


@pytest.fixture(scope="module")
def other(server: Living) -> Other:
    """The other brewery on the same server."""
    return Other(server)


def operations(server: Living) -> list[tuple[str, str, dict]]:
    """Every call of the document: what reads first, what ends the session last."""
    document = requests.get(f"{server.url}/api/openapi.json", timeout=30).json()
    rows = [
        (method, path, operation)
        for path, row in document["paths"].items()
        for method, operation in row.items()
        if method in METHODS
    ]
    return sorted(rows, key=lambda row: (row[0] != "get", row[0] == "delete", row[1] == "/api/session"))


def asked(caller: Phone, other: Other, method: str, path: str, operation: dict):
    """Make one call as the document has it, with the other brewery's ids."""
    address = re.sub(r"\{(\w+)\}", lambda found: other.given[found[1]], path)
    content = operation.get("requestBody", {}).get("content", {})
    sent: dict = {}
    if JSON in content:
        name = content[JSON]["schema"]["$ref"].rpartition("/")[2]
        sent["json"] = other.bodies().get(name) or BODIES[name]
    elif content:
        sent = {"data": picture(), "headers": {"Content-Type": "image/png"}}
    elif method != "get":
        sent["headers"] = {"Content-Type": JSON}
    return caller.http.request(method, caller.url + address, params=QUERIES.get(path), timeout=60, **sent)


def secret_of(person: str, way: str) -> dict[str, str]:
    return {"person": person, way: PINS[person] if way == "pin" else PASSWORDS[person]}


DESK = "mara by password"
SIGNED = [f"{person} by {way}" for person in PINS for way in ("pin", "password")]
# the desk is last: what it makes at home, by the other brewery's ids, is there from then on
CALLERS = ["stranger", "forged", "nobody", "their cookie", *sorted(set(SIGNED) - {DESK}), DESK]


def made(server: Living, other: Other, name: str) -> Phone:
    """A caller of the home brewery."""
    caller = Phone(server.url, server.code())
    jar = caller.http.cookies
    device = jar["vesselside-device"]
    if name == "stranger":
        jar.clear()
    elif name == "forged":
        jar.clear()
        jar["vesselside-device"] = ".".join([other.brewery, *device.split(".")[1:]])
    elif name == "their cookie":
        jar["vesselside-person"] = other.desk.http.cookies["vesselside-person"]
    elif name != "nobody":
        person, way = name.split(" by ")
        assert caller.post("/api/session", secret_of(person, way)).status_code == 200
    return caller


@pytest.mark.parametrize("name", CALLERS)
def test_no_call_of_the_document_reaches_across(server, other, name):
    caller, before = made(server, other, name), other.state()
    for method, path, operation in operations(server):
        answer = asked(caller, other, method, path, operation)
        what = (name, method, path, answer.status_code, answer.text[:300])
        needs = [key for row in operation.get("security", []) for key in row]
        asked_for = set(other.given.values())
        leaked = [mark for mark in other.marks if mark in answer.text and mark not in asked_for]
        assert leaked == [], what
        assert answer.status_code < 500, what
        assert str(answer.status_code) in operation["responses"], what
        if needs and name in ("stranger", "forged"):
            assert answer.status_code == 401, what
        elif "person" in needs and name != DESK:
            assert answer.status_code == 403, what
        else:
            assert answer.status_code in ANSWERED.get((method, path), {200, 201, 204}), what
    assert other.state() == before
    assert other.desk.get("/api/desk/needs").status_code == 200, "their session is still theirs"


def statuses(results: list[dict[str, str]]) -> list[tuple[str, str | None]]:
    return [(row["status"], row.get("problem")) for row in results]


def test_no_phone_brings_a_record_of_the_server(server, other):
    """One log's administration replayed into another, or into its own, and made up; all are signed by one key."""
    caller, run = Phone(server.url, server.code()), new_run()
    theirs = [event for event in other.phone.pulled if event["source"] == "/server"]
    assert "person.changed" in {event["type"] for event in theirs}
    assert {event["log"] for event in theirs} == {other.brewery}
    far = [caller.key.sign({**event, "number": event["number"] + 1000}) for event in theirs[:2]]
    here = [event for event in caller.pull() if event["source"] == "/server"]
    made_up = [
        caller.make(
            run, "person.changed", {"person": "bern", "role": "manager"}, source="/server", subject=subject
        )
        for subject in ("/admin", f"/runs/{run}")
    ]
    pushed = [*theirs, *far, *here, *made_up]
    size = caller.get("/api/log/head").json()["size"]
    for at in range(0, len(pushed), 100):
        part = pushed[at : at + 100]
        assert statuses(caller.push(part)) == [("refused", "source-mismatch")] * len(part)
    assert caller.get("/api/log/head").json()["size"] == size, "nothing was put into the log"


def test_a_record_of_the_other_brewery_is_nobodys_here(server, other):
    caller = Phone(server.url, server.code())
    assert statuses(caller.push([other.opened])) == [("quarantined", "source-mismatch")]
    assert caller.get(f"/api/runs/{other.run}").status_code == 404
    assert statuses(other.phone.push([other.opened])) == [("repeat", None)]
