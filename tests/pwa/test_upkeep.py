"""What an exchange keeps fresh besides the records: people, clock, photos, and what is said of the storage."""

import hashlib
import time

from tests.living import Living
from tests.pwa.exchange import ANSWER, STATE, SYNC, on_server, scripted_phone
from tests.pwa.house import Reply, adopt, set_clock, until
from vesselside import store
from vesselside.core.ground.clock import milliseconds
from vesselside.store.site import founding

# A photo as a screen hands it over, and the record that names it.
PHOTO = """async (run) => {
    const canvas = new OffscreenCanvas(3000, 20);
    canvas.getContext("2d").fillRect(0, 0, 5, 5);
    const kept = await parts.log.keepPhoto(await canvas.convertToBlob({ type: "image/png" }));
    await parts.log.append({ type: "photo.added", subject: `/runs/${run}`, person: "bern", data: kept });
    return kept;
}"""


def test_a_new_colleague_is_known_after_the_next_exchange(syncing, brewery: Living):
    with brewery.inside():
        store.add_person(
            founding.breweries()[0][0], "Nia", "starter", person=f"nia-{time.time_ns()}", pin="428146"
        )
    syncing.evaluate(SYNC)
    syncing.wait_for_function("() => parts.identity.people().some((person) => person.name === 'Nia')")


def test_a_reference_that_needs_a_newer_core_is_not_taken_and_said_so(page, network):
    newer = {
        "version": "9",
        "minCore": "99.0",
        **{name: [] for name in ("procedures", "cautions", "vessels", "people", "recipes")},
        "settings": {},
    }
    scripted_phone(page, network, lambda _: {})
    sync = network.answer
    network.answer = lambda called: (
        Reply(200, newer, headers={"ETag": '"nine"'}) if called.path == "/api/reference" else sync(called)
    )
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'old-core'")
    page.evaluate(SYNC)
    assert page.evaluate(STATE)["trouble"] == "old-core"
    assert page.evaluate("() => parts.sync.reference.value") is None


def test_the_phone_knows_how_far_its_clock_is_off(timed_phone, line):
    now = timed_phone.evaluate("() => Date.now()")
    set_clock(timed_phone, now - 7_200_000)
    timed_phone.evaluate("() => { window.stop = parts.sync.startSync(); }")
    timed_phone.wait_for_function("() => parts.sync.syncState.value.offset > 7_000_000")
    assert abs(timed_phone.evaluate(STATE)["offset"] - 7_200_000) < 60_000


def test_what_is_sent_says_the_phones_own_time(syncing, network):
    syncing.evaluate(SYNC)
    body = next(call.json() for call in reversed(network.calls) if call.path == "/api/sync")
    assert abs(milliseconds(body["clock"]) - time.time() * 1000) < 60_000


def test_a_photo_is_sent_after_the_record_that_names_it(page, network):
    order = []

    def answer(called):
        order.append(called.path)
        if called.path == "/api/sync":
            results = [{"id": event["id"], "status": "stored"} for event in called.json()["events"]]
            return Reply(200, {**ANSWER, "results": results})
        if called.path.startswith("/api/photos/"):
            return Reply(201, {"sha256": called.path.rpartition("/")[2]})
        return Reply(304)

    network.answer = answer
    adopt(page)
    kept = page.evaluate(PHOTO, "run-1")
    assert kept["mime"] == "image/jpeg"
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    until(page, "async () => (await parts.log.unsentPhotos()).length === 0")
    photo = next(call for call in network.calls if call.path == f"/api/photos/{kept['sha256']}")
    assert photo.headers["content-type"] == "image/jpeg"
    assert len(photo.body) == kept["bytes"]
    assert b"Exif" not in photo.body
    assert order.index("/api/sync") < order.index(photo.path)


def test_a_photo_taken_with_no_signal_arrives_when_there_is_one(syncing, network, line, run):
    line.down = True
    kept = syncing.evaluate(PHOTO, run)
    syncing.evaluate(SYNC)
    assert syncing.evaluate("() => parts.log.unsentPhotos()") == [kept["sha256"]]
    line.down = False
    syncing.evaluate(SYNC)
    until(syncing, "async () => (await parts.log.unsentPhotos()).length === 0")
    assert syncing.evaluate(STATE)["trouble"] is None
    held = syncing.request.get(f"{network.origin}/api/photos/{kept['sha256']}")
    assert held.headers["content-type"] == "image/jpeg"
    assert hashlib.sha256(held.body()).hexdigest() == kept["sha256"]
    (named,) = on_server(syncing, run)
    assert (named["type"], named["data"]) == ("photo.added", kept)


def test_the_phone_says_whether_its_storage_is_kept(browser, page, network):
    cdp = browser.new_cdp_session(page)
    permission = {"permission": {"name": "persistent-storage"}, "origin": network.origin}
    cdp.send("Browser.setPermission", {**permission, "setting": "granted"})
    scripted_phone(page, network, lambda _: {})
    page.wait_for_function("() => parts.sync.syncState.value.storage === 'persistent'")


def test_refused_storage_is_said_too(browser, page, network):
    cdp = browser.new_cdp_session(page)
    permission = {"permission": {"name": "persistent-storage"}, "origin": network.origin}
    cdp.send("Browser.setPermission", {**permission, "setting": "denied"})
    scripted_phone(page, network, lambda _: {})
    page.wait_for_function("() => parts.sync.syncState.value.storage === 'refused'")
