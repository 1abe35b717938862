"""Every call of the OpenAPI document, with ids, queries and bodies drawn from it, by callers of every kind.

What is right by the document is taken, what is wrong is refused, each answer is one that the document names and of
the shape it gives, and none is a failure of the server. What no schema can say stands in the tables.
"""

import hashlib
import re
from collections.abc import Iterator
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.config import SchemathesisConfig
from schemathesis.core.failures import Failure, FailureGroup

from tests.api.outside import Phone, new_run
from tests.api.test_border import METHODS, picture
from tests.core.brewing import RECIPE
from tests.living import MANAGER, PINS, Living

SEED = 20_261_129
DRAWN = {"stranger": 3, "phone": 4, "starter": 4, "manager": 10}
"""How many right and how many wrong ones are drawn for a call."""
THROUGH = 60
"""At most how many a manager also makes of those that go through the limits of its schema, spread over them all."""

REFUSED = ["400", "401", "403", "404", "405", "409", "413", "414", "415", "422", "429"]
CHECKS = [
    "not_a_server_error",
    "status_code_conformance",
    "content_type_conformance",
    "response_headers_conformance",
    "response_schema_conformance",
    "negative_data_rejection",
    "positive_data_acceptance",
    "unsupported_method",
    "allow_header_conformance",
]
SECRET = "is easy to guess"
NAME = "A name is 1 to 80 printable letters"
ANYWHERE = (
    "It is a number that is too long, or none|It holds a character that cannot be kept|nested more than"
)
"""What the document says in its description, of every body."""
UNSAID = {
    "GET /api/log/consistency": r"The log has \d+ records|It is from 1 to \d+",
    "GET /api/log/proof": r"The log has \d+ records|A log of \d+ records has none at",
    "GET /api/desk/cleanings": "after must be the next of the page before|A time in the years 1 to 9999",
    "GET /api/desk/deviations": "after must be the next of the page before|A time in the years 1 to 9999",
    "GET /api/desk/reviews": "after must be the next of the page before",
    "GET /api/runs": "after must be the next of the page before|A time in the years 1 to 9999",
    "PATCH /api/desk/people/{person}": f"{SECRET}|{NAME}",
    "POST /api/desk/codes": NAME,
    "POST /api/desk/people": f"{SECRET}|{NAME}",
    # a whole procedure and a whole recipe: each fault is answered at its field
    "POST /api/desk/procedures": '"faults": ',
    "POST /api/desk/procedures/file": '"faults": ',
    "POST /api/recipes": '"errors": ',
    # signed, or of a key that must be a point of its curve
    "POST /api/devices": f"The key must be of kty EC|{NAME}",
    "POST /api/devices/known": "It is no time with its offset",
    "POST /api/log/doubts": "A head has a whole number as its size|A head is signed|not signed by this server",
    "POST /api/sync": "The cursor is beyond this log",
    "PUT /api/desk/announcements": "There is nothing at that place of the log yet",
    "PUT /api/desk/settings/{name}": "This is not a number|Enter a number",
    "PUT /api/instruments/{instrument}": "An id is 1 to 64|stays of its kind|Enter its name|Write it in at most",
    "PUT /api/desk/vessels/{vessel}": "An id is 1 to 64|stays of its kind|Enter its name|Write it in at most"
    "|not a number|Enter a number|A whole number|From |Something runs on it|Another vessel is called so|By its record",
    "PUT /api/push/subscription": "https address of a push service|a point of P-256|be 16 bytes|Nobody of that id",
    "PUT /api/photos/{sha256}": "The address must be the SHA-256 of the photo",
}
"""Of which calls a body that is right by the schema may be refused (422), and with what words: what no schema says."""
ONE_BY_ONE = {"POST /api/sync": ("events", "returned", "known")}
"""In which fields something wrong is answered by itself, and the rest of the body taken."""
NEVER_TAKEN = {
    "POST /api/brewery": "the code of a server with no brewery",
    "POST /api/desk/procedures": "a whole procedure",
    "POST /api/desk/procedures/file": "a whole procedure",
    "POST /api/devices": "a code",
    "POST /api/devices/known": "signed by a key",
    "POST /api/log/doubts": "signed by the server",
    "POST /api/recipes": "a whole recipe",
    "POST /api/session": "a secret",
    "PUT /api/photos/{sha256}": "the hash of what is sent",
    "PUT /api/push/subscription": "a browser's keys",
}
"""What cannot be drawn right, and why; other tests send it. Every other call is taken from a manager at least once."""
QUERIES = {
    "/api/log/consistency": {"first": 1, "second": 2},
    "/api/desk/procedures/{procedure}/difference": {"before": 3, "after": 3},
}
"""What is asked for in the calls that are to be taken."""


