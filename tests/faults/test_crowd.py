"""Everybody comes back at once after a day without a line."""

from concurrent.futures import ThreadPoolExecutor
from typing import Any

import requests

from tests.api.outside import Phone, new_run
from tests.living import Living
from tests.pwa.chain import digest_of

PHONES, EACH = 50, 40


def pushed(phone: Phone, events: list[dict[str, Any]]) -> set[str]:
    """Push until the server takes it, as a phone does; the ids acknowledged."""
    for _ in range(60):
        try:
            answer = phone.exchange(events)
        except requests.ConnectionError:
            continue
        if answer.status_code == 200:
            return {row["id"] for row in answer.json()["results"] if row["status"] in ("stored", "duplicate")}
        assert answer.status_code in (429, 503), answer.text
    raise AssertionError("the server never took it")


def test_fifty_phones_that_come_back_at_once_are_all_taken_in(fresh: Living):
    fresh.start()
    runs = [new_run() for _ in range(10)]
    phones = [Phone(fresh.url, fresh.code(f"phone {at}"), f"phone {at}") for at in range(PHONES)]
    days = [[phone.make(runs[(at + one) % 10]) for one in range(EACH)] for at, phone in enumerate(phones)]
    with ThreadPoolExecutor(PHONES) as pool:
        told = list(pool.map(pushed, phones, days))
        assert told == [{event["id"] for event in day} for day in days]
        pulled = list(pool.map(Phone.pull, phones))
    made = sorted(event["id"] for day in days for event in day)
    for events in pulled:
        assert sorted(event["id"] for event in events if event["subject"].startswith("/runs/")) == made
    for run in runs:
        kept = phones[0].get(f"/api/runs/{run}").json()["events"]
        assert digest_of(kept) == digest_of(
            [event for day in days for event in day if run in event["subject"]]
        )
    fresh.stop()
    assert fresh.command("check").returncode == 0
