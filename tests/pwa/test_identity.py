"""Who this phone is and who holds it, with the real server and without any."""

from datetime import timedelta
from itertools import pairwise

import pytest

from tests.living import MANAGER, PINS
from tests.pwa.exchange import HELD, SYNC, start
from tests.pwa.house import DRAFT, error_of, opened, set_clock

SIGN_IN = "([person, secret]) => parts.identity.signIn(person, secret)"
VERIFY = "([person, secret]) => parts.identity.verifyPerson(person, secret)"
CURRENT = "() => parts.identity.current.value"


def ms(**parts: int) -> int:
    """A span of time in milliseconds."""
    return int(timedelta(**parts) / timedelta(milliseconds=1))


def again(page) -> None:
    """Load the page anew, as a phone taken from a pocket does."""
    page.reload()
    page.wait_for_function("() => window.parts !== undefined")
    page.evaluate("() => parts.identity.loadIdentity()")


def test_enrolling_makes_a_new_device_every_time(phone, brewery):
    first = phone.evaluate("() => parts.identity.device.value.id")
    phone.evaluate("([code]) => parts.identity.enrol(code, 'Again')", [brewery.code()])
    second = phone.evaluate("() => parts.identity.device.value.id")
    assert first != second
    made = phone.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    assert (made["source"], made["number"]) == (f"/devices/{second}", 1)


def test_a_wrong_code_enrols_nothing(page, line):
    told = page.evaluate("() => parts.identity.enrol('0000000000', 'Phone').catch((error) => error.kind)")
    assert told == "code-invalid"
    page.evaluate("() => parts.identity.loadIdentity()")
    assert page.evaluate("() => parts.identity.device.value") is None


def test_people_come_from_the_reference(phone):
    people = {row["id"]: row["role"] for row in phone.evaluate("() => parts.identity.people()")}
    assert people == {"mara": "manager", "bern": "brewer", "stig": "starter", "dora": "duty"}


def test_a_pin_signs_in_online_and_again_with_no_signal(phone, line):
    assert phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["online"] is True
    line.down = True
    again(phone)
    phone.evaluate("() => parts.identity.signOut()")
    answer = phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    assert (answer["ok"], answer["online"]) == (True, False)
    assert phone.evaluate(CURRENT) == {"id": "bern", "name": "Bern", "role": "brewer"}


def test_of_a_managers_password_the_phone_keeps_nothing(phone, line):
    """It opens the desk, and whoever finds the phone could try passwords against what is kept."""
    assert phone.evaluate(SIGN_IN, [MANAGER["person"], MANAGER["password"]])["ok"] is True
    assert phone.evaluate(VERIFY, [MANAGER["person"], MANAGER["password"]])["ok"] is True
    assert phone.evaluate(HELD) == ["current", "session", "sign"]
    line.down = True
    with_password = [MANAGER["person"], MANAGER["password"]]
    assert phone.evaluate(SIGN_IN, with_password) == {"ok": False, "why": "no-verifier"}


def test_who_never_signed_in_here_cannot_do_so_with_no_signal(phone, line):
    line.down = True
    assert phone.evaluate(SIGN_IN, ["bern", PINS["bern"]]) == {"ok": False, "why": "no-verifier"}
    assert phone.evaluate(CURRENT) is None


def test_a_wrong_pin_is_wrong_online_and_offline(phone, line):
    assert phone.evaluate(SIGN_IN, ["bern", "000000"])["why"] == "wrong"
    phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    line.down = True
    assert phone.evaluate(SIGN_IN, ["bern", "000000"])["why"] == "wrong"
    assert phone.evaluate(SIGN_IN, ["nobody", "000000"])["why"] == "unknown-person"


