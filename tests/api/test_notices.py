"""What comes to a person by itself: found on the server, encrypted for one browser, handed to its push service once."""

import json
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime

import pytest

from tests import forking
from tests.api.outside import Phone, digest_of
from tests.api.test_instruments import bench, checked, meter  # noqa: F401  # fixtures
from tests.api.test_interlocks import HOUR, Hand, cleaned, quick, step  # noqa: F401  # fixtures
from tests.living import MANAGER, PINS
from tests.pushed import Browser, Service, b64, service, signed_by
from vesselside import store
from vesselside.core import VERSION
from vesselside.store.notices import deliveries, due
from vesselside.store.site import founding

EVERY = sorted(due.KINDS)


class Taker(Phone):
    """A phone whose browser takes notices."""

    def __init__(self, living, push: Service, person: str, kinds=EVERY, **more) -> None:
        super().__init__(living.url, living.code())
        self.sign_in(person, PINS[person])
        self.service, self.person = push, person
        self.browser = Browser(push, self.id)
        self.want(kinds, **more)

    def want(self, kinds, **more) -> None:
        asked = {**self.browser.subscription, "kinds": kinds, "person": self.person, **more}
        answer = self.send("/api/push/subscription", json.dumps(asked).encode(), method="PUT")
        assert answer.status_code == 204, answer.text

    def shown(self) -> list:
        return self.service.to(self.browser)


@pytest.fixture
def push():
    with service() as made:
        yield made


@pytest.fixture
def living(fresh, push):
    """A server that may send to our push service. Its own thread sends too, at its own pace."""
    fresh.environment["VESSELSIDE_PUSH_SERVICE"] = push.url
    fresh.start()
    return fresh


@pytest.fixture
def desk(living):
    browser = Phone(living.url, living.code("desk"))
    browser.sign_in("bern", PINS["bern"])
    browser.sign_in("dora", PINS["dora"])
    assert browser.post("/api/session", MANAGER).status_code == 200
    browser.pull()
    return browser


def send(living) -> None:
    done = living.command("worker", "--once")
    assert done.returncode == 0, done.stderr


