"""Records carried from phone to phone as text."""

from tests.pwa.chain import check_chain
from tests.pwa.exchange import STATE, on_server
from tests.pwa.house import ALL_OF, TAPS, adopt, error_of, opened, until


def test_what_waits_is_handed_out_as_it_would_be_sent_and_another_phone_delivers_it(browser, network, page):
    adopt(page)
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    key = adopt(there, "phone-z")
    made = there.evaluate(TAPS, [3, "run-1"]) + there.evaluate(TAPS, [2, "run-2"])
    text = there.evaluate("() => parts.log.exportUnsent()")
    assert page.evaluate("(text) => parts.log.importText(text)", text) == {"taken": 5, "held": 0}
    held = page.evaluate(ALL_OF, "run-1") + page.evaluate(ALL_OF, "run-2")
    assert held == made
    check_chain(held, key)
    assert page.evaluate("() => parts.log.waiting()") == 5
    assert there.evaluate("() => parts.log.waiting()") == 5
    there.close()


def test_records_are_carried_from_phone_to_phone_and_queued_there(browser, network, page):
    adopt(page)
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    key = adopt(there, "phone-z")
    there.evaluate(TAPS, [3, "run-1"])
    text = there.evaluate("() => parts.log.exportRun('run-1')")
    assert page.evaluate("(text) => parts.log.importText(text)", text) == {"taken": 3, "held": 0}
    assert page.evaluate("(text) => parts.log.importText(text)", text) == {"taken": 0, "held": 3}
    held = page.evaluate(ALL_OF, "run-1")
    assert held == there.evaluate(ALL_OF, "run-1")
    check_chain(held, key)
    assert page.evaluate("() => parts.log.waiting()") == 3
    there.close()


def test_text_that_is_no_record_is_turned_down_whole(browser, network, page):
    adopt(page)
    there = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(there, "phone-z")
    there.evaluate(TAPS, [1, "run-1"])
    text = there.evaluate("() => parts.log.exportRun('run-1')")
    for bad in (
        "a shopping list\n",
        '{"id": "x"}\n',
        text.replace("/runs/run-1", "/admin"),
        text.replace("/devices/phone-z", "/server"),
    ):
        assert error_of(page, "(text) => parts.log.importText(text)", text + bad)["name"] == "NotAccepted"
    assert page.evaluate(ALL_OF, "run-1") == []
    there.close()


def test_a_carried_record_that_the_office_doubts_costs_its_carrier_nothing(browser, network, syncing, run):
    """The office knows nothing of the phone it comes from, and sets it aside; whoever brought it goes on as before."""
    stranger = opened(browser, network.origin.replace("localhost", "127.0.0.1"))
    adopt(stranger, "phone-z")
    stranger.evaluate(TAPS, [2, f"{run}-strange"])
    text = stranger.evaluate("() => parts.log.exportUnsent()")
    stranger.close()
    before = syncing.evaluate("() => parts.identity.device.value.id")
    assert syncing.evaluate("(text) => parts.log.importText(text)", text) == {"taken": 2, "held": 0}
    made = syncing.evaluate(TAPS, [2, run])
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert {row["kind"] for row in syncing.evaluate("() => parts.log.refused()")} == {"quarantined"}
    assert syncing.evaluate("() => parts.identity.device.value?.id") == before
    made += syncing.evaluate(TAPS, [1, run])
    until(syncing, "async () => (await parts.log.waiting()) === 0")
    assert on_server(syncing, run) == made
    assert syncing.evaluate(STATE)["trouble"] is None
