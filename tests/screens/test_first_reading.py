"""A phone enrolled just now has weeks of runs to read: they show as they are read, what was done just now first."""

import json

from playwright.sync_api import expect

from tests.screens.screen import Screens

# The core takes its time over a run it only lists, as on a slow phone; what it is asked is counted.
_SLOW = """() => {
    const Real = window.Worker;
    window.asked = {};
    window.Worker = class extends Real {
        postMessage(asked, ...rest) {
            const of = (window.asked[asked.name] ??= { times: 0, with: 0 });
            of.times += 1;
            if ("admin" in JSON.parse(asked.args)) of.with += 1;
            if (asked.name !== "line") return super.postMessage(asked, ...rest);
            setTimeout(() => super.postMessage(asked, ...rest), SLOW_MS);
        }
    };
}"""


def asked(one: Screens, name: str) -> dict[str, int]:
    """How often the core was asked this, and how often with administration."""
    told = one.page.evaluate("() => JSON.stringify(window.asked)")
    found: dict[str, int] = json.loads(told).get(name, {"times": 0, "with": 0})
    return found


def enrolled(phones, slow_ms: int) -> Screens:
    """A phone enrolled just now, of which the core takes so long over each run it lists; one of them shows."""
    one = phones("new phone")
    one.context.add_init_script(f"({_SLOW.replace('SLOW_MS', str(slow_ms))})()")
    one.reload()
    one.enter_as("Tomasz Wren")
    expect(one.page.locator(".run-link").first).to_be_visible()
    return one


def test_a_run_shows_before_every_other_is_read_and_one_opened_meanwhile_comes_first(phones):
    one = enrolled(phones, slow_ms=3_000)
    assert asked(one, "line")["times"] < 10, "it showed only when all were read"
    run = one.start("FV 2", "Fermenter rinse and sanitise before fill")
    one.go()
    expect(one.page.locator(f".run-link[href='#/run/{run}']")).to_be_visible()
    assert asked(one, "line")["times"] < 30, "it waited for all that was there before"


def test_the_core_is_told_the_administration_once_and_not_with_each_run(phones):
    one = enrolled(phones, slow_ms=0)
    assert asked(one, "line")["times"] > 0
    assert asked(one, "line")["with"] == 0
    assert 0 < asked(one, "told")["times"] < 20
