"""The core in its worker: the very answers of CPython, in order, and back again after a crash."""

import json
from decimal import Decimal

import pytest

from vesselside.core import bridge

CALL = "([name, args]) => parts.engine.call(name, args)"
CAUGHT = """async ([name, args]) => {
    try { await parts.engine.call(name, args); }
    catch ({ name, code, text, field, waits }) { return { name, code, text, field, waits }; }
    return null;
}"""


def middle(row: dict) -> dict:
    """A calculation's own defaults, or the middle of the range."""
    return {
        field["id"]: field.get("default") or f"{(Decimal(field['min']) + Decimal(field['max'])) / 2:.0f}"
        for field in row["inputs"]
        if "default" in field or "min" in field
    }


def in_python(name: str, args: dict) -> dict:
    """What the server's runtime answers."""
    return json.loads(bridge.call(name, json.dumps(args)))


def test_it_says_what_the_server_says_of_itself(page):
    assert page.evaluate(CALL, ["about", {}]) == in_python("about", {})["ok"]


def test_calculations_agree_with_cpython_to_the_letter(page):
    """Every sum with its middle inputs, and with none; parity (tests/parity) goes through their ranges."""
    listing = in_python("about", {})["ok"]["calculations"]
    assert listing, "there is no calculation to try"
    asked = [
        ["work", {"name": row["name"], "inputs": inputs}] for row in listing for inputs in ({}, middle(row))
    ]
    answers = page.evaluate(
        """(asked) => Promise.all(asked.map(([name, args]) => parts.engine.call(name, args).then(
            (ok) => ({ ok }),
            ({ code, text, field }) => ({ error: { code, text, field } }),
        )))""",
        asked,
    )
    assert answers == [in_python(name, args) for name, args in asked]


def test_a_refusal_keeps_its_code_text_and_field(page):
    args = {"name": "strike-temperature", "inputs": {}}
    refused = in_python("work", args)["error"]
    caught = page.evaluate(CAUGHT, ["work", args])
    assert caught == {"name": "EngineError", "waits": [], **refused}


def test_a_call_that_does_not_exist_is_refused_and_harms_nothing(page):
    assert page.evaluate(CAUGHT, ["dance", {}])["code"] == "bad-call"
    assert page.evaluate(CALL, ["about", {}])["core"]


def test_large_whole_numbers_and_any_text_cross_unharmed(page):
    """JavaScript integers of 2^31 and more are cut when passed as numbers; as JSON text they are not."""
    event = {"id": "x", "data": {"big": 2**53 - 1, "text": 'é\u2028\U0001f37a\\"'}}
    assert page.evaluate(CALL, ["check", {"event": event}]) == in_python("check", {"event": event})["ok"]


def test_calls_are_answered_in_the_order_they_were_asked(page):
    order = page.evaluate(
        """async () => {
            const order = [];
            const asked = [...Array(50).keys()].map((at) =>
                parts.engine.call("about", {}).then(() => order.push(at)));
            await Promise.all(asked);
            return order;
        }"""
    )
    assert order == list(range(50))


KEEP_WORKERS = """{
    const Real = window.Worker;
    window.workers = [];
    window.Worker = class extends Real { constructor(...given) { super(...given); window.workers.push(this); } };
}"""


@pytest.fixture
def watched(page):
    """The page, with the workers it starts in reach."""
    page.add_init_script(KEEP_WORKERS)
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    return page


def test_a_crash_fails_what_was_asked_and_the_next_call_starts_anew(watched):
    before = watched.evaluate("() => parts.engine.startEngine().then(() => parts.engine.generation.value)")
    caught = watched.evaluate(
        """async () => {
            const asked = parts.engine.call("about", {}).catch((error) => error.code);
            window.workers.at(-1).dispatchEvent(new ErrorEvent("error", { message: "out of memory" }));
            return [await asked, parts.engine.engineState.value];
        }"""
    )
    assert caught == ["engine-lost", "failed"]
    assert watched.evaluate(CALL, ["about", {}])["core"]
    assert watched.evaluate("() => [parts.engine.engineState.value, parts.engine.generation.value]") == [
        "ready",
        before + 1,
    ]


def test_a_fault_of_the_core_ends_one_answer_and_not_the_worker(watched):
    """An event list that is no list makes Python raise inside the core."""
    args = {"run": "r", "procedure": None, "events": 7}
    assert watched.evaluate(CAUGHT, ["open", args])["code"] == "core-fault"
    assert watched.evaluate(CALL, ["about", {}])["core"]
    assert watched.evaluate("() => window.workers.length") == 1