def arrives(living, *takers, seconds=30):
    """Wait until each has something; what that is."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        send(living)
        if all(taker.shown() for taker in takers):
            break
        time.sleep(0.2)
    return [taker.shown() for taker in takers]


def published(desk, name, steps, kind="cleaning"):
    draft = {"id": name, "version": 1, "title": name, "kind": kind, "summary": "Quick."}
    answer = desk.post("/api/desk/procedures", {**draft, "vessel_kinds": ["fermenter"], "steps": steps})
    assert answer.status_code == 201, answer.text
    return {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}


def test_a_hold_that_is_over_calls_the_phones_at_work_on_it_and_no_other(living, push, desk):
    at_work, elsewhere = (Taker(living, push, person) for person in ("bern", "dora"))
    opening = published(desk, "soak", [step("soak", hold={"seconds": "1"}), step("end")])
    hand = Hand(at_work, opening, "fv1", 0, gyle=None)
    hand.make("hold.started", {"step": "soak", "seconds": 1}, person="bern")
    hand.send()
    ((told,), nothing) = arrives(living, at_work), elsewhere.shown()
    (one,) = told
    assert {name: one[name] for name in ("kind", "open", "about")} == {
        "kind": "hold-over",
        "open": ["run", hand.run],
        "about": "FV 1",
    }
    assert nothing == []
    said = json.dumps(one)
    assert not [name for name in ("bern", "Bern", "dora", "mara") if name in said], "nothing of a person"

    (message,) = push.came
    key, claims = signed_by(message)
    assert key == at_work.get("/api/push/key").json()["key"]
    assert claims["aud"] == push.url
    assert claims["sub"].startswith("mailto:")
    assert time.time() < claims["exp"] <= time.time() + 86_400
    assert message.headers["content-encoding"] == "aes128gcm"
    assert message.headers["urgency"] == "high"
    assert 0 < int(message.headers["ttl"]) <= 15 * 60
    assert 0 < len(message.headers["topic"]) <= 32

    send(living)
    assert len(push.came) == 1, "it is told once"


def test_a_second_signature_is_asked_of_the_others_and_no_more_once_it_is_given(living, push, desk):
    who_did, other, starter = (
        Taker(living, push, person, ["second-wanted"]) for person in ("bern", "dora", "stig")
    )
    opening = published(desk, "two-hands", [step("release", who="second"), step("end")])
    hand = Hand(who_did, opening, "fv1", 0, gyle=None)
    hand.done("release")
    hand.send()
    ((told,),) = [arrives(living, other)[0]]
    assert (told["kind"], told["open"]) == ("second-wanted", ["run", hand.run, "step", "release"])
    assert who_did.shown() == starter.shown() == [], "whoever did it, and who may not sign"

    who_did.sign_in("dora", PINS["dora"])
    late = Hand(who_did, opening, "fv1", 0, gyle=None)
    done = late.done("release")
    late.make("sign.given", {"step": "release", "target": done["id"], "role": "duty"}, person="dora")
    late.send()
    send(living)
    assert len(push.came) == 1, "it was given before anybody was asked"


def test_a_rejected_clean_tells_of_its_deviation_and_of_the_vessel_on_hold(living, push, desk, quick):  # noqa: F811
    manager = Taker(living, push, "mara")
    hand = cleaned(desk, quick, "fv1", 0.01)
    digest = digest_of(hand.events)
    hand.send()
    desk.pull()
    verdict = {"verdict": "rejected", "digest": digest, "text": "The strip was read before the rinse."}
    desk.push([desk.make(hand.run, "run.reviewed", verdict, person="mara")])
    (told,) = arrives(living, manager)
    assert {(one["kind"], tuple(one["open"]), one["about"]) for one in told} == {
        ("deviation", ("record", "run", hand.run), "FV 1"),
        ("vessel-held", ("vessel", "fv1"), "FV 1"),
    }
    assert "strip" not in json.dumps(told), "what is wrong stands in the app"


def test_a_deviation_that_is_no_news_any_more_is_not_told(living, push, desk, quick):  # noqa: F811
    manager = Taker(living, push, "mara")
    for hours in (0.1, 8):  # before the phone asked for any, and longer ago than news last
        hand = Hand(desk, quick["quick-fill"], "fv1", hours)
        hand.done("fill")
        hand.send()
    send(living)
    assert manager.shown() == []


def kinds(living, hours):
    """What would be told in so many hours."""
    with living.inside():
        brewery = founding.breweries()[0][0]
        found = due.found(brewery, now=store.now_ms() + int(hours * HOUR))
        return {(one.kind, one.about, one.address) for one in found}


def test_chemical_left_standing_is_told_after_an_hour(living, desk):
    opening = published(
        desk,
        "dosed",
        [step("dose", chemical="in", asks=[{"interlock": "empty"}]), step("rinse", chemical="out")],
    )
    hand = Hand(desk, opening, "fv1", 0, gyle=None)
    hand.done("dose")
    hand.send()
    told = ("standing", "FV 1", ("run", hand.run))
    assert told not in kinds(living, 0.9)
    assert told in kinds(living, 1.1)


def test_an_instrument_is_told_of_once_its_check_is_overdue(living, desk, bench, meter):  # noqa: F811
    checked(desk, bench, meter, 1, "7.00")
    told = ("check-overdue", "pH 9", ("record", "instrument", meter))
    assert told not in kinds(living, 6 * 24)
    assert told in kinds(living, 7 * 24)


def test_a_proof_that_ends_before_the_wort_comes_is_told_of_while_a_brew_is_bound_for_its_vessel(
    living, desk, quick  # noqa: F811
):  # fmt: skip
    cleaned(desk, quick, "fv1", 0).send()
    lasts = next(row for row in desk.get("/api/vessels").json()["vessels"] if row["id"] == "fv1")
    hours = (datetime.fromisoformat(lasts["sanitised_until"]).timestamp() - time.time()) / 3600
    told = ("proof-ends", "FV 1", ("vessel", "fv1"))
    assert told not in kinds(living, hours - 1), "nothing is on its way there"
    steps = [
        step("where", entries=[{"id": "tank", "label": "Fermenter", "kind": "text"}]),
        step("fill", asks=[{"interlock": "fill", "of": "where.tank", "warns": True}]),
    ]
    hand = Hand(desk, published(desk, "brew-on", steps, kind="brew"), None, 0)
    tank = {"step": "where", "field": "tank", "value": "FV 1", "typed": "FV 1", "how": "keyed"}
    hand.make("entry.made", {**tank, "verdict": "target", "core": VERSION, "over": []})
    hand.send()
    assert told not in kinds(living, hours - 2.1)
    assert told in kinds(living, hours - 1)
    assert told not in kinds(living, hours + 0.1)


def test_in_quiet_hours_nothing_is_sent_and_what_is_news_then_comes_after_them(living, push, desk, quick):  # noqa: F811
    minute = int(time.time() // 60) % 1440
    quiet = {"from": (minute - 60) % 1440, "to": (minute + 60) % 1440, "offset": 0}
    asleep, awake = Taker(living, push, "dora", quiet=quiet), Taker(living, push, "mara", quiet=None)
    hand = Hand(desk, quick["quick-fill"], "fv1", 0)
    hand.done("fill")
    hand.send()
    arrives(living, awake)
    assert asleep.shown() == []


@pytest.mark.parametrize(
    ("quiet", "at", "wakes"),
    [
        ({"from": 1320, "to": 360, "offset": 0}, 1319, 1319),
        ({"from": 1320, "to": 360, "offset": 0}, 1320, 1440 + 360),
        ({"from": 1320, "to": 360, "offset": 0}, 1440 + 359, 1440 + 360),
        ({"from": 1320, "to": 360, "offset": 0}, 1440 + 360, 1440 + 360),
        ({"from": 1320, "to": 360, "offset": 60}, 1259, 1259),
        ({"from": 1320, "to": 360, "offset": 60}, 1260, 1440 + 300),
        ({"from": 60, "to": 120, "offset": -120}, 180, 240),
        ({"from": 60, "to": 60, "offset": 0}, 60, 60),
        (None, 5, 5),
    ],
)
def test_quiet_hours_end_at_their_hour_of_the_phone_s_own_day(quiet, at, wakes):
    day = 20_000 * 1440
    assert deliveries.waking(quiet, (day + at) * 60_000) == (day + wakes) * 60_000


def test_a_browser_that_takes_nothing_any_more_is_asked_once(living, push, desk, quick):  # noqa: F811
    manager = Taker(living, push, "mara")
    push.answers[manager.browser.address] = 410
    for vessel in ("fv1", "bbt1"):
        hand = Hand(desk, quick["quick-fill"], vessel, 0)
        hand.done("fill")
        hand.send()
        send(living)
    assert len(push.came) == 1


def test_what_a_push_service_could_not_take_is_sent_again(living, push, desk, quick):  # noqa: F811
    manager = Taker(living, push, "mara", ["deviation"])
    push.answers[manager.browser.address] = 503
    hand = Hand(desk, quick["quick-fill"], "fv1", 0)
    hand.done("fill")
    hand.send()
    arrives(living, manager)
    del push.answers[manager.browser.address]
    end = time.monotonic() + 30
    while len(push.came) < 2 and time.monotonic() < end:
        time.sleep(1)
        send(living)
    first, second = push.came[:2]
    assert first.headers["topic"] == second.headers["topic"]
    send(living)
    assert len(push.came) == 2


def test_a_killed_worker_s_notice_is_sent_by_the_next_and_shown_once(living, push, desk, quick):  # noqa: F811
    manager = Taker(living, push, "mara", ["deviation"])
    living.kill()
    living.start()
    hand = Hand(desk, quick["quick-fill"], "fv1", 0)
    hand.done("fill")
    hand.send()
    living.stop()
    push.came.clear()
    push.held.clear()
    out = str(living.folder / "worker.log")
    worker = forking.begin(["worker"], living.environment, stdin="/dev/null", stdout=out, stderr=out)
    end = time.monotonic() + 30
    while not push.came and time.monotonic() < end:
        time.sleep(0.05)
    worker.kill()
    worker.join()
    push.held.set()
    end = time.monotonic() + 60
    while len(push.came) < 2 and time.monotonic() < end:
        time.sleep(1)
        send(living)
    assert [one["kind"] for one in manager.shown()] == ["deviation"]


def test_a_worker_that_is_asked_to_stop_ends_well(living):
    out = str(living.folder / "worker.log")
    worker = forking.begin(["worker"], living.environment, stdin="/dev/null", stdout=out, stderr=out)
    time.sleep(2)
    worker.terminate()
    worker.join(20)
    assert worker.exitcode == 0


def test_of_many_workers_one_sends(living, push, desk, quick):  # noqa: F811
    takers = [Taker(living, push, person, ["deviation"]) for person in ("mara", "dora")]
    hand = Hand(desk, quick["quick-fill"], "fv1", 0)
    hand.done("fill")
    hand.send()
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: send(living), range(8)))
    arrives(living, *takers)
    assert len(push.came) == 2


def test_a_phone_that_is_revoked_or_wants_no_more_is_told_nothing(living, push, desk, quick):  # noqa: F811
    lost, unwilling = Taker(living, push, "dora"), Taker(living, push, "mara")
    revoked = desk.post(f"/api/desk/devices/{lost.id}/revocation", {"reason": "lost"})
    assert revoked.status_code in (200, 204)
    assert unwilling.http.delete(f"{living.url}/api/push/subscription", timeout=60).status_code == 204
    hand = Hand(desk, quick["quick-fill"], "fv1", 0)
    hand.done("fill")
    hand.send()
    send(living)
    assert push.came == []


POINT = b64(b"\x04" + bytes(64))


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("endpoint", {"endpoint": "http://push.example/x"}),
        ("endpoint", {"endpoint": "https://10.0.0.1/x"}),
        ("endpoint", {"endpoint": "https://[::1]/x"}),
        ("endpoint", {"endpoint": "https://localhost/x"}),
        ("endpoint", {"endpoint": "https://push.example:8443/x"}),
        ("endpoint", {"endpoint": "https://push.example:no/x"}),
        ("endpoint", {"endpoint": "file:///etc/passwd"}),
        ("p256dh", {"keys": {"p256dh": POINT, "auth": b64(bytes(16))}}),
        ("auth", {"keys": {"p256dh": POINT, "auth": b64(bytes(15))}}),
        ("kinds", {"kinds": ["gossip"]}),
        ("person", {"person": "nobody"}),
        ("quiet", {"quiet": {"from": 1440, "to": 0, "offset": 0}}),
    ],
)
def test_a_subscription_that_nothing_could_be_sent_to_is_refused_at_its_field(phone, push, field, change):
    browser = Browser(push, "x")
    asked = {**browser.subscription, "endpoint": "https://push.example/x", "kinds": EVERY, **change}
    answer = phone.send("/api/push/subscription", json.dumps(asked).encode(), method="PUT")
    assert answer.status_code == 422
    wrong = answer.json()["errors"]
    assert field in wrong.get("json", wrong)


def test_who_is_not_enrolled_learns_no_key_and_subscribes_nothing(phone):
    phone.http.cookies.clear()
    assert phone.get("/api/push/key").status_code == 401
    assert phone.send("/api/push/subscription", b"{}", method="PUT").status_code == 401


def test_the_key_stays_the_same(living, desk):
    first = desk.get("/api/push/key").json()["key"]
    living.stop()
    living.start()
    assert desk.get("/api/push/key").json()["key"] == first
