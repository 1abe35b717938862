"""Procedures written at the desk: faults at their fields, publishing in turn with a note, and runs keep theirs."""

import copy
from typing import Any

import pytest
import requests

from tests.api.outside import Phone, new_run
from tests.living import PINS

BASE = "/api/desk/procedures"


@pytest.fixture
def draft(phone: Phone) -> dict[str, Any]:
    """A procedure nobody has, as the desk would copy one that ships."""
    held = next(
        row for row in phone.get("/api/reference").json()["procedures"] if row["id"] == "fermenter-check"
    )
    bare = {key: value for key, value in copy.deepcopy(held).items() if key != "sha256"}
    return {**bare, "id": f"copy-{new_run()}"[:60], "version": 1}


def listed(desk: Phone, name: str) -> list[dict[str, Any]]:
    """The versions of a procedure, as the desk lists them."""
    rows = desk.get(BASE).json()["procedures"]
    return next((row["versions"] for row in rows if row["id"] == name), [])


def test_versions_are_listed_with_who_when_and_the_note(desk, phone, draft):
    first = desk.post(BASE, {**draft, "note": "Copied for the small tank."})
    assert first.status_code == 201, first.text
    second = desk.post(BASE, {**draft, "version": 2, "summary": "Shorter.", "note": "Shorter."})
    newest, oldest = listed(desk, draft["id"])
    assert (newest["version"], newest["note"], newest["person"]) == (2, "Shorter.", "mara")
    assert newest["sha256"] == second.json()["sha256"]
    assert oldest["note"] == "Copied for the small tank."
    assert newest["published"] >= oldest["published"]
    shipped = listed(desk, "fermenter-check")[0]
    assert (shipped["person"], shipped["note"]) == (None, None)
    events = [
        row
        for row in phone.pull()
        if row["type"] == "procedure.published" and row["data"]["id"] == draft["id"]
    ]
    assert [(row["person"], row["data"]["note"]) for row in events] == [
        ("mara", "Copied for the small tank."),
        ("mara", "Shorter."),
    ]
    page = phone.get("/api/reference").json()["procedures"]
    assert [row["version"] for row in page if row["id"] == draft["id"]] == [2]


def test_one_version_comes_whole_as_draft_and_as_file(desk, draft):
    desk.post(BASE, draft)
    held = desk.get(f"{BASE}/{draft['id']}/versions/1").json()
    assert {key: value for key, value in held["procedure"].items() if key != "sha256"} == draft
    again = desk.post(f"{BASE}/file", {"text": held["file"]}).json()
    assert again["faults"] == []
    assert desk.post(f"{BASE}/check", again["draft"]).json()["procedure"] == held["procedure"]
    assert desk.post(f"{BASE}/check", held["draft"]).json()["procedure"] == held["procedure"]
    for version in ("2", "0", "x", "9" * 40):
        assert desk.get(f"{BASE}/{draft['id']}/versions/{version}").status_code == 404


def test_check_and_publish_say_the_same_faults_at_their_fields_and_nothing_is_kept(desk, draft):
    limited = next(
        (at, where)
        for at, step in enumerate(draft["steps"])
        for where, entry in enumerate(step.get("entries", []))
        if "limits" in entry
    )
    entry = draft["steps"][limited[0]]["entries"][limited[1]]
    entry["limits"]["target"][0] = "cold"
    del draft["steps"][0]["title"]
    checked = desk.post(f"{BASE}/check", draft).json()
    fields = [fault["field"] for fault in checked["faults"]]
    place = f"steps.{limited[0]}.entries.{limited[1]}.limits.target.0"
    assert sorted(fields) == sorted([place, "steps.0.title"])
    assert (checked["procedure"], checked["file"]) == (None, None)
    refused = desk.post(BASE, draft)
    assert (refused.status_code, refused.json()["type"]) == (422, "urn:vesselside:invalid")
    assert refused.json()["faults"] == checked["faults"]
    assert listed(desk, draft["id"]) == []


def test_two_managers_do_not_overwrite_each_other(desk, enrol, draft):
    desk.post(BASE, draft)
    mine = {**draft, "version": 2, "summary": "Mine."}
    theirs = {**draft, "version": 2, "summary": "Theirs."}
    assert desk.post(BASE, mine).status_code == 201
    assert desk.post(BASE, mine).status_code == 201, "the same again is no second version"
    late = desk.post(BASE, theirs)
    assert (late.status_code, late.json()["type"]) == (409, "urn:vesselside:invalid")
    assert "version 2" in late.json()["errors"]["version"][0]
    for version in (4, 9999):
        far = desk.post(BASE, {**theirs, "version": version})
        assert far.status_code == 409
        assert "is at version 2 now" in far.json()["detail"]
    assert desk.post(BASE, {**theirs, "version": 3}).status_code == 201
    assert [row["version"] for row in listed(desk, draft["id"])] == [3, 2, 1]
    fresh = desk.post(BASE, {**draft, "id": f"new-{new_run()}", "version": 2})
    assert fresh.status_code == 409
    assert "first version is 1" in fresh.json()["detail"]


