"""What one phone may bring at once, and that it does not count against another."""

import time

from tests.api.outside import Phone
from tests.api.test_photos import picture, put
from tests.living import Living
from vesselside.store.site import allowance
from vesselside.store.site.allowance import Kind

TOO_MUCH = (429, "urn:vesselside:rate-limited")


def brought(server: Living, phone: Phone, kind: Kind, amount: int) -> None:
    """Let a phone have brought so much already."""
    with server.inside():
        now = int(time.time() * 1000)
        allowance.bring(phone.enrolled["brewery"], phone.id, {kind: amount}, now=now)


def refused(answer) -> int:
    """After how many seconds the phone is to come again."""
    assert (answer.status_code, answer.json()["type"]) == TOO_MUCH
    return int(answer.headers["Retry-After"])


def test_a_days_backlog_passes_and_more_than_that_waits(server, phone, other, run):
    brought(server, phone, allowance.EVENTS, 10_000)
    assert [row["status"] for row in phone.push([phone.make(run) for _ in range(400)])] == ["stored"] * 400
    brought(server, phone, allowance.EVENTS, 9_700)
    waiting = phone.make(run)
    assert 1 <= refused(phone.exchange([waiting])) <= 3600
    assert phone.exchange().status_code == 200, "pulling goes on"
    assert other.push([other.make(run)])[0]["status"] == "stored"


def test_what_ran_off_in_an_hour_may_be_brought_again(server, phone, run):
    with server.inside():
        ago = int(time.time() * 1000) - 3_600_000
        allowance.bring(phone.enrolled["brewery"], phone.id, {allowance.EVENTS: 25_000}, now=ago)
    assert phone.push([phone.make(run)])[0]["status"] == "stored"


def test_two_hundred_and_fifty_six_megabytes_at_once_are_enough(server, phone, run):
    brought(server, phone, allowance.BYTES, 257 * 2**20)
    assert refused(phone.exchange([phone.make(run)])) >= 1


def test_a_phone_cannot_fill_the_quarantine(phone, run):
    """Nothing here was arranged: it pushes what nobody signed, as much as goes."""
    statuses = []
    for _ in range(7):
        forged = [phone.draft(run, signature="A" * 86) for _ in range(400)]
        answer = phone.exchange(forged)
        statuses.append(answer.status_code)
    assert statuses[0] == 200
    assert statuses[-1] == 429
    assert refused(answer) >= 1


def test_photos_are_counted_and_measured(server, phone, other):
    assert put(phone, picture()).status_code == 201
    brought(server, phone, allowance.PHOTOS, 1_010)
    assert refused(put(phone, picture())) >= 1
    assert put(other, picture()).status_code == 201
    brought(server, other, allowance.PHOTO_BYTES, 2**31 + 2**22)
    assert refused(put(other, picture())) >= 1
