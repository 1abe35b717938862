"""What the loop does when phone and server no longer agree: about a run, or about who this phone is."""

import shutil
import time

import pytest

from tests.living import Living
from tests.pwa.chain import digest_of
from tests.pwa.exchange import (
    ANSWER,
    FILL,
    RAW,
    STATE,
    SYNC,
    WAITING,
    on_server,
    scripted_phone,
)
from tests.pwa.house import (
    ALL_OF,
    DRAFT,
    TAPS,
    Reply,
    adopt,
    enrol,
    error_of,
    opened,
    problem,
    until,
)
from tests.pwa.journal import awake, elsewhere, journal_lost
from tests.pwa.line import connect
from vesselside import store
from vesselside.store.site import devices, founding


def test_a_run_that_differs_is_fetched_whole(syncing, colleague, run):
    made = colleague.evaluate(TAPS, [4, run])
    colleague.evaluate(SYNC)
    syncing.evaluate(SYNC)
    syncing.evaluate(RAW, ["events", f'store.delete("{made[1]["id"]}")'])
    assert len(syncing.evaluate(ALL_OF, run)) == 3
    made += colleague.evaluate(TAPS, [1, run])
    colleague.evaluate(SYNC)
    syncing.evaluate(SYNC)
    until(syncing, f"async () => (await parts.log.eventsOf('{run}')).length === 5")
    assert syncing.evaluate("(run) => parts.log.digest(run)", run) == digest_of(made)


def test_a_server_put_back_to_an_earlier_state_gets_its_records_again(
    page, network, own_brewery: Living, tmp_path, run
):
    connect(network, own_brewery.url)
    enrol(page, own_brewery)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.evaluate(SYNC)
    own_brewery.stop()
    shutil.copy(tmp_path / "vesselside.sqlite3", tmp_path / "kept")
    own_brewery.start()
    made = page.evaluate(FILL, [30, run])
    page.evaluate(SYNC)
    assert on_server(page, run) == made
    own_brewery.stop()
    for leftover in tmp_path.glob("vesselside.sqlite3-*"):
        leftover.unlink()
    shutil.copy(tmp_path / "kept", tmp_path / "vesselside.sqlite3")
    own_brewery.start()
    page.evaluate(SYNC)
    until(page, "async () => (await parts.log.waiting()) === 0")
    page.evaluate(SYNC)
    assert on_server(page, run) == made


def test_a_forked_chain_ends_this_identity_and_no_record(syncing, network, run):
    """What a copied profile does: the same number is used twice."""
    made = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    elsewhere(syncing, network.origin)
    journal_lost(syncing)
    syncing.evaluate(
        RAW,
        [
            "head",
            f"""const asked = store.get("mine");
            const back = {{ number: 1, hash: "{made[1]["prevhash"]}" }};
            asked.onsuccess = () => store.put({{ ...asked.result, ...back }}, "mine");""",
        ],
    )
    syncing.evaluate(RAW, ["events", f'store.delete("{made[1]["id"]}")'])
    awake(syncing, network.origin)
    [forked] = syncing.evaluate(TAPS, [1, run])
    assert forked["number"] == 2
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    syncing.wait_for_function("() => parts.identity.device.value === null")
    assert syncing.evaluate(STATE)["trouble"] == "enrol"
    assert error_of(syncing, "(draft) => parts.log.append(draft)", DRAFT)["name"] == "NotEnrolled"
    [aside] = syncing.evaluate("() => parts.log.refused()")
    assert (aside["id"], aside["kind"]) == (forked["id"], "quarantined")


