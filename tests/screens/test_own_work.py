"""At the desk: whoever did some of the work is told that somebody else accepts it."""

import re

from playwright.sync_api import expect

from tests.api.outside import new_run
from tests.screens.test_register import desk, office, opening, push  # noqa: F401  # fixtures
from vesselside.core import VERSION


def test_whoever_did_the_work_is_told_that_somebody_else_accepts_it(desk, office):  # noqa: F811
    page, run = desk.page, new_run()
    push(office, run, "run.opened", opening(office, "brew-dumped"))
    entry = {"step": "why", "field": "why", "value": "Sour.", "typed": "Sour.", "how": "keyed", "over": []}
    push(office, run, "entry.made", {**entry, "verdict": "target", "core": VERSION})
    push(office, run, "run.abandoned", {"reason": "Not needed.", "left": "soiled"})
    desk.go()
    desk.go("record", "run", run)
    desk.hold(page.get_by_role("button", name=re.compile("^Accept")))
    expect(page.get_by_role("alert")).to_contain_text("somebody else accepts it", timeout=30_000)
    answer = page.request.get(f"{desk.origin}/api/runs/{run}").json()
    assert [event["type"] for event in answer["events"]][-1] == "run.abandoned"
