"""Work in the dark: two people have signed in on one phone, then the office is gone until all of it is done."""

from tests.e2e.conftest import PEOPLE, SHORT
from tests.e2e.hand import Hand
from tests.e2e.kept import knows
from tests.e2e.test_clean import all_sent, office
from tests.outside import chain

BREWER, SECOND = "Dele Marchbank", "Owen Calloway"


def done_in_the_dark(brewery, phone, *jobs):
    """What the server holds of each job `(where, procedure, inputs, answers, *also)` once reached again."""
    # Who is to sign with no signal has signed in on this phone once before.
    one = phone("hall", SECOND)
    one.hand_over(BREWER, PEOPLE[BREWER])
    all_sent(one)
    knows(one, SHORT)
    brewery.kill()
    runs = []
    for where, procedure, inputs, answers, *also in jobs:
        hand = Hand(one, answers, second=(SECOND, PEOPLE[SECOND]), also=tuple(also))
        runs.append(hand.start(where, procedure, inputs))
        hand.finish()
    brewery.start()
    one.page.reload()
    one.unlock(BREWER, PEOPLE[BREWER])
    all_sent(one)
    get = office(brewery, one)
    reference = get("/api/reference")
    told = [get(f"/api/runs/{run}") for run in runs]
    for answer in told:
        assert chain.verify(answer, reference) == len(answer["events"])
        assert answer["run"]["status"] == "finished"
    return told
