"""Shorter: a mash-in and a canning line's pre-start to their end with no signal, their sums in the record."""

import pytest

from tests.e2e.conftest import PEOPLE
from tests.e2e.hand import Hand
from tests.e2e.test_clean import all_sent, office
from tests.outside import chain

MASH = {
    "Malt temperature": "18",
    "Mash tun temperature": "60",
    "Cold liquor now": "12",
    "Mash now": "65",
    "Liquor to add is at": "90",
}
LINE = {
    "Cover hook": "1.55",
    "Body hook": "1.60",
    "Seam length": "2.50",
    "End thickness": "0.230",
    "Empty can with end": "13.0",
    "Full can": "454.0",
    "Mains pH today": "7.40",
}


@pytest.mark.parametrize(
    ("where", "procedure", "inputs", "answers", "worked"),
    [
        (
            "Mash tun",
            "Grist and mash-in",
            {"Recipe": "Lantern Field pale ale"},
            MASH,
            {"strike-temperature", "liquor-blend"},
        ),
        (
            "Canning line",
            "Canning line pre-start",
            {"Beer's present gravity": "1.009", "Gyle": "g309"},
            LINE,
            {"seam-overlap", "fill-volume"},
        ),
    ],
)
def test_done_to_its_end_with_no_signal_its_sums_in_the_record(
    brewery, phone, where, procedure, inputs, answers, worked
):
    # Who is to sign with no signal has signed in on this phone once before.
    one = phone("hall", "Owen Calloway")
    one.hand_over("Dele Marchbank", PEOPLE["Dele Marchbank"])
    all_sent(one)
    brewery.kill()
    hand = Hand(one, answers, second=("Owen Calloway", PEOPLE["Owen Calloway"]))
    run = hand.start(where, procedure, inputs)
    hand.finish()
    brewery.start()
    one.page.reload()
    one.unlock("Dele Marchbank", PEOPLE["Dele Marchbank"])
    all_sent(one)
    get = office(brewery, one)
    answer = get(f"/api/runs/{run}")
    assert chain.verify(answer, get("/api/reference")) == len(answer["events"])
    assert answer["run"]["status"] == "finished"
    assert [row["code"] for row in answer["run"]["findings"]] == []
    sums = {
        event["data"]["from"]["calculation"]
        for event in answer["events"]
        if event["type"] == "entry.made" and event["data"]["how"] == "worked"
    }
    assert worked <= sums