@pytest.fixture(scope="module")
def server(templates, tmp_path_factory) -> Iterator[Living]:
    """A server of these tests' own: what is drawn changes a lot in its brewery."""
    folder = tmp_path_factory.mktemp("contract")
    living = Living(folder, templates.of("sqlite", founded=True).copy(folder))
    living.start()
    yield living
    living.leave()


def enrolled(server: Living, name: str) -> Phone:
    """A phone, by the name of its caller."""
    phone = Phone(server.url, server.code())
    if name == "starter":
        phone.sign_in("stig", PINS["stig"])
    if name == "manager":
        assert phone.post("/api/session", MANAGER).status_code == 200
    return phone


@pytest.fixture(scope="module")
def known(server) -> dict[str, str]:
    """What stands in addresses: one of each kind that the brewery holds."""
    desk, run = enrolled(server, "manager"), new_run()
    held = desk.get("/api/reference").json()["procedures"]
    procedure = next(row for row in held if row["version"] == 3)
    opening = {
        "procedure": procedure["id"],
        "version": procedure["version"],
        "sha256": procedure["sha256"],
        "gyle": "g-1",
        "inputs": {},
    }
    assert desk.push([desk.make(run, "run.opened", opening, person="mara")])[0]["status"] == "stored"
    assert desk.post("/api/recipes", {**RECIPE, "id": "ale"}).status_code == 201
    content = picture()
    photo = hashlib.sha256(content).hexdigest()
    kept = desk.send(f"/api/photos/{photo}", content, method="PUT", Content_Type="image/png")
    assert kept.status_code == 201
    return {
        "run": run,
        "gyle": "g-1",
        "recipe": "ale",
        "procedure": procedure["id"],
        "version": str(procedure["version"]),
        "device": enrolled(server, "phone").id,
        "person": "dora",
        "name": "clean-hours",
        "instrument": "ph-1",
        "vessel": "tank-9",
        "sha256": photo,
    }


@pytest.fixture(scope="module")
def needs(server) -> dict[str, set[str]]:
    """Which credentials each call needs: `device`, `person`."""
    document = requests.get(f"{server.url}/api/openapi.json", timeout=30).json()
    return {
        f"{method.upper()} {path}": {name for row in operation.get("security", []) for name in row}
        for path, row in document["paths"].items()
        for method, operation in row.items()
        if method in METHODS
    }


@pytest.fixture(scope="module")
def contract(server):
    """The document as it is served; who may call is tried by the callers, and not drawn."""
    document = requests.get(f"{server.url}/api/openapi.json", timeout=30).json()
    for path in document["paths"].values():
        for method in path.keys() & set(METHODS):
            path[method].pop("security", None)
    config = {
        "generation": {"allow-x00": False},
        "checks": {"negative_data_rejection": {"expected-statuses": REFUSED}},
    }
    return schemathesis.openapi.from_dict(document, config=SchemathesisConfig.from_dict(config))


