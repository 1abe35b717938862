"""A run that is held and goes on with what came since is what it would be, folded whole, whatever was administered."""

import random

from tests.api.outside import Phone, new_run
from tests.living import PINS, Living
from vesselside import store
from vesselside.store.fold import folding, projections
from vesselside.store.site import founding, people, siting

OPENING = {"procedure": "none-such", "version": 1, "sha256": "0" * 64, "vessel": "fv1", "inputs": {}}


def test_held_and_whole_are_the_same(fresh: Living) -> None:
    fresh.start()
    phones, run = [Phone(fresh.url, fresh.code(name)) for name in ("one", "two")], new_run()
    phones[0].sign_in("bern", PINS["bern"])
    phones[0].push([phones[0].make(run, "run.opened", OPENING)])
    seed = random.randrange(2**32)
    print("seed", seed)
    draw = random.Random(seed)
    held = folding.Held()
    with fresh.inside():
        brewery = founding.breweries()[0][0]
        book = store.book(brewery)
    went_on = 0
    for at in range(60):
        phone = draw.choice(phones)
        person = draw.choice(["bern", "stig", "dora"])
        match draw.randrange(5):
            case 0:
                phone.sign_in(person, PINS[person])
            case 1:
                fresh.code(f"code {at}")
            case 2:
                role = draw.choice(["starter", "brewer", "duty"])
                with fresh.inside():
                    people.change_person(book, person, role=role)
            case 3:
                with fresh.inside():
                    siting.set_setting(book, "clean-hours", str(at + 1))
            case _:
                phone.push([phone.make(run, person=person)])
        with fresh.inside():
            known, said = projections.administration(brewery)
            before = held.held(brewery, run)
            kept = held.fold(brewery, run, known, said)
            went_on += held.held(brewery, run) is before
            whole = folding.fold(brewery, run, known)
        assert (kept.state, kept.digest, kept.last) == (whole.state, whole.digest, whole.last), (seed, at)
    assert went_on > 10, "a run is folded whole only where what was administered bears on it"
