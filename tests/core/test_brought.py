"""A sum done outside a run and brought to an entry: where it may stand, what is recorded, and how it is checked."""

import pytest

from vesselside.core.sums import calculations

from .builder import CAUTIONS, PROCEDURE, START, Pen, administration
from .sessions import fold
from .walker import RefusedError, ask

BAY = {"id": "bay", "role": "brewer"}
READ = {"id": "density", "label": "Extract", "kind": "reading", "unit": "°P", "instrument": "hydrometer"}
MADE = {
    "id": "priming",
    "label": "Sugar",
    "kind": "reading",
    "unit": "g",
    "works": {"calculation": "cask-priming", "inputs": {"target_g_l": "2.4"}},
}
GRAVITY = {"original_sg": "1.0400", "present_sg": "1,0390"}
ATTENUATION = {"calculation": "attenuation", "inputs": GRAVITY, "result": "apparent_pct"}
PRIMING = {
    "calculation": "cask-priming",
    "inputs": {"beer_l": "40.9", "target_g_l": "2.4", "warmest_c": "19", "sugar": "glucose"},
    "result": "sugar_g",
}


def with_entries(*entries):
    """The bench clean, with more entries at the step that measures the strength."""
    steps = [
        {**step, "entries": [*step["entries"], *entries]} if step["id"] == "strength" else step
        for step in PROCEDURE["steps"]
    ]
    return {**PROCEDURE, "steps": steps}


def opened(count, *entries):
    """A run of it on the bridge, after the first `count` events of a clean; the procedure."""
    procedure, events = with_entries(*entries), Pen().clean()[:count]
    ask("open", run="r1", procedure=procedure, cautions=CAUTIONS, admin=administration(), events=events)
    return procedure


def enter(field, brought, typed=None, **given):
    """What would be recorded of a brought sum; its own result is confirmed unless another number is keyed."""
    if typed is None:
        typed = ask("work", run="r1", step="strength", field=field, sum=brought)["proposed"]
    given = {"step": "strength", "field": field, "typed": typed, "how": "worked", "sum": brought, **given}
    return ask("prepare", run="r1", action="enter", person=BAY, now=START + 3_600_000, **given)


def found(procedure, data):
    """The codes of what the fold finds once an entry with `data` follows the first four events."""
    pen = Pen()
    events = pen.clean()[:4]
    events.append(Pen("phone-b", start=START + 600_000).write("entry.made", **data))
    return [row["code"] for row in fold(events, procedure)["findings"]]


def refused(asked, *args, **given):
    with pytest.raises(RefusedError) as said:
        asked(*args, **given)
    return said.value.problem["code"]


def places(calculation, result):
    rows = ask("takers", run="r1", calculation=calculation, result=result)
    return [(row["step"], row["field"], row["value"]) for row in rows]


def test_a_brought_sum_is_recorded_with_its_calculation_and_inputs_and_judged_as_if_keyed():
    procedure = opened(4)
    made = enter("percent", ATTENUATION)
    assert made["data"]["how"] == "worked"
    assert made["data"]["from"] == {
        "calculation": "attenuation",
        "inputs": {"original_sg": "1.0400", "present_sg": "1.0390"},
    }
    assert (made["data"]["value"], made["data"]["unit"]) == ("2.4", "%")
    assert (made["judgement"]["verdict"], made["judgement"]["limit"]) == ("target", "1.5 to 2.5 %")
    assert found(procedure, made["data"]) == []


def test_a_brought_sum_opens_no_back_door():
    opened(1)
    assert refused(enter, "percent", ATTENUATION, typed="2.4") == "waits"
    opened(4)
    assert enter("percent", ATTENUATION, typed="9")["data"]["how"] == "keyed"
    assert (
        enter("percent", {**ATTENUATION, "inputs": {**GRAVITY, "present_sg": "1.0300"}})["judgement"][
            "verdict"
        ]
        == "stop"
    )
    assert refused(enter, "percent", {**ATTENUATION, "inputs": {}}, typed="2.4") == "needed"


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"result": "colour"}, "unknown-result"),
        ({"calculation": "plato-from-sg", "result": "plato"}, "unit-differs"),
        ({"calculation": "fill-chart-sample", "result": "verdict"}, "unit-differs"),
        ({"calculation": "nothing"}, "unknown-calculation"),
    ],
)
def test_a_result_of_another_unit_or_none_is_refused(wrong, code):
    opened(4)
    assert refused(enter, "percent", {**ATTENUATION, **wrong}, typed="2") == code


