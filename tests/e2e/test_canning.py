"""A canning line's pre-start to its end with no signal, its sums in the record; the mash-in is in `test_brew_day`."""

from tests.e2e.dark import done_in_the_dark

INPUTS = {"Beer's present gravity": "1.009", "Gyle": "g309"}
LINE = {
    "Cover hook": "1.55",
    "Body hook": "1.60",
    "Seam length": "2.50",
    "End thickness": "0.230",
    "Empty can with end": "13.0",
    "Full can": "454.0",
    "Mains pH today": "7.40",
}


def test_a_pre_start_is_done_with_no_signal_and_its_sums_are_in_the_record(brewery, phone):
    (answer,) = done_in_the_dark(brewery, phone, ("Canning line", "Canning line pre-start", INPUTS, LINE))
    assert [row["code"] for row in answer["run"]["findings"]] == []
    sums = {
        event["data"]["from"]["calculation"]
        for event in answer["events"]
        if event["type"] == "entry.made" and event["data"]["how"] == "worked"
    }
    assert sums >= {"seam-overlap", "fill-volume"}
