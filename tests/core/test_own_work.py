"""Whoever did some of the work does not accept it, but where the site has said that nobody else is there."""

from .builder import Pen
from .every_finding import alone
from .sessions import codes, fold


def test_whoever_did_some_of_the_work_does_not_accept_it():
    pen = Pen()
    events = pen.clean()
    events[5] = {**events[5], "person": "dee"}
    word = {"digest": "0" * 64, "text": "Not good.", "person": "dee"}
    accepted = pen.write("run.reviewed", verdict="accepted", **word)
    state = fold([*events, accepted])
    assert (state["review"], codes(state)) == (None, ["own-work"])
    rejected = pen.write("run.reviewed", verdict="rejected", **word)
    state = fold([*events, rejected, accepted])
    assert (state["review"]["verdict"], codes(state)) == ("rejected", ["own-work"])


def test_where_the_site_has_said_that_nobody_else_is_there_the_record_says_so_for_good():
    pen = Pen()
    events = pen.clean(person="dee")
    accepted = pen.write("run.reviewed", verdict="accepted", digest="0" * 64, text="", person="dee")
    taken_back = alone("no", sequence="0000000000000009")
    state = fold([*events, accepted], more=[alone(), taken_back])
    assert (state["review"]["verdict"], codes(state)) == ("accepted", ["own-work-alone"])
    later = pen.write(
        "run.reviewed", verdict="accepted", digest="0" * 64, text="", person="dee", seen="0000000000000009"
    )
    state = fold([*events, later], more=[alone(), taken_back])
    assert (state["review"], codes(state)) == (None, ["own-work"])


def test_a_second_signature_is_no_work_that_keeps_from_accepting():
    pen = Pen()
    events = pen.clean()
    events[-2] = {**events[-2], "person": "dee"}
    accepted = pen.write("run.reviewed", verdict="accepted", digest="0" * 64, text="", person="dee")
    assert fold([*events, accepted])["review"]["verdict"] == "accepted"