def test_only_open_steps_take_a_result_and_only_in_its_unit():
    opened(4, READ)
    assert places("attenuation", "apparent_pct") == [("strength", "percent", None)]
    assert places("plato-from-sg", "plato") == [("strength", "density", None)]
    assert places("cask-priming", "sugar_g") == []
    opened(5)
    assert places("attenuation", "apparent_pct") == [("strength", "percent", "2.0")]
    opened(6)
    assert places("attenuation", "apparent_pct") == []
    opened(15)
    assert places("cask-priming", "sugar_g") == []


def test_a_step_whose_cautions_are_still_to_be_met_takes_a_result():
    dosing = {"id": "dosing", "title": "Dose", "needs": [], "cautions": ["pressure"], "entries": [READ]}
    ask(
        "open",
        run="r1",
        procedure={**PROCEDURE, "steps": [*PROCEDURE["steps"], dosing]},
        cautions=CAUTIONS,
        admin=administration(),
        events=Pen().clean()[:1],
    )
    assert places("plato-from-sg", "plato") == [("dosing", "density", None)]


def test_a_contested_entry_is_settled_first():
    opened(5)
    other = Pen("phone-b", start=START + 50_000).entry("strength", "percent", "1.7", "%")
    ask("taken", run="r1", events=[other], now=0)
    assert places("attenuation", "apparent_pct") == []


def test_the_sum_behind_an_entry_keeps_its_own_result_and_shows_it_first():
    procedure = opened(4, {**MADE, "unit": "g/L"})
    assert refused(enter, "priming", {**PRIMING, "result": "per_l"}, typed="2") == "other-result"
    works = {**MADE["works"], "inputs": PRIMING["inputs"], "result": "per_l"}
    opened(4, {**MADE, "unit": "g/L", "works": works})
    shown = ask("work", run="r1", step="strength", field="priming")
    assert [row["id"] for row in shown["results"]] == ["per_l", "sugar_g", "stored_bar"]
    assert shown["proposed"] == shown["results"][0]["value"]
    procedure = opened(4, MADE)
    made = enter("priming", PRIMING)
    assert made["data"]["from"]["inputs"]["sugar"] == "glucose"
    assert found(procedure, made["data"]) == []


def test_a_sum_that_stands_where_an_instrument_is_read_is_found():
    procedure = opened(4, READ)
    brought = {"calculation": "plato-from-sg", "inputs": {"sg": "1.0480"}, "result": "plato"}
    assert found(procedure, enter("density", brought)["data"]) == ["sum-for-reading"]


@pytest.mark.parametrize(
    "changed",
    [
        {"value": "2.3", "typed": "2.3"},
        {"from": {"calculation": "attenuation", "inputs": {**GRAVITY, "present_sg": "1.0380"}}},
        {"from": {"calculation": "attenuation", "inputs": {"original_sg": "1.0400"}}},
        {"from": {"calculation": "nothing", "inputs": GRAVITY}},
        {"from": {"calculation": ["attenuation"], "inputs": GRAVITY}},
        {"from": {"calculation": "plato-from-sg", "inputs": {"sg": "1.0480"}}},
        {"from": {"inputs": GRAVITY}},
        {"from": {"calculation": "attenuation"}},
    ],
)
def test_a_brought_sum_that_no_longer_comes_out_is_found(changed):
    procedure = opened(4)
    data = {**enter("percent", ATTENUATION)["data"], **changed}
    assert found(procedure, data) == ["sum-differs"]


def test_every_input_at_fault_is_named_at_once_and_none_that_is_still_to_come():
    given = {"original_sg": "1.5", "present_sg": "2"}
    faults = calculations.faults("attenuation", given)
    assert [(row["code"], row["field"]) for row in faults] == [
        ("out-of-range", "original_sg"),
        ("out-of-range", "present_sg"),
    ]
    assert calculations.faults("attenuation", {"present_sg": "1.0100"}) == []
