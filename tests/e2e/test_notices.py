"""A hold that ends while the app is shut: the office finds it, the phone shows it, and a press opens the run.

No push service stands behind a Chromium without its maker's, so the browser's subscribing is ours here; what the office
sends to it is read by other code and handed to the service worker by the browser's own protocol.
"""

import json

import pytest
from playwright.sync_api import expect

from tests.e2e.hand import Hand
from tests.pushed import Browser, service

SUBSCRIBES = """(subscription) => {
    const made = { ...subscription, options: { applicationServerKey: null }, toJSON: () => subscription };
    PushManager.prototype.getSubscription = async () => window.held ?? null;
    PushManager.prototype.subscribe = async (options) => {
        window.asked = options;
        return (window.held = { ...made, unsubscribe: async () => { window.held = null; return true; } });
    };
}"""
SHOWN = """() => navigator.serviceWorker.ready
    .then((own) => own.getNotifications())
    .then((all) => all.map(({ title, tag }) => ({ title, tag })))"""
PRESS = """() => self.registration.getNotifications().then(([notification]) =>
    self.dispatchEvent(new NotificationEvent("notificationclick", { notification })))"""


@pytest.fixture
def push(brewery):
    with service() as made:
        brewery.kill()
        brewery.environment["VESSELSIDE_PUSH_SERVICE"] = made.url
        brewery.start()
        yield made


class Worker:
    """The service worker of a phone, reached as its browser would."""

    def __init__(self, phone) -> None:
        self._origin = phone.origin
        phone.page.evaluate("() => navigator.serviceWorker.ready")
        self._page = phone.page
        self._line = phone.context.new_cdp_session(phone.page)
        self._registered: list[str] = []
        self._line.on(
            "ServiceWorker.workerRegistrationUpdated",
            lambda told: self._registered.extend(row["registrationId"] for row in told["registrations"]),
        )
        self._line.send("ServiceWorker.enable")
        self._worker = phone.context.service_workers[0]

    def deliver(self, data: str) -> None:
        while not self._registered:
            self._page.wait_for_timeout(50)
        told = {"origin": self._origin, "registrationId": self._registered[-1], "data": data}
        self._line.send("ServiceWorker.deliverPushMessage", told)

    def shown(self, count: int) -> list:
        for _ in range(200):
            found = self._page.evaluate(SHOWN)
            if len(found) >= count:
                break
            self._page.wait_for_timeout(50)
        return found

    def press(self) -> None:
        self._worker.evaluate(PRESS)


def allowed(phone) -> None:
    phone.context.grant_permissions(["notifications"], origin=phone.origin)


def test_a_hold_that_ends_while_nobody_looks_is_shown_and_a_press_opens_its_run(brewery, phone, push):
    cellar = phone("cellar", "Dele Marchbank")
    allowed(cellar)
    page = cellar.page
    browser = Browser(push, "cellar")
    page.evaluate(SUBSCRIBES, browser.subscription)
    cellar.go("phone")
    page.get_by_role("button", name="Tell me", exact=True).click()
    hold = page.get_by_role("button", name="A hold is over, of a run recorded on this phone")
    expect(hold).to_have_attribute("aria-pressed", "true")
    assert page.evaluate("window.asked.userVisibleOnly") is True

    hand = Hand(cellar, {"Room CO2 on your monitor": "620", "Mains pH": "7.40", "Mains conductivity": "410"})
    run = hand.start("FV 4", "Fermenter rinse and sanitise before fill", {})
    hand.until(lambda h: "Start the hold" in h.page.locator(".dock").inner_text())
    cellar.hold(page.locator(".dock .press.hold").first)
    cellar.go("")

    for _ in range(300):
        if push.to(browser):
            break
        page.wait_for_timeout(200)
    (told,) = push.to(browser)
    assert (told["kind"], told["open"]) == ("hold-over", ["run", run])

    worker = Worker(cellar)
    worker.deliver(json.dumps(told))
    worker.deliver(json.dumps(told))
    assert worker.shown(1) == [{"title": "FV 4: the hold is over", "tag": told["tag"]}]
    worker.press()
    page.wait_for_function("run => location.hash === `#/run/${run}`", arg=run)
    assert worker.shown(0) == []


def test_whatever_comes_something_is_shown(brewery, phone):
    one = phone("one", "Dele Marchbank")
    allowed(one)
    worker = Worker(one)
    for data in (
        "",
        "no JSON",
        "[]",
        json.dumps({"kind": "of a later version", "open": [], "about": "", "tag": "x"}),
    ):
        worker.deliver(data)
    shown = worker.shown(2)
    assert {row["title"] for row in shown} == {"Something waits for you"}
    assert {row["tag"] for row in shown} == {"other", "x"}


def test_a_phone_says_why_it_can_be_told_nothing(brewery, phone):
    one = phone("one", "Dele Marchbank")
    page = one.page
    one.go("phone")
    allowed(one)
    page.get_by_role("button", name="Tell me", exact=True).click()
    expect(page.get_by_text("The browser’s own service was not reached")).to_be_visible()
    page.evaluate(SUBSCRIBES, {"endpoint": "https://push.example/x", "keys": {}})
    brewery.kill()
    page.get_by_role("button", name="Tell me", exact=True).click()
    expect(page.get_by_text("The office was not reached, so nothing has changed.")).to_be_visible()


def test_kinds_and_quiet_hours_are_kept_and_told_again_when_the_app_starts(brewery, phone, push):
    one = phone("one", "Ishbel Tarrant")
    allowed(one)
    page = one.page
    browser = Browser(push, "one")
    one.context.add_init_script(f"({SUBSCRIBES})({json.dumps(browser.subscription)})")
    page.evaluate(SUBSCRIBES, browser.subscription)
    one.go("phone")
    page.get_by_role("button", name="Tell me", exact=True).click()
    check = page.get_by_role("button", name="A check is overdue")
    expect(check).to_have_attribute("aria-pressed", "true")
    with page.expect_response("**/api/push/subscription"):
        check.click()
    expect(check).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="Nothing at night").click()
    with page.expect_response("**/api/push/subscription"):
        page.get_by_label("From").fill("23:30")
        page.get_by_label("From").press("Tab")
    expect(page.get_by_label("From")).to_have_value("23:30")
    with page.expect_request("**/api/push/subscription") as sent:
        page.reload()
        one.unlock("Ishbel Tarrant", "copper-lapwing-seven")
    told = sent.value.post_data_json
    assert "check-overdue" not in told["kinds"]
    assert len(told["kinds"]) == 6
    assert (told["quiet"]["from"], told["quiet"]["to"]) == (23 * 60 + 30, 6 * 60)
    assert told["person"] == "ishbel"
    one.go("phone")
    with page.expect_request("**/api/push/subscription") as ended:
        page.get_by_role("button", name="Tell me nothing").click()
    assert ended.value.method == "DELETE"
    expect(page.get_by_role("button", name="Tell me", exact=True)).to_be_visible()
