"""What one run takes out of another vessel is judged on the server with that vessel's life, whichever arrives first."""

import pytest

from tests.api.outside import new_run
from tests.api.test_interlocks import PROOFS, Hand, codes, step
from vesselside import store
from vesselside.core import VERSION
from vesselside.store.site import founding

CHOICE = [
    {"id": "empty", "label": "Empty", "verdict": "target"},
    {"id": "part", "label": "Beer left in it", "verdict": "target"},
]


@pytest.fixture
def moving(desk):
    """A fill, a clean with chemical and a transfer out of a fermenter, published at the desk; their openings."""
    fill = {"kind": "brew", "leaves": "filled", "vessel_kinds": ["fermenter"]}
    fill["steps"] = [step("fill", fills=True, asks=[{"interlock": "fill"}])]
    clean = {"kind": "cleaning", "vessel_kinds": ["fermenter"]}
    clean["steps"] = [step("dose", chemical="in", asks=[{"interlock": "empty"}])]
    clean["steps"] += [step(proof, proof=proof) for proof in PROOFS]
    draws = {"from": ["fermenter"], "when": {"entry": "move.empty", "is": ["empty"]}, "leaves": "co2"}
    entry = {"id": "empty", "label": "The tank now", "kind": "choice", "options": CHOICE}
    move = {"kind": "cellar", "leaves": "filled", "vessel_kinds": ["bright"]}
    move["steps"] = [step("move", draws=draws, entries=[entry])]
    openings = {}
    for name, body in (("full-fill", fill), ("dosed-clean", clean), ("moved", move)):
        draft = {"id": name, "version": 1, "title": name.title(), "summary": "Quick.", **body}
        answer = desk.post("/api/desk/procedures", draft)
        assert answer.status_code == 201, answer.text
        openings[name] = {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    return openings


@pytest.fixture
def tank(server):
    """A fermenter nobody has used."""
    name = new_run()
    with server.inside():
        card = {"id": name, "name": name, "kind": "fermenter", "place": "Tank room"}
        store.change_vessel(founding.breweries()[0][0], card)
    return name


def filled(phone, moving, tank, gyle):
    hand = Hand(phone, moving["full-fill"], tank, 9, gyle)
    hand.make(
        "deviation.raised",
        {"step": "fill", "interlock": "fill", "text": "Wort", "check": "Swab"},
        person="dora",
    )
    hand.done("fill")
    return hand


def moved(phone, moving, gyle, answer="empty"):
    hand = Hand(phone, moving["moved"], new_run(), 5, gyle)
    data = {
        "step": "move",
        "field": "empty",
        "value": answer,
        "typed": answer,
        "how": "keyed",
        "verdict": "target",
    }
    hand.said = hand.make("entry.made", {**data, "core": VERSION, "over": []})
    hand.done("move")
    return hand


def state_of(phone, tank):
    return next(row for row in phone.get("/api/vessels").json()["vessels"] if row["id"] == tank)["state"]


def test_a_clean_dosed_onto_beer_is_told_of_until_the_record_of_the_move_arrives(phone, other, moving, tank):
    gyle = new_run()
    filled(phone, moving, tank, gyle).send()
    clean = Hand(phone, moving["dosed-clean"], tank, 1, None)
    dose = clean.done("dose")
    clean.send()
    assert codes(phone, clean.run) == ["dosed-filled"]
    (row,) = phone.get(f"/api/runs/{clean.run}").json()["run"]["deviations"]
    assert (row["event"], row["interlock"], row["answered"]) == (dose["id"], "empty", None)
    assert gyle in row["text"]
    late = moved(other, moving, gyle)
    late.send()
    assert codes(phone, clean.run) == []
    late.now += 6 * 3_600_000
    late.make("struck", {"target": late.said["id"], "reason": "Half of it was left"})
    late.send()
    assert codes(phone, clean.run) == ["dosed-filled"]


def test_the_transfer_of_another_gyle_or_of_a_part_leaves_the_tank_full(phone, moving, tank):
    gyle = new_run()
    filled(phone, moving, tank, gyle).send()
    moved(phone, moving, new_run()).send()
    moved(phone, moving, gyle, "part").send()
    assert state_of(phone, tank) == "filled"
    moved(phone, moving, gyle).send()
    assert state_of(phone, tank) == "co2"


def test_striking_the_later_answer_leaves_the_earlier_one_to_say_whether_the_tank_is_empty(
    phone, other, moving, tank
):
    gyle = new_run()
    filled(phone, moving, tank, gyle).send()
    move = moved(other, moving, gyle)
    first, done = move.said, move.events.pop()
    move.now -= 1000
    part = move.make("entry.made", {**first["data"], "value": "part", "typed": "part", "over": [first["id"]]})
    move.make("step.done", done["data"])
    move.send()
    clean = Hand(phone, moving["dosed-clean"], tank, 1, None)
    clean.done("dose")
    clean.send()
    assert codes(phone, clean.run) == ["dosed-filled"]
    move.now = clean.now
    move.make("struck", {"target": part["id"], "reason": "It was empty"})
    move.send()
    assert codes(phone, clean.run) == []


def test_the_fill_may_arrive_after_the_transfer_and_the_clean(phone, other, moving, tank):
    gyle = new_run()
    fill = filled(phone, moving, tank, gyle)
    moved(other, moving, gyle).send()
    clean = Hand(other, moving["dosed-clean"], tank, 1, None)
    clean.done("dose")
    clean.send()
    fill.send()
    assert codes(phone, clean.run) == []


def test_a_duty_brewer_who_looked_in_overrides(phone, moving, tank):
    filled(phone, moving, tank, new_run()).send()
    clean = Hand(phone, moving["dosed-clean"], tank, 1, None)
    data = {
        "step": "dose",
        "interlock": "empty",
        "text": "It was dumped",
        "check": "Vent open, drained, seen empty",
    }
    clean.make("deviation.raised", data, person="dora")
    clean.done("dose")
    clean.send()
    assert codes(phone, clean.run) == ["overridden"]


def test_a_draw_that_names_what_is_not_there_and_a_dose_that_asks_nothing_are_refused_with_their_field(desk):
    draft = {"id": "odd", "version": 1, "title": "Odd", "vessel_kinds": ["fermenter"], "summary": "Odd."}
    for kind, wrong, words in (
        ("cellar", step("move", draws={"from": ["fermenter"], "named": "move.tank"}), "steps.0.draws.named"),
        ("cellar", step("move", draws={"gyle": "move.tank"}), "only a draw from another vessel"),
        (
            "cellar",
            step("move", draws={"when": {"entry": "move.empty", "is": ["yes"]}}),
            "no answer is called yes",
        ),
        ("cellar", step("move", draws={"from": ["bathtub"]}), "bathtub is not one of"),
        ("cleaning", step("dose", chemical="in"), "must ask empty"),
    ):
        answer = desk.post("/api/desk/procedures", {**draft, "kind": kind, "steps": [wrong]})
        assert answer.status_code == 422
        assert words in answer.json()["detail"], answer.text


@pytest.fixture
def letting_go(desk):
    """A run that shows what release asks, one that releases, one that packages; their openings."""
    facts = ["stable", "limit", "diacetyl", "creep", "ph", "carbonation"]
    shown = {"kind": "cellar", "steps": [step("read", shows=facts)]}
    release = {
        "kind": "cellar",
        "steps": [step("release", shows=["released"], asks=[{"interlock": "release"}])],
    }
    package = {"kind": "packaging", "steps": [step("pack", asks=[{"interlock": "package"}])]}
    openings = {}
    for name, body in (("beer-shown", shown), ("beer-released", release), ("beer-packed", package)):
        draft = {
            "id": name,
            "version": 1,
            "title": name.title(),
            "summary": "Quick.",
            "vessel_kinds": [],
            **body,
        }
        answer = desk.post("/api/desk/procedures", draft)
        assert answer.status_code == 201, answer.text
        openings[name] = {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    return openings


def test_beer_packed_by_a_client_that_asked_nothing_is_told_of_until_what_was_lacking_arrives(
    phone, other, desk, letting_go
):
    gyle = new_run()
    before = desk.get("/api/desk/needs").json()["counts"]["deviations"]
    packed = Hand(phone, letting_go["beer-packed"], new_run(), 1, gyle)
    done = packed.done("pack")
    packed.send()
    assert codes(phone, packed.run) == ["packaged-unfit"]
    (row,) = phone.get(f"/api/runs/{packed.run}").json()["run"]["deviations"]
    assert (row["event"], row["interlock"], row["answered"]) == (done["id"], "package", None)
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before + 1

    released = Hand(other, letting_go["beer-released"], new_run(), 3, gyle)
    released.done("release")
    released.send()
    assert codes(phone, packed.run) == []
    assert codes(phone, released.run) == ["released-unfit"]
    shown = Hand(other, letting_go["beer-shown"], new_run(), 5, gyle)
    read = shown.done("read")
    shown.send()
    assert codes(phone, released.run) == []
    assert desk.get("/api/desk/needs").json()["counts"]["deviations"] == before
    shown.now += 5 * 3_600_000
    shown.make("struck", {"target": read["id"], "reason": "Another gyle's sample"})
    shown.send()
    assert codes(phone, released.run) == ["released-unfit"]


def test_an_opening_that_comes_late_and_names_another_gyle_takes_what_was_shown_to_that(
    phone, other, letting_go
):
    gyle = new_run()
    shown = Hand(phone, letting_go["beer-shown"], new_run(), 5, gyle)
    shown.done("read")
    shown.send()
    released = Hand(phone, letting_go["beer-released"], new_run(), 3, gyle)
    released.done("release")
    released.send()
    assert codes(phone, released.run) == []
    early = Hand(other, letting_go["beer-shown"], new_run(), 6)
    early.run, early.events = shown.run, []
    early.make("run.opened", {**letting_go["beer-shown"], "vessel": early.vessel, "gyle": new_run()})
    early.send()
    assert codes(phone, released.run) == ["released-unfit"]


def test_the_board_tells_of_what_its_runs_are_told_of_and_of_nothing_else(phone, letting_go, tank):
    def told():
        rows = phone.get("/api/vessels").json()["vessels"]
        return [line["code"] for row in rows if row["id"] == tank for line in row["trouble"]]

    gyle = new_run()
    released = Hand(phone, letting_go["beer-released"], tank, 3, gyle)
    released.done("release")
    released.send()
    assert told() == codes(phone, released.run) == ["released-unfit"]
    # on a vessel the site no longer lists, and no less true
    shown = Hand(phone, letting_go["beer-shown"], new_run(), 5, gyle)
    shown.done("read")
    shown.send()
    assert told() == codes(phone, released.run) == []


def test_a_duty_brewer_answers_for_what_was_packed_unreleased(phone, letting_go):
    packed = Hand(phone, letting_go["beer-packed"], new_run(), 1, new_run())
    done = packed.done("pack")
    packed.make("deviation.answered", {"deviation": done["id"], "action": "Held and sampled"}, person="dora")
    packed.send()
    (row,) = phone.get(f"/api/runs/{packed.run}").json()["run"]["deviations"]
    assert row["answered"]["person"] == "dora"
    nameless = Hand(phone, letting_go["beer-packed"], None, 1)
    nameless.done("pack")
    nameless.send()
    (row,) = phone.get(f"/api/runs/{nameless.run}").json()["run"]["deviations"]
    assert "which gyle" in row["text"]


def litres(name):
    return {"id": name, "label": name.title(), "kind": "reading", "unit": "L", "places": 0, "optional": True}


@pytest.fixture
def blending(desk):
    """A cast with its volumes, and a blend out of a fermenter that names the gyle it takes; their openings."""
    cast = {"kind": "brew", "leaves": "filled", "vessel_kinds": ["fermenter"]}
    draws = {"from": ["whirlpool"], "move": "cast", "out": {"entry": "cast.out"}, "in": "cast.in"}
    cast["steps"] = [step("cast", draws=draws, entries=[litres("out"), litres("in")])]
    blend = {"kind": "cellar", "leaves": "filled", "vessel_kinds": ["bright"]}
    draws = {"from": ["fermenter"], "gyle": "blend.gyle", "move": "blend", "in": "blend.moved"}
    text = {"id": "gyle", "label": "From gyle", "kind": "text"}
    blend["steps"] = [step("blend", draws=draws, entries=[text, litres("moved")])]
    openings = {}
    for name, body in (("quick-cast", cast), ("quick-blend", blend)):
        answer = desk.post(
            "/api/desk/procedures", {"id": name, "version": 1, "title": name, "summary": "Quick.", **body}
        )
        assert answer.status_code == 201, answer.text
        openings[name] = {"procedure": name, "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    return openings


def read(hand, place, value, unit="L"):
    at, _, field = place.partition(".")
    data = {"step": at, "field": field, "value": value, "typed": value, "how": "keyed", "verdict": "target"}
    return hand.make("entry.made", {**data, **({"unit": unit} if unit else {}), "core": VERSION, "over": []})


def moves_of(phone, gyle):
    rows = phone.get(f"/api/gyles/{gyle}").json()["moves"]["rows"]
    return [(row["move"], row["gyle"], row["out"], row["in"], row["loss"], row["lost"]) for row in rows]


def test_a_blend_stands_with_its_loss_on_the_page_of_each_gyle_and_a_strike_refolds_both(
    phone, other, blending, tank
):
    gyles = [f"g-{new_run()[-12:]}" for _ in range(2)]
    cast = Hand(phone, blending["quick-cast"], tank, 9, gyles[0])
    read(cast, "cast.out", "640")
    read(cast, "cast.in", "600")
    cast.done("cast")
    cast.send()
    blend = Hand(other, blending["quick-blend"], new_run(), 2, gyles[1])
    read(blend, "blend.gyle", gyles[0].upper().replace("-", " "), "")
    moved = read(blend, "blend.moved", "580")
    blend.done("blend")
    blend.send()
    assert moves_of(phone, gyles[0]) == [
        ("cast", None, "640", "600", "40", "40"), ("blend", gyles[1], "600", "580", "20", "60"),
    ]  # fmt: skip
    assert moves_of(phone, gyles[1]) == [("blend", gyles[0], "580", "580", None, "0")]
    assert state_of(phone, tank) == "soiled"
    blend.make("struck", {"target": moved["id"], "reason": "Read the wrong meter"})
    read(blend, "blend.moved", "590")
    blend.send()
    assert moves_of(phone, gyles[0])[1] == ("blend", gyles[1], "600", "590", "10", "50")
    assert moves_of(phone, gyles[1])[0][3] == "590"


def test_a_text_that_names_no_gyle_and_no_instrument_is_kept_like_any_other(phone, desk):
    reading = {
        "id": "ph",
        "label": "pH",
        "kind": "reading",
        "unit": "pH",
        "places": 2,
        "instrument": "ph-meter",
    }
    draws = {"from": ["fermenter"], "gyle": "move.of"}
    entries = [{"id": "of", "label": "Gyle", "kind": "text"}, reading]
    draft = {"id": "odd-move", "version": 1, "title": "Odd move", "summary": "Quick.", "kind": "cellar"}
    draft |= {"vessel_kinds": ["bright"], "steps": [step("move", draws=draws, entries=entries)]}
    answer = desk.post("/api/desk/procedures", draft)
    opening = {"procedure": "odd-move", "version": 1, "sha256": answer.json()["sha256"], "inputs": {}}
    hand = Hand(phone, opening, new_run(), 1)
    long = "".join(new_run() for _ in range(100))
    name = long[:300]
    said = {"step": "move", "how": "keyed", "verdict": "target", "core": VERSION, "over": []}
    hand.make("entry.made", {**said, "field": "of", "value": name, "typed": name})
    acid = {"field": "ph", "value": "4.20", "typed": "4.20", "unit": "pH", "instrument": long}
    hand.make("entry.made", {**said, **acid})
    hand.done("move")
    hand.send()
    state = phone.get(f"/api/runs/{hand.run}").json()["run"]
    assert state["steps"]["move"]["status"] == "done"
    (line,) = phone.get("/api/runs", vessel=hand.vessel).json()["runs"]
    assert line["title"] == "Odd move"
