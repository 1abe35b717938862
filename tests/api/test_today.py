"""What the desk's first page rests on: what can't wait, what may be filled, and the queue of reviews."""

import pytest

from tests.api.outside import Phone, digest_of, new_run
from tests.api.test_interlocks import Hand, cleaned, quick, step  # noqa: F401  # fixtures
from tests.living import MANAGER, PINS, Living
from vesselside import store
from vesselside.store.read import attention
from vesselside.store.site import founding

HOUR = 3_600_000


@pytest.fixture
def vessel(server: Living):
    """A fermenter of the test's own."""
    name = new_run()
    with server.inside():
        card = {"id": name, "name": name, "kind": "fermenter", "place": "Tank room"}
        store.change_vessel(founding.breweries()[0][0], card)
    return name


def filling(desk, vessel):
    rows = desk.get("/api/desk/needs").json()["filling"]
    return next(row for row in rows if row["id"] == vessel)


def test_a_vessel_may_be_filled_once_proved_after_a_sanitise_once_that_is_old_and_not_when_soiled(
    phone, desk, quick, vessel  # noqa: F811
):  # fmt: skip
    row = filling(desk, vessel)
    assert (row["ready"], row["why"]) == ("no", ["No proved clean since it was last soiled is known here."])
    cleaned(phone, quick, vessel, 13).send()
    row = filling(desk, vessel)
    assert (row["ready"], row["why"]) == ("sanitise", ["Its sanitising is out of date."])
    cleaned(phone, quick, vessel, 1).send()
    row = filling(desk, vessel)
    assert (row["ready"], row["why"], row["chemical"]) == ("now", [], [])
    fill = Hand(phone, quick["quick-fill"], vessel, 0.1)
    fill.done("fill")
    fill.send()
    assert filling(desk, vessel)["why"] == ["It is filled already."]


def test_a_rejected_clean_puts_its_vessel_among_what_cannot_wait(phone, desk, quick, vessel):  # noqa: F811
    hand = cleaned(phone, quick, vessel, 1)
    digest = digest_of(hand.events)
    hand.send()
    desk.pull()
    verdict = {"verdict": "rejected", "digest": digest, "text": "The strip was read before the rinse."}
    desk.push([desk.make(hand.run, "run.reviewed", verdict, person="mara")])
    needs = desk.get("/api/desk/needs").json()
    assert vessel in [row["id"] for row in needs["holds"]]
    assert filling(desk, vessel)["ready"] == "no"
    open_ones = desk.get("/api/desk/deviations", state="open", vessel=vessel).json()["deviations"]
    assert [row["trouble"] for row in open_ones] == ["review-rejected"]


def dosing_of(desk):
    """A clean that puts chemical in and takes it out, published; its opening."""
    draft = {
        "id": "dosed-clean",
        "version": 1,
        "title": "Dosed clean",
        "kind": "cleaning",
        "summary": "Quick.",
    }
    steps = [
        step("dose", chemical="in", asks=[{"interlock": "empty"}], hold={"seconds": "60"}),
        step("rinse", chemical="out"),
    ]
    answer = desk.post("/api/desk/procedures", {**draft, "vessel_kinds": ["fermenter"], "steps": steps})
    assert answer.status_code in (201, 409), answer.text
    held = desk.get("/api/reference").json()["procedures"]
    sha256 = next(row["sha256"] for row in held if row["id"] == "dosed-clean")
    return {"procedure": "dosed-clean", "version": 1, "sha256": sha256, "inputs": {}}


def test_chemical_that_nobody_has_seen_to_is_told_and_no_more_once_it_is_out(phone, desk, vessel):
    dosing = dosing_of(desk)
    hand = Hand(phone, dosing, vessel, 5, gyle=None)
    hand.done("dose")
    hand.make("run.abandoned", {"reason": "Pump failed", "left": "chemical"})
    hand.send()

    def standing():
        return [row for row in desk.get("/api/desk/needs").json()["standing"] if row["run"] == hand.run]

    (row,) = standing()
    assert (row["vessel"], row["title"], row["status"]) == (vessel, "Dosed clean", "abandoned")
    assert "It contains chemical." in filling(desk, vessel)["why"]
    safe = Hand(phone, dosing, vessel, 0.1, gyle=None)
    safe.done("dose")
    safe.done("rinse")
    safe.make("run.finished", {})
    safe.send()
    assert standing() == []