def test_wrong_tries_with_no_signal_wait_longer_each_time_also_after_a_reload(timed_phone, line):
    timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    line.down = True
    now = timed_phone.evaluate("() => Date.now()")
    waits = []
    for _ in range(5):
        set_clock(timed_phone, now)
        answer = timed_phone.evaluate(SIGN_IN, ["bern", "000000"])
        assert answer["why"] == "wrong"
        waits.append(answer["until"] - now)
        again(timed_phone)
        early = timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
        assert early["why"] == "wait", "the right PIN too must wait, or a guess could be told from it"
        now = answer["until"]
    assert all(later > 1.8 * earlier for earlier, later in pairwise(waits))
    set_clock(timed_phone, now)
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["ok"] is True
    forgiven = timed_phone.evaluate(SIGN_IN, ["bern", "000000"])
    assert forgiven["until"] - now == waits[0]


def test_a_verifier_lapses_14_days_after_the_server_was_last_reached(timed_phone, line):
    timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    line.down = True
    timed_phone.clock.fast_forward(ms(days=13, hours=23))
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["ok"] is True
    timed_phone.clock.fast_forward(ms(hours=2))
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]]) == {"ok": False, "why": "lapsed"}


def test_a_clock_set_back_buys_no_time(timed_phone, line):
    """A record made since then shows that the moment has passed."""
    timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    line.down = True
    start = timed_phone.evaluate("() => Date.now()")
    set_clock(timed_phone, start + ms(days=15))
    timed_phone.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    set_clock(timed_phone, start)
    assert timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])["why"] == "lapsed"


def test_the_verifier_is_sealed_and_slow(phone):
    """At least 600 000 rounds; what is stored is neither the PIN nor its hash, and its key cannot be read out."""
    phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    told = phone.evaluate(
        """async ([pin]) => {
            const db = await new Promise((resolve) => {
                const opening = indexedDB.open("vesselside");
                opening.onsuccess = () => resolve(opening.result);
            });
            const get = (store, key) => new Promise((resolve) => {
                const asked = db.transaction(store).objectStore(store).get(key);
                asked.onsuccess = () => resolve(asked.result);
            });
            const { salt, rounds, iv, bytes } = await get("kept", "verifier:bern");
            const seal = await get("keys", "seal");
            db.close();
            const secret = new TextEncoder().encode(pin);
            const key = await crypto.subtle.importKey("raw", secret, "PBKDF2", false, ["deriveBits"]);
            const derived = await crypto.subtle.deriveBits(
                { name: "PBKDF2", hash: "SHA-256", salt, iterations: rounds }, key, 256);
            const opened = await crypto.subtle.decrypt({ name: "AES-GCM", iv }, seal, bytes);
            const read = await crypto.subtle.exportKey("raw", seal).catch((error) => error.name);
            const same = (a, b) => new Uint8Array(a).join() === new Uint8Array(b).join();
            return { rounds, read, plain: same(bytes, derived), right: same(opened, derived) };
        }""",
        [PINS["bern"]],
    )
    assert told["rounds"] >= 600_000
    assert told == {"rounds": told["rounds"], "read": "InvalidAccessError", "plain": False, "right": True}


def test_a_second_persons_signature_leaves_the_session_alone(phone, line):
    phone.evaluate(SIGN_IN, [MANAGER["person"], MANAGER["password"]])
    answer = phone.evaluate(VERIFY, ["bern", PINS["bern"]])
    assert (answer["ok"], answer["person"]["id"]) == (True, "bern")
    assert phone.evaluate(CURRENT)["id"] == "mara"
    assert phone.evaluate("() => fetch('/api/desk/devices').then((answer) => answer.status)") == 200
    line.down = True
    assert phone.evaluate(VERIFY, ["bern", PINS["bern"]])["ok"] is True
    assert phone.evaluate(VERIFY, ["bern", "000000"])["ok"] is False
    assert phone.evaluate(CURRENT)["id"] == "mara"


