"""What the office says of people and phones reaches a phone at its next sync: who left, new secrets, a revocation."""

from collections.abc import Iterator

import pytest
from sqlalchemy import delete

from tests.living import PINS, Living
from tests.pwa.exchange import HELD, STATE, SYNC, on_server, start
from tests.pwa.house import TAPS, enrol
from vesselside import store
from vesselside.store.base.db import writing
from vesselside.store.base.models import Device, SignIn
from vesselside.store.site import devices, founding, people

SIGN_IN = "([person, secret]) => parts.identity.signIn(person, secret)"
CURRENT = "() => parts.identity.current.value?.id ?? null"
PIN = "907153"


def book(brewery: Living):
    """The book of the small brewery; inside its store."""
    return store.book(founding.breweries()[0][0])


@pytest.fixture
def wilf(phone, brewery) -> Iterator[str]:
    """Somebody new, signed in on the phone; others find nobody more."""
    with brewery.inside():
        person = people.add_person(book(brewery), "Wilf", "brewer", pin=PIN)
    phone.evaluate("() => parts.api.refreshReference(() => Promise.resolve(true))")
    start(phone)
    phone.evaluate(SYNC)
    assert phone.evaluate(SIGN_IN, [person, PIN])["online"] is True
    yield person
    change(brewery, person, status="gone")


def change(brewery: Living, person: str, **what: str) -> None:
    with brewery.inside():
        people.change_person(book(brewery), person, **what)


def test_who_has_left_is_signed_out_at_the_next_sync(phone, line, brewery, wilf, run):
    made = phone.evaluate(TAPS, [2, run])
    change(brewery, wilf, status="gone")
    phone.evaluate(SYNC)
    phone.wait_for_function("() => parts.identity.current.value === null")
    assert f"verifier:{wilf}" not in phone.evaluate(HELD)
    assert on_server(phone, run) == made
    line.down = True
    assert phone.evaluate(SIGN_IN, [wilf, PIN])["ok"] is False


def test_who_stays_stays_signed_in(phone, brewery, wilf):
    change(brewery, "stig", name="Stig")
    change(brewery, wilf, role="duty")
    phone.evaluate(SYNC)
    assert phone.evaluate(CURRENT) == wilf
    assert f"verifier:{wilf}" in phone.evaluate(HELD)


def test_a_pin_that_was_set_anew_is_good_no_more_with_no_signal(phone, line, brewery, wilf):
    change(brewery, wilf, pin="862470")
    phone.evaluate(SYNC)
    line.down = True
    assert phone.evaluate(SIGN_IN, [wilf, PIN]) == {"ok": False, "why": "no-verifier"}
    line.down = False
    assert phone.evaluate(SIGN_IN, [wilf, "862470"])["online"] is True
    phone.evaluate(SYNC)
    line.down = True
    assert phone.evaluate(SIGN_IN, [wilf, "862470"])["ok"] is True


def test_who_becomes_a_manager_leaves_no_verifier(phone, brewery, wilf):
    change(brewery, wilf, role="manager", password="seven-otters-in-tweed")
    phone.evaluate(SYNC)
    assert f"verifier:{wilf}" not in phone.evaluate(HELD)


def test_a_revoked_phone_drops_what_could_be_learnt_from_it_and_no_record(phone, line, brewery, wilf, run):
    """What was not sent waits, and goes once the phone is enrolled again, as a new one."""
    assert {"current", "seal", "session", "sign", f"verifier:{wilf}"} <= set(phone.evaluate(HELD))
    line.down = True
    made = phone.evaluate(TAPS, [3, run])
    device = phone.evaluate("() => parts.identity.device.value.id")
    with brewery.inside():
        devices.revoke(book(brewery), device, "lost", by="mara")
    line.down = False
    phone.evaluate(SYNC)
    phone.wait_for_function("() => parts.sync.syncState.value.trouble === 'enrol'")
    assert phone.evaluate(HELD) == []
    assert phone.evaluate(CURRENT) is None
    assert phone.evaluate("() => [parts.identity.device.value, parts.identity.people()]") == [None, []]
    assert phone.evaluate(STATE)["waiting"] == 4, "the records, and that they signed in"
    assert len(phone.evaluate("(run) => parts.log.eventsOf(run)", run)) == 3
    enrol(phone, brewery, "Found again")
    phone.wait_for_function("async () => (await parts.log.waiting()) === 0")
    assert on_server(phone, run) == made
    assert phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["ok"] is True


def test_a_phone_that_is_merely_unknown_keeps_everything(phone, brewery, wilf, run):
    """An office that lost this phone has not revoked it: the brewer goes on, and a new enrolment mends it."""
    held = phone.evaluate(HELD)
    gone = phone.evaluate("() => parts.identity.device.value.id")
    with brewery.inside(), writing(book(brewery).brewery) as session:
        session.execute(delete(SignIn).where(SignIn.device == gone))
        session.execute(delete(Device).where(Device.id == gone))
    phone.evaluate(TAPS, [1, run])
    phone.evaluate(SYNC)
    assert phone.evaluate(STATE)["trouble"] == "enrol"
    assert phone.evaluate(HELD) == held
    assert phone.evaluate(CURRENT) == wilf
