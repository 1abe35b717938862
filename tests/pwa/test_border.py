"""A phone that is enrolled at one brewery after another."""

import pytest
from playwright.sync_api import Page

from tests.pwa.exchange import ANSWER, STATE, SYNC, WAITING, pushes
from tests.pwa.house import ALL_OF, TAPS, Called, Reply, Scripted, adopt, until
from tests.pwa.test_log import RECEIVE
from tests.pwa.test_upkeep import PHOTO

EPOCH = "01970000-0000-7000-8000-000000000002"
UNSENT = "() => parts.log.unsentPhotos()"


@pytest.fixture
def office(network: Scripted) -> Scripted:
    """A server that takes all it is sent; asked in a life of its log that it does not know, it was put back."""

    def answer(called: Called) -> Reply:
        if called.method == "PUT":
            return Reply(201, {"sha256": called.path.rpartition("/")[2]})
        if called.path != "/api/sync":
            return Reply(304)
        sent = called.json()
        results = [
            {"id": event["id"], "status": "stored", "sequence": f"{at + 1:016d}"}
            for at, event in enumerate(sent["events"])
        ]
        return Reply(200, {**ANSWER, "results": results, "epoch": sent.get("epoch", EPOCH)})

    network.answer = answer
    return network


def enrolled(page: Page, device: str, brewery: str) -> None:
    """Give the phone an identity, and exchange once."""
    page.evaluate("() => window.stop?.()")
    adopt(page, device, brewery)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate("() => parts.identity.loadIdentity()")
    page.evaluate(SYNC)
    until(page, f"async () => (await ({WAITING})()) === 0")


def pushed(network: Scripted) -> list[str]:
    """The ids of all records that were sent, in order."""
    return [event["id"] for events in pushes(network) for event in events]


def photos(network: Scripted) -> list[str]:
    """The hashes of all photos that were sent."""
    return [call.path.rpartition("/")[2] for call in network.calls if call.method == "PUT"]


def test_what_was_not_sent_at_one_brewery_is_not_sent_to_another_and_waits(page, office):
    adopt(page, "phone-a", "brewery-1")
    first = [event["id"] for event in page.evaluate(TAPS, [2, "run-1"])]
    photo = page.evaluate(PHOTO, "run-1")["sha256"]
    held = [event["id"] for event in page.evaluate(ALL_OF, "run-1")]
    assert held[:2] == first

    enrolled(page, "phone-b", "brewery-2")
    (here,) = page.evaluate(TAPS, [1, "run-2"])
    page.evaluate(SYNC)
    assert pushed(office) == [here["id"]]
    assert (photos(office), page.evaluate(UNSENT)) == ([], [])
    assert page.evaluate(STATE)["laidBy"] == 3
    assert page.evaluate(ALL_OF, "run-1") == [], "another brewery's run is no run of this one"

    enrolled(page, "phone-c", "brewery-1")
    until(page, f"async () => (await ({UNSENT})()).length === 0")
    assert pushed(office) == [here["id"], *held]
    assert photos(office) == [photo]
    assert [event["id"] for event in page.evaluate(ALL_OF, "run-1")] == held, "no record is gone"
    assert page.evaluate(ALL_OF, "run-2") == []
    assert page.evaluate(STATE)["laidBy"] == 0


def test_a_new_enrolment_at_the_same_brewery_sends_what_waits(page, office):
    adopt(page, "phone-a", "brewery-1")
    made = [event["id"] for event in page.evaluate(TAPS, [2, "run-1"])]
    enrolled(page, "phone-b", "brewery-1")
    assert pushed(office) == made


def test_a_log_that_was_put_back_gets_no_record_of_another_brewery(page, office):
    enrolled(page, "phone-a", "brewery-1")
    (there,) = page.evaluate(TAPS, [1, "run-1"])
    page.evaluate(SYNC)
    enrolled(page, "phone-b", "brewery-2")
    (here,) = page.evaluate(TAPS, [1, "run-2"])
    page.evaluate(SYNC)
    assert pushed(office) == [there["id"], here["id"]]
    takes, life = office.answer, "01970000-0000-7000-8000-000000000003"

    def put_back(called: Called) -> Reply:
        if called.path != "/api/sync" or called.json().get("epoch") == life:
            return takes(called)
        said = {"type": "urn:vesselside:log-changed", "status": 409, "shared": "0" * 16, "epoch": life}
        return Reply(409, said, "application/problem+json")

    office.answer = put_back
    page.evaluate(SYNC)
    until(page, f"async () => (await ({WAITING})()) === 0")
    assert pushed(office) == [there["id"], here["id"], here["id"]]


def test_the_administration_of_another_brewery_counts_for_nothing(page):
    """A phone once enrolled elsewhere keeps what it was told there, and believes none of it here."""
    adopt(page)
    here = page.evaluate("async () => (await parts.log.headNow()).brewery")
    told = [
        {"id": f"told-{at}", "specversion": "1.0", "source": "/server", "type": "setting.changed", "subject": "/admin",
         "time": "2026-11-28T08:00:00.000Z", "person": "ada", "hlc": f"01970000000{at}-0000", "seen": "0" * 16,
         "number": at + 1, "data": {"name": "clean-hours", "value": "9"}, "prevhash": "0" * 64, "signature": "",
         "sequence": f"{at + 1:016d}", **({"log": log} if log else {})}
        for at, log in enumerate((here, "elsewhere", None))
    ]  # fmt: skip
    page.evaluate(RECEIVE, {"events": told})
    assert [event["id"] for event in page.evaluate("() => parts.log.admin()")] == ["told-0", "told-2"]