class Caller:
    """One who makes the calls, and keeps what was answered and what was wrong with it."""

    def __init__(self, server: Living, name: str) -> None:
        self.server, self.name = server, name
        self.http = self._session()
        self.calls = 0
        self.taken: set[str] = set()
        self.wrong: dict[tuple[str, str, str, str], list[str]] = {}
        self._checks = [getattr(schemathesis.checks, name) for name in CHECKS]

    def _session(self) -> requests.Session:
        return requests.Session() if self.name == "stranger" else enrolled(self.server, self.name).http

    def ask(self, case: Any) -> None:
        """Make one call and judge its answer."""
        self.calls, at = self.calls + 1, self.calls
        # from another address each: tries are counted by it
        headers = {"X-Forwarded-For": f"10.{at >> 16}.{at >> 8 & 255}.{at & 255}"}
        out = (case.method, case.path) == ("DELETE", "/api/session")
        http = self._session() if out else self.http
        answer = case.call(base_url=self.server.url, session=http, headers=headers)
        if answer.status_code < 300 and answer.request.method == case.operation.method.upper():
            self.taken.add(case.operation.label)
        try:
            case.validate_response(answer, checks=self._checks)
        except FailureGroup as group:
            for failure in group.exceptions:
                if not excused(case, answer, failure):
                    self._keep(case, answer, failure)

    def _keep(self, case: Any, answer: Any, failure: Any) -> None:
        text = re.sub(r"\d+", "0", answer.text[:120])
        key = (answer.request.method, case.operation.label, type(failure).__name__, text)
        sent = f"{answer.request.url} {str(answer.request.body)[:300]}"
        self.wrong.setdefault(key, [str(failure), sent, str(answer.status_code), answer.text[:600]])


def excused(case: Any, answer: Any, failure: Failure) -> bool:
    """Whether the tables say why the answer is as it is."""
    label = case.operation.label
    if type(failure).__name__ == "RejectedPositiveData":
        unsaid = "|".join([ANYWHERE, *([UNSAID[label]] if label in UNSAID else [])])
        return answer.status_code == 422 and bool(re.search(unsaid, answer.text))
    if type(failure).__name__ == "AcceptedNegativeData" and label in ONE_BY_ONE:
        return isinstance(case.body, dict) and bool(case.body.keys() & set(ONE_BY_ONE[label]))
    return False


def drawn(caller: Caller, operation: Any, mode: GenerationMode, **fixed: Any) -> None:
    """Make calls that are drawn, right or wrong by the document."""

    @seed(SEED)
    @settings(
        max_examples=DRAWN[caller.name],
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(case=operation.as_strategy(generation_mode=mode, **fixed))
    def drive(case: Any) -> None:
        caller.ask(case)

    try:
        drive()
    except Unsatisfiable:
        # nothing can be wrong with a call that takes nothing
        assert mode is GenerationMode.NEGATIVE


def through(contract: Any, operation: Any) -> list[Any]:
    """Calls at the limits of what the schema allows and beyond them, and by methods that it does not have."""
    config = contract.config.generation_for(operation=operation)
    cases = list(
        contract.iter_coverage_cases(
            operation, generation_modes=list(GenerationMode), generation_config=config
        )
    )
    return cases[:: len(cases) // THROUGH + 1]


def fixed(operation: Any, known: dict[str, str]) -> dict[str, Any]:
    """What is not drawn of a call that is to be taken."""
    named = {key: known[key] for key in re.findall(r"{(\w+)}", operation.path)}
    rows = {"path_parameters": named, "query": QUERIES.get(operation.path)}
    return {key: row for key, row in rows.items() if row}


@pytest.mark.parametrize("name", DRAWN)
def test_every_call_keeps_to_the_document(server, contract, known, needs, name):
    caller = Caller(server, name)
    for result in contract.get_all_operations():
        operation = result.ok()
        drawn(caller, operation, GenerationMode.POSITIVE, **fixed(operation, known))
        drawn(caller, operation, GenerationMode.NEGATIVE)
        for case in through(contract, operation) if name == "manager" else []:
            caller.ask(case)
    assert caller.wrong == {}
    if name == "manager":
        assert needs.keys() - caller.taken == NEVER_TAKEN.keys()
    else:
        lacking = {"device", "person"} if name == "stranger" else {"person"}
        assert {label for label in caller.taken if needs[label] & lacking} == set()
