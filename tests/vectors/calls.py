"""One bridge call each, as the sessions of `core/runs.json` are put together from them."""

from tests.core.builder import CAUTIONS, PROCEDURE, START, administration

BAY = {"id": "bay", "role": "brewer"}
NOW = START + 3_600_000


def opened(events):
    return {
        "name": "open",
        "args": {
            "run": "r1",
            "procedure": PROCEDURE,
            "cautions": CAUTIONS,
            "admin": administration(),
            "events": events,
        },
    }


def ordered(events):
    return sorted(events, key=lambda event: (event["hlc"], event["id"]))


def call(name, **args):
    return {"name": name, "args": {"run": "r1", **args}}


def prepare(action, person=BAY, **more):
    return call("prepare", action=action, person=person, now=NOW, **more)
