"""The main job: a fermenter clean on a phone with no signal, to its end; it arrives whole and once, and is reviewed."""

import re

import requests
from playwright.sync_api import expect

from tests.e2e.conftest import PEOPLE, SHORT
from tests.e2e.hand import DESK, Hand
from tests.e2e.kept import knows
from tests.outside import chain

READINGS = {
    "Room CO2 on your monitor": "620",
    "First end point": "5.2",
    "Second end point": "5.4",
    "Lowest return reading": "55",
    "Highest return reading": "58",
    "Minutes held on the clock": "32",
}


def office(brewery, phone):
    """Asks the server as the phone's device would, outside the app."""
    cookies = {row["name"]: row["value"] for row in phone.context.cookies()}

    def get(path, **params):
        answer = requests.get(brewery.url + path, params=params, cookies=cookies, timeout=10)
        assert answer.status_code == 200, answer.text
        return answer.json()

    return get


def all_sent(phone):
    """Wait until the bar says that nothing waits."""
    expect(phone.page.get_by_role("link", name=re.compile("^All records sent"))).to_be_visible(timeout=60_000)


def arrived(brewery, phone, run):
    """Wait until the server holds the run finished: the bar may still be reading the log when it is first shown."""
    cookies = {row["name"]: row["value"] for row in phone.context.cookies()}
    for _ in range(300):
        answer = requests.get(f"{brewery.url}/api/runs/{run}", cookies=cookies, timeout=10)
        if answer.ok and answer.json()["run"]["status"] == "finished":
            return
        phone.page.wait_for_timeout(200)
    raise AssertionError(f"the run never arrived: {answer.text[:300]}")


def strike_last(hand):
    """Undo, one press away: strike what was just recorded."""
    page = hand.page
    page.locator(".last-made").get_by_role("link", name="Strike").or_(
        page.locator(".last-made").get_by_role("button", name="Strike")
    ).first.click()
    page.get_by_role("button", name="Keyed wrong").click()
    done = page.get_by_role("button", name=re.compile("^Strike it"))
    if done.count():
        done.click()


def correct_a_weak_charge(hand):
    """Titrate in the stop band, read what to do, and enter better readings."""
    page = hand.page
    hand.answers |= {"First end point": "1.9", "Second end point": "2.1"}
    hand.until(lambda h: h.title() == "Free caustic at the start")
    hand.next()
    stopped = page.locator(".verdict[data-verdict=stop]")
    expect(stopped).to_contain_text("Stop")
    expect(stopped).to_contain_text("Do not count this as a clean")
    hand.answers |= {"First end point": "5.2", "Second end point": "5.4"}
    for label in ("First end point", "Second end point", "Free caustic at the start"):
        field = page.locator(".field", has=page.get_by_role("heading", name=label)).first
        work = field.get_by_role("link", name="Work it out")
        (work if work.count() else field.get_by_role("link", name="Enter again")).click()
        hand._enter()
    expect(stopped).to_have_count(0)


def test_a_clean_with_no_signal_arrives_whole_and_once_and_a_manager_reviews_it(brewery, phone):
    cellar = phone("cellar", "Dele Marchbank")
    all_sent(cellar)
    knows(cellar, SHORT)
    brewery.kill()

    hand = Hand(cellar, dict(READINGS), second=("Owen Calloway", PEOPLE["Owen Calloway"]))
    run = hand.start("FV 4", "Fermenter caustic clean", {})

    # A reading in the stop band is not let through: corrected and entered again.
    correct_a_weak_charge(hand)

    # A reload in the middle of a hold, with the server dead: the app starts, and the hold has gone on.
    hand.until(lambda h: h.title() == "Hold the caustic on the wall" and "Hold for" not in h._look())
    cellar.page.reload()
    cellar.unlock("Dele Marchbank", PEOPLE["Dele Marchbank"])
    expect(cellar.page.get_by_role("heading", name="Hold the caustic on the wall")).to_be_visible(
        timeout=60_000
    )

    # The browser is killed; opened again with no server it still has everything, and knows the PIN.
    hand.until(lambda h: h.title() == "Titrate the caustic at the end")
    waiting = cellar.waiting()
    assert waiting > 40
    cellar.kill()
    cellar.open()
    cellar.unlock("Dele Marchbank", PEOPLE["Dele Marchbank"])
    expect(cellar.page.get_by_role("link", name=re.compile(f"^{waiting} records wait here"))).to_be_visible()
    cellar.go("run", run)

    # A slip of the finger is struck, one press away, and entered again.
    hand.answers["First end point"] = "52"
    hand.until(lambda h: h.title() == "Second end point")
    strike_last(hand)
    hand.answers["First end point"] = "4.9"
    hand.until(lambda h: h.title() == "Drain the caustic with the vent open")

    hand.finish()
    made = cellar.waiting()
    brewery.start()
    cellar.page.reload()
    cellar.unlock("Dele Marchbank", PEOPLE["Dele Marchbank"])
    all_sent(cellar)

    get = office(brewery, cellar)
    arrived(brewery, cellar, run)
    answer = get(f"/api/runs/{run}")
    assert chain.verify(answer, get("/api/reference")) == len(answer["events"]) == made
    view = answer["run"]
    assert view["status"] == "finished"
    assert {row["status"] for row in view["steps"].values()} == {"done"}
    assert view["proofs"] == ["look", "process", "residue", "sanitised"]
    assert [row["code"] for row in view["findings"]] == []
    assert len(view["strikes"]) == 1
    kinds = [event["type"] for event in answer["events"]]
    assert kinds.count("run.opened") == kinds.count("run.finished") == kinds.count("struck") == 1
    typed = [event["data"]["typed"] for event in answer["events"] if event["type"] == "entry.made"]
    assert "52" in typed

    review(brewery, phone, run, get)


def review(brewery, phone, run, get):
    """A manager finds the run in the register at the desk, reads it and accepts it."""
    desk = phone("desk", "Ishbel Tarrant", DESK)
    page = desk.page
    page.locator("main").get_by_text("See the record", exact=True).click()
    page.get_by_role("link", name="Register", exact=True).click()
    page.locator(f"a[href$='{run}']").click()
    expect(page.get_by_role("heading", name="Fermenter caustic clean")).to_be_visible()
    story = page.inner_text("body")
    for said in ("Opened the run.", "Met the caution", "Finished the run.", "Keyed wrong", "Dele Marchbank"):
        assert said in story
    desk.hold(page.get_by_role("button", name=re.compile("^Accept")))
    expect(page.get_by_text(re.compile("Reviewed and accepted"))).to_be_visible(timeout=60_000)
    reviewed = get(f"/api/runs/{run}")["run"]
    assert reviewed["review"]["verdict"] == "accepted"
    assert reviewed["review"]["person"] == "ishbel"
    assert [row["code"] for row in reviewed["findings"]] == []