def test_sanitiser_that_stands_in_a_line_till_it_is_filled_is_no_chemical_left_standing(quiet):
    living, desk = quiet
    with living.inside():
        card = {"id": "line-1", "name": "Line 1", "kind": "canning-line", "place": "Hall"}
        store.change_vessel(founding.breweries()[0][0], card)
    dose = step("sanitised", proof="sanitised", chemical="in", asks=[{"interlock": "empty"}])
    proofs = [step(proof, proof=proof) for proof in ("process", "look", "residue")]
    draft = {"id": "line-clean", "version": 1, "title": "Line clean", "kind": "cleaning", "summary": "Quick."}
    made = desk.post(
        "/api/desk/procedures", {**draft, "vessel_kinds": ["canning-line"], "steps": [*proofs, dose]}
    )
    assert made.status_code == 201, made.text
    opening = {"procedure": "line-clean", "version": 1, "sha256": made.json()["sha256"], "inputs": {}}
    hand = Hand(desk, opening, "line-1", 3, gyle=None)
    for name in ("process", "look", "residue", "sanitised"):
        hand.done(name)
    hand.make("run.finished", {})
    hand.send()
    assert needed(living, 2)["standing"] == []
    row = filling(desk, "line-1")
    assert (row["ready"], row["why"]) == ("now", [])


@pytest.fixture
def quiet(fresh):
    """A server of the test's own with one desk: its database, and the desk."""
    fresh.start()
    desk = Phone(fresh.url, fresh.code("desk"))
    desk.sign_in("bern", PINS["bern"])
    assert desk.post("/api/session", MANAGER).status_code == 200
    return fresh, desk


def needed(living, hours):
    with living.inside():
        brewery = founding.breweries()[0][0]
        return attention.needs(brewery, 0, now=store.now_ms() + int(hours * HOUR))


def test_an_open_run_with_chemical_in_is_told_after_an_hour_of_nothing(quiet):
    living, desk = quiet
    hand = Hand(desk, dosing_of(desk), "fv1", 0.5, gyle=None)
    hand.make("hold.started", {"step": "dose", "seconds": 60})
    hand.send()
    assert needed(living, 0.9)["standing"] == []
    (row,) = needed(living, 1.1)["standing"]
    assert (row["run"], row["vessel"], row["status"]) == (hand.run, "fv1", "open")


def test_a_phone_that_was_not_heard_for_a_day_is_told_until_it_is_revoked(quiet):
    living, desk = quiet
    phone = Phone(living.url, living.code("lost"), "lost phone")
    phone.pull()
    assert needed(living, 23)["silent"] == []
    assert phone.id in [row["id"] for row in needed(living, 25)["silent"]]
    desk.post(f"/api/desk/devices/{phone.id}/revocation", {"reason": "lost"})
    assert phone.id not in [row["id"] for row in needed(living, 25)["silent"]]


def test_the_queue_of_reviews_goes_from_the_longest_waiting_on_and_a_review_takes_a_run_out(quiet):
    _, desk = quiet
    dosing, hands = dosing_of(desk), []
    for hours in (3, 5, 4):
        hand = Hand(desk, dosing, "fv1", hours, gyle=None)
        hand.done("dose")
        hand.done("rinse")
        hand.make("run.finished", {})
        hands.append((hand.run, digest_of(hand.events)))
        hand.send()
    wanted = [hands[n][0] for n in (1, 2, 0)]
    first = desk.get("/api/desk/reviews", limit=2).json()
    second = desk.get("/api/desk/reviews", limit=2, after=first["next"]).json()
    assert [row["id"] for row in first["reviews"] + second["reviews"]] == wanted
    assert second["next"] is None
    assert [row["digest"] for row in first["reviews"]] == [hands[1][1], hands[2][1]]
    accepted = {"verdict": "accepted", "digest": hands[2][1], "text": ""}
    desk.pull()
    desk.push([desk.make(hands[2][0], "run.reviewed", accepted, person="mara")])
    assert [row["id"] for row in desk.get("/api/desk/reviews").json()["reviews"]] == [wanted[0], wanted[2]]
    assert desk.get("/api/desk/reviews", after="x").status_code == 422