def test_the_phone_locks_after_15_idle_minutes_and_opens_for_the_same_person(timed_phone, line):
    timed_phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    line.down = True
    timed_phone.clock.run_for(ms(minutes=14))
    timed_phone.evaluate("() => parts.identity.touched()")
    timed_phone.clock.run_for(ms(minutes=14))
    assert timed_phone.evaluate("() => parts.identity.locked.value") is False
    timed_phone.clock.run_for(ms(minutes=2))
    assert timed_phone.evaluate("() => parts.identity.locked.value") is True
    assert timed_phone.evaluate(CURRENT)["id"] == "bern", "locked, not lost"
    timed_phone.evaluate("() => parts.identity.touched()")
    assert timed_phone.evaluate("() => parts.identity.locked.value") is True
    again(timed_phone)
    assert timed_phone.evaluate("() => [parts.identity.locked.value, parts.identity.current.value.id]") == [
        True,
        "bern",
    ]
    assert timed_phone.evaluate("() => parts.identity.unlock('000000')")["ok"] is False
    timed_phone.clock.fast_forward(2000)
    assert timed_phone.evaluate("(pin) => parts.identity.unlock(pin)", PINS["bern"])["ok"] is True
    assert timed_phone.evaluate("() => parts.identity.locked.value") is False


def test_a_session_outlives_a_reload_and_reaches_every_tab(browser, network, phone):
    phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    again(phone)
    assert phone.evaluate(CURRENT)["id"] == "bern"
    other = opened(browser, network.origin)
    other.evaluate("() => parts.identity.loadIdentity()")
    assert other.evaluate(CURRENT)["id"] == "bern"
    phone.evaluate("() => parts.identity.signOut()")
    other.wait_for_function("() => parts.identity.current.value === null")
    other.close()


@pytest.mark.parametrize("signal", [True, False])
def test_signing_out_deletes_no_record(phone, line, signal):
    phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    phone.evaluate("(draft) => parts.log.append(draft)", DRAFT)
    line.down = not signal
    phone.evaluate("() => parts.identity.signOut()")
    again(phone)
    assert phone.evaluate(CURRENT) is None
    assert phone.evaluate("() => parts.log.waiting()") == 3, "the record, and that bern signed in and out"
    assert len(phone.evaluate("() => parts.log.eventsOf('run-1')")) == 1


DESK = "() => fetch('/api/desk/devices').then((answer) => answer.status)"
AT_THE_DESK = [MANAGER["person"], MANAGER["password"]]


def test_locking_ends_the_session_at_the_server(timed_phone):
    timed_phone.evaluate(SIGN_IN, AT_THE_DESK)
    assert timed_phone.evaluate(DESK) == 200
    with timed_phone.expect_response(lambda answer: answer.request.method == "DELETE"):
        timed_phone.clock.run_for(ms(minutes=15, seconds=12))
    assert timed_phone.evaluate("() => parts.identity.locked.value") is True
    assert timed_phone.evaluate(DESK) == 403
    assert timed_phone.evaluate("(word) => parts.identity.unlock(word)", MANAGER["password"])["ok"] is True
    assert timed_phone.evaluate(DESK) == 200


def test_signing_out_with_no_signal_is_owed_and_done_at_the_next_contact(syncing, line):
    syncing.evaluate(SIGN_IN, AT_THE_DESK)
    line.down = True
    syncing.evaluate("() => parts.identity.signOut()")
    again(syncing)
    line.down = False
    assert syncing.evaluate(DESK) == 200, "nobody has told the server yet"
    start(syncing)
    syncing.evaluate(SYNC)
    assert syncing.evaluate(DESK) == 403


def test_what_was_owed_does_not_end_the_session_begun_after_it(syncing, line):
    syncing.evaluate(SIGN_IN, AT_THE_DESK)
    line.down = True
    syncing.evaluate("() => parts.identity.signOut()")
    line.down = False
    syncing.evaluate(SIGN_IN, AT_THE_DESK)
    syncing.evaluate(SYNC)
    assert syncing.evaluate(DESK) == 200


def test_who_signs_out_is_out_though_it_could_not_be_written_down(phone):
    phone.evaluate(SIGN_IN, ["bern", PINS["bern"]])
    phone.evaluate("() => parts.log.giveUp()")
    assert error_of(phone, "() => parts.identity.signOut()")["name"] == "NotEnrolled"
    assert phone.evaluate(CURRENT) is None
