"""Photos on their way: what becomes of one holds up neither the records nor the other photos."""

import threading
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.pwa.exchange import ANSWER, STATE, SYNC, pushes
from tests.pwa.house import DRAFT, Called, Reply, Scripted, adopt, problem, until

# Photos that all differ; their hashes.
PHOTOS = """async (count) => {
    for (let at = 0; at < count; at++) {
        const canvas = new OffscreenCanvas(30 + at, 20);
        canvas.getContext("2d").fillRect(0, 0, 5, 5);
        const kept = await parts.log.keepPhoto(await canvas.convertToBlob());
        await parts.log.append({ type: "photo.added", subject: "/runs/run-1", person: "bern", data: kept });
    }
    return parts.log.unsentPhotos();
}"""
UNSENT = "() => parts.log.unsentPhotos()"
# One exchange after another, as time or a person's asking bring them.
UNTIL_SENT = (
    "async () => { await parts.sync.syncNow(); return (await parts.log.unsentPhotos()).length === 0; }"
)
Answering = Callable[[list[str]], Reply | None]


def sent(network: Scripted) -> list[str]:
    """The hashes of the photos that were sent, each as often as it was."""
    return [call.path.rpartition("/")[2] for call in network.calls if call.method == "PUT"]


@pytest.fixture
def phone(page: Page, network: Scripted) -> Callable[[Answering], list[str]]:
    """Three photos on a phone; the test says what its server answers, by what was sent so far, or it takes them."""

    def made(says: Answering) -> list[str]:
        def answer(called: Called) -> Reply:
            if called.method == "PUT":
                return says(sent(network)) or Reply(201, {"sha256": sent(network)[-1]})
            if called.path == "/api/devices/known":
                return problem(403, "invalid")
            if called.path != "/api/sync":
                return Reply(304)
            results = [{"id": event["id"], "status": "stored"} for event in called.json()["events"]]
            return Reply(200, {**ANSWER, "results": results})

        network.answer = answer
        adopt(page)
        hashes: list[str] = page.evaluate(PHOTOS, 3)
        page.evaluate("() => { window.stop = parts.sync.startSync(); }")
        page.evaluate("() => parts.identity.loadIdentity()")
        page.evaluate(SYNC)
        return hashes

    return made


@pytest.mark.parametrize("status", [429, 503])
def test_photos_that_are_to_wait_hold_back_no_record(page, network, phone, status):
    kind = "rate-limited" if status == 429 else "unavailable"
    hashes = phone(lambda _: problem(status, kind, **{"Retry-After": "3600"}))
    made = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    page.evaluate(SYNC)
    until(page, "async () => (await parts.log.waiting()) === 0")
    assert pushes(network)[-1][-1]["id"] == made["id"]
    assert page.evaluate(STATE)["trouble"] is None
    assert page.evaluate(UNSENT) == hashes
    assert len(sent(network)) == 1, "the server asked to be spared photos, all of them"


@pytest.mark.parametrize(
    "bad",
    [problem(500, "failed"), Reply(502, b"no line", "text/plain"), Reply(200, b"<html>", "text/html")],
    ids=["failed", "no line", "a portal"],
)
def test_a_photo_that_fails_holds_up_no_other_and_is_tried_again(page, network, phone, bad):
    hashes = phone(lambda so_far: bad if len(so_far) == 1 else None)
    until(page, UNTIL_SENT)
    first, *others = sent(network)
    assert others[-1] == first, "the others went before it was tried again"
    assert sorted(others) == sorted(hashes)
    assert page.evaluate(STATE)["trouble"] is None


def test_a_photo_that_is_refused_is_not_sent_again(page, network, phone):
    hashes = phone(lambda so_far: problem(422, "invalid") if so_far[-1] == so_far[0] else None)
    for _ in range(3):
        page.evaluate(SYNC)
    until(page, "async () => (await parts.log.unsentPhotos()).length === 1")
    assert sorted(sent(network)) == sorted(hashes)
    assert page.evaluate(UNSENT) == sent(network)[:1]
    assert page.evaluate(STATE)["trouble"] is None


def test_a_phone_that_is_not_enrolled_any_more_sends_no_photo(page, network, phone):
    phone(lambda _: problem(401, "not-enrolled"))
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'enrol'")
    turns = sum(call.path == "/api/sync" for call in network.calls)
    first, *again = sent(network)
    assert set(again) <= {first}, "no other photo goes"
    assert len(again) < turns, "and the first once a turn"


def test_a_photo_that_is_long_on_its_way_holds_up_no_record(page, network, phone):
    """The server takes the first photo's bytes and says nothing of it until it is let go."""
    let_go = threading.Event()

    def slow(so_far: list[str]) -> None:
        if len(so_far) == 1:
            let_go.wait(60)

    try:
        hashes = phone(slow)
        assert len(sent(network)) == 1
        made = page.evaluate("(draft) => parts.log.append(draft)", DRAFT)
        until(page, "async () => (await parts.log.waiting()) === 0")
        assert pushes(network)[-1][-1]["id"] == made["id"]
        assert len(sent(network)) == 1, "and no photo goes twice at once"
    finally:
        let_go.set()
    until(page, UNTIL_SENT)
    assert sorted(sent(network)) == sorted(hashes)