def test_the_difference_of_any_two_versions_and_of_a_draft_from_the_newest(desk, draft):
    desk.post(BASE, draft)
    desk.post(BASE, {**draft, "version": 2, "title": "Second"})
    desk.post(BASE, {**draft, "version": 3, "title": "Third"})
    told = desk.get(f"{BASE}/{draft['id']}/difference", before=1, after=3).json()["rows"]
    assert told == [{"where": "Title", "before": draft["title"], "after": "Third", "kind": "changed"}]
    checked = desk.post(f"{BASE}/check", {**draft, "version": 4, "title": "Fourth"}).json()
    assert checked["newest"] == 3
    assert checked["difference"] == [
        {"where": "Title", "before": "Third", "after": "Fourth", "kind": "changed"}
    ]
    assert desk.get(f"{BASE}/{draft['id']}/difference", before=1, after=9).status_code == 404
    assert desk.get(f"{BASE}/{draft['id']}/difference", before=1).status_code == 422
    assert len(listed(desk, draft["id"])) == 3


def test_an_open_run_keeps_the_version_it_was_opened_with(desk, phone, draft):
    sha256 = desk.post(BASE, draft).json()["sha256"]
    run = new_run()
    opened = {"procedure": draft["id"], "version": 1, "sha256": sha256, "vessel": "fv1", "inputs": {}}
    phone.push([phone.make(run, "run.opened", opened)])
    first = draft["steps"][0]
    desk.post(BASE, {**draft, "version": 2, "title": "Other words", "steps": draft["steps"][1:]})
    held = phone.get(f"/api/runs/{run}").json()["run"]
    assert (held["version"], held["sha256"], held["title"]) == (1, sha256, draft["title"])
    assert first["id"] in held["steps"]
    sent = {
        row["version"]: row
        for row in phone.get("/api/reference").json()["procedures"]
        if row["id"] == draft["id"]
    }
    assert sorted(sent) == [1, 2], "the newest for a new run, the older for the one that is open"
    assert sent[1]["sha256"] == sha256


def test_the_form_offers_what_may_be_chosen(desk):
    form = desk.get(f"{BASE}/form").json()
    assert {"id": "caustic", "title": "Caustic soda", "group": "chemical"}.keys() == form["cautions"][
        0
    ].keys()
    assert {"caustic", "gas-alarm"} <= {row["id"] for row in form["cautions"]}
    settings = {row["id"]: row for row in form["settings"]}
    assert settings["caustic-contact"]["unit"] == "s"
    names = {row["name"]: row for row in form["calculations"]}
    assert names["strike-temperature"]["inputs"][0].keys() == {"id", "label", "unit"}
    assert {row["id"] for row in form["fields"]} >= {"title", "summary", "settings", "inputs", "steps"}


@pytest.mark.parametrize("text", ["{", "- a", "a: &x [*x]"])
def test_a_file_that_is_no_procedure_is_a_problem_that_names_the_line(desk, text):
    answer = desk.post(f"{BASE}/file", {"text": text})
    assert answer.status_code == 422
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert answer.json()["faults"][0]["text"]


def test_a_file_with_faults_opens_as_a_draft_that_says_them(desk, draft):
    desk.post(BASE, draft)
    text = (
        desk.get(f"{BASE}/{draft['id']}/versions/1").json()["file"].replace("kind: cellar", "kind: celar", 1)
    )
    opened = desk.post(f"{BASE}/file", {"text": text}).json()
    assert [fault["field"] for fault in opened["faults"]] == ["kind"]
    assert opened["draft"]["kind"] == "celar"


def test_only_a_manager_sees_and_writes_them(server, enrol, draft):
    brewer = enrol()
    assert brewer.post("/api/session", {"person": "bern", "pin": PINS["bern"]}).status_code == 200
    for path in ("", "/form", f"/{draft['id']}/versions/1", f"/{draft['id']}/difference?before=1&after=2"):
        assert requests.get(f"{server.url}{BASE}{path}", timeout=30).status_code == 401
        assert brewer.get(f"{BASE}{path}").status_code == 403
    for path in ("", "/check", "/file"):
        assert brewer.post(f"{BASE}{path}", draft).status_code == 403
