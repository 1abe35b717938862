"""What the document says of an answer holds for every answer of the demo brewery that a GET gives."""

import json
import re
from collections.abc import Iterator

import pytest
from jsonschema import Draft202012Validator

from tests.api.outside import Phone
from tests.living import Living

MANAGER_ROLE = "manager"
OPEN = {
    "Problem.errors": "nested as what was sent",
    "Event.data": "by the kind of the record",
    "EventSent.data": "by the kind of the record",
    "Quarantined.event": "whatever came",
    "Administered.data": "by the kind of what was administered",
    "RecipeDraft": "judged field by field",
    "Drafted": "judged field by field, half written",
    "OpenedFile.draft": "half written",
    "Held.draft": "as the form holds it",
}
"""The objects of the document that may hold anything, and why; each says so in its description."""


@pytest.fixture(scope="module")
def demo(templates, tmp_path_factory) -> Iterator[Phone]:
    """A browser at the demo brewery's desk, its manager signed in."""
    folder = tmp_path_factory.mktemp("demo")
    living = Living(folder, templates.of("sqlite", founded=False).copy(folder))
    told = json.loads(living.command("demo", "--json").stdout)
    living.start()
    manager = next(person for person in told["people"] if person["role"] == MANAGER_ROLE)
    desk = Phone(living.url, living.code())
    signed = desk.post("/api/session", {"person": manager["id"], "password": manager["password"]})
    assert signed.status_code == 200
    yield desk
    living.stop()


@pytest.fixture(scope="module")
def document(demo):
    return demo.get("/api/openapi.json").json()


QUERIES = {"/api/log/proof": "?index=3&size=9", "/api/log/consistency": "?first=3&second=9"}
"""What has to be asked with."""


def given(demo: Phone) -> dict[str, list[str]]:
    """What stands in the addresses: every run, gyle, recipe and procedure of the demo."""
    reference = demo.get("/api/reference").json()
    return {
        "run": [row["id"] for row in demo.get("/api/runs", limit=200).json()["runs"]],
        "gyle": [row["id"] for row in demo.get("/api/gyles").json()["gyles"]],
        "recipe": [row["id"] for row in reference["recipes"]],
        "procedure": [row["id"] for row in reference["procedures"]],
        "version": sorted({str(row["version"]) for row in reference["procedures"]}),
    }


def answered(document: dict, path: str) -> dict | None:
    """The schema of what a GET answers, or None when it answers no JSON of its own."""
    answer = document["paths"][path].get("get", {}).get("responses", {}).get("200", {})
    return answer.get("content", {}).get("application/json", {}).get("schema")


def addresses(path: str, values: dict[str, list[str]]) -> list[str]:
    named = re.findall(r"{(\w+)}", path)
    if not named:
        return [path + QUERIES.get(path, "")]
    found = [path]
    for name in named:
        found = [one.replace("{" + name + "}", value) for one in found for value in values[name]]
    return found


def test_every_answer_of_the_demo_is_as_the_document_says(demo, document):
    """A shape that lacks what an answer may be is found: a missing field, a null, a word that is not of the list."""
    values = given(demo)
    wrong: dict[str, str] = {}
    seen = set()
    for path in document["paths"]:
        schema = answered(document, path)
        if schema is None or "difference" in path:
            continue
        judge = Draft202012Validator({**schema, "components": document["components"]})
        for address in addresses(path, values):
            answer = demo.get(address)
            if answer.status_code == 404 and "{version}" in path:
                continue
            assert answer.status_code == 200, address
            seen.add(path)
            for error in judge.iter_errors(answer.json()):
                wrong.setdefault(error.json_path.split("[")[0] + " of " + path, error.message[-300:])
    assert wrong == {}
    assert {
        "/api/reference",
        "/api/runs/{run}",
        "/api/vessels",
        "/api/gyles/{gyle}",
        "/api/desk/needs",
    } <= seen


def open_parts(part: object, name: str = "") -> dict[str, str]:
    """The objects of a schema that may hold anything, by name, and what each says of itself."""
    if isinstance(part, list):
        return {key: said for one in part for key, said in open_parts(one, name).items()}
    if not isinstance(part, dict):
        return {}
    anything = part.get("additionalProperties", True) in (True, {}) and not part.get("properties")
    an_object = part.get("type") in ("object", ["object", "null"]) and anything
    found = {name: str(part.get("description", ""))} if an_object or part.get("items") == {} else {}
    for key, value in part.items():
        if key == "properties":
            for field, inner in value.items():
                found |= open_parts(inner, f"{name}.{field}")
        else:
            found |= open_parts(value, name)
    return found


def test_no_object_of_the_document_is_open_but_on_purpose(document):
    """A new one is given its shape, or its reason here and in its description."""
    found: dict[str, str] = {}
    for name, schema in document["components"]["schemas"].items():
        found |= open_parts(schema, name)
    found |= open_parts(document["paths"], "paths")
    assert set(found) == set(OPEN)
    assert [name for name, said in found.items() if "open on purpose" not in said.lower()] == []