@pytest.mark.parametrize("journal", [True, False], ids=["with a journal", "with none"])
def test_a_phone_whose_log_was_lost_has_it_back_or_learns_it_from_the_server(syncing, network, run, journal):
    made = syncing.evaluate(TAPS, [3, run])
    syncing.evaluate(SYNC)
    elsewhere(syncing, network.origin)
    if not journal:
        journal_lost(syncing)
    for event in made[1:]:
        syncing.evaluate(RAW, ["events", f'store.delete("{event["id"]}")'])
    back = {"number": 1, "hash": made[1]["prevhash"], "cursor": "0" * 16}
    syncing.evaluate(
        RAW,
        [
            "head",
            f"""const asked = store.get("mine");
            asked.onsuccess = () => store.put({{ ...asked.result, ...{back} }}, "mine");""",
        ],
    )
    syncing.goto(f"{network.origin}/")
    syncing.wait_for_function("() => window.parts !== undefined")
    syncing.evaluate("() => { window.stop = parts.sync.startSync(); }")
    if journal:
        made += syncing.evaluate(TAPS, [1, run])
        until(syncing, "async () => (await parts.log.waiting()) === 0")
        assert on_server(syncing, run) == made
        assert [event["number"] for event in made] == [1, 2, 3, 4]
    else:
        syncing.wait_for_function("() => parts.identity.device.value === null")
        assert syncing.evaluate(STATE)["trouble"] == "enrol"


def test_a_run_the_server_holds_back_is_fetched_when_part_of_it_is_here(browser, page, network):
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(there, "phone-z")
    old = there.evaluate(TAPS, [3, "run-old"])
    there.close()
    asked = []

    def answer(body):
        asked.append(body.get("fetch", []))
        if "run-old" in body.get("fetch", []):
            return {"events": old, "digests": {"run-old": digest_of(old)}}
        if body["cursor"] == ANSWER["cursor"]:
            return {}
        return {
            "events": old[2:],
            "withheld": ["run-old", "run-never-seen"],
            "digests": {"run-old": digest_of(old)},
        }

    scripted_phone(page, network, answer)
    until(page, "async () => (await parts.log.eventsOf('run-old')).length === 3")
    assert ["run-old"] in asked
    assert not any("run-never-seen" in fetch for fetch in asked)
    page.evaluate(SYNC)
    assert page.evaluate("() => parts.sync.partialRuns()") == ["run-never-seen"]


def test_a_run_that_can_not_be_mended_is_told_and_not_fought_over(page, network):
    scripted_phone(page, network, lambda _: {"digests": {"run-1": "0" * 64}})
    page.wait_for_function("() => parts.sync.syncState.value.trouble === 'mismatch'")
    before = len(network.calls)
    page.wait_for_timeout(1500)
    assert len(network.calls) - before <= 1


def test_a_revoked_phone_keeps_everything_and_sends_it_once_enrolled_again(syncing, brewery: Living, run):
    made = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    device = syncing.evaluate("() => parts.identity.device.value.id")
    with brewery.inside():
        devices.revoke(store.book(founding.breweries()[0][0]), device, "lost", by="mara")
    made += syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (2, "enrol")
    assert syncing.evaluate(WAITING) == 2
    enrol(syncing, brewery, "The same phone again")
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made
    assert syncing.evaluate(STATE)["trouble"] is None


def test_a_phone_that_lost_its_cookie_is_known_by_its_key(browser, syncing, run):
    made = syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    browser.clear_cookies()
    made += syncing.evaluate(TAPS, [2, run])
    syncing.evaluate(SYNC)
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made


def test_a_device_is_revoked_for_good(syncing, brewery: Living, run):
    device = syncing.evaluate("() => parts.identity.device.value.id")
    with brewery.inside():
        devices.revoke(store.book(founding.breweries()[0][0]), device, "lost", by="mara")
    syncing.evaluate(TAPS, [1, run])
    syncing.evaluate(SYNC)
    state = syncing.evaluate(STATE)
    assert (state["waiting"], state["trouble"]) == (1, "enrol")


def test_asking_while_the_enrolment_is_being_lost_is_answered_too(page, network):
    def answer(called):
        time.sleep(0.3)
        return Reply(304) if called.path == "/api/reference" else problem(401, "not-enrolled")

    network.answer = answer
    adopt(page)
    page.evaluate("() => { window.stop = parts.sync.startSync(); }")
    page.wait_for_function("() => parts.sync.syncState.value.running")
    page.evaluate(SYNC)
    page.evaluate(SYNC)
    assert page.evaluate(STATE)["trouble"] == "enrol"
