"""The editor's form loses nothing of a procedure, its files load again, and differences are said in words."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from vesselside import library
from vesselside.library import form, shapes
from vesselside.library.difference import difference

SHIPPED = library.load()
CAUTIONS = [caution["id"] for caution in SHIPPED.cautions]
PROCEDURES = [pytest.param(row, id=row["id"]) for row in SHIPPED.procedures]


def cleaned() -> dict[str, Any]:
    """A copy of a long procedure, to be changed."""
    return copy.deepcopy(next(row for row in SHIPPED.procedures if row["id"] == "fermenter-caustic-clean"))


def crossed(value: Any) -> Any:
    """As it comes out at the other end of the wire."""
    return json.loads(json.dumps(value))


def faults_of(draft: dict[str, Any]) -> list[tuple[str, str]]:
    """What is wrong with a draft, each at its field."""
    told = [fault.told() for fault in library.drafted(draft, CAUTIONS)[1]]
    return [(row["field"], row["text"]) for row in told]


@pytest.mark.parametrize("procedure", PROCEDURES)
def test_a_procedure_comes_back_from_the_form_as_it_went_in(procedure):
    back, faults = library.drafted(crossed(form.draft_of(procedure)), CAUTIONS)
    assert faults == []
    assert back == procedure


@pytest.mark.parametrize("procedure", PROCEDURES)
def test_a_file_written_is_the_procedure_and_the_draft_it_came_from(procedure, tmp_path):
    text = library.written({key: value for key, value in procedure.items() if key != "sha256"})
    opened, faults = library.opened(text)
    assert faults == []
    draft = form.draft_of(procedure)
    assert {**opened, "version": int(opened["version"])} == draft
    file = tmp_path / f"{procedure['id']}.yaml"
    file.write_text(text, encoding="utf-8")
    assert library.check_files([file]) == []


def test_files_written_in_the_browser_load_as_a_library(tmp_path: Path):
    for kind in ("cautions", "procedures"):
        (tmp_path / kind).mkdir()
    for file in (library.FOLDER / "cautions").glob("*.yaml"):
        (tmp_path / "cautions" / file.name).write_bytes(file.read_bytes())
    for procedure in SHIPPED.procedures:
        bare = {key: value for key, value in procedure.items() if key != "sha256"}
        (tmp_path / "procedures" / f"{procedure['id']}.yaml").write_text(
            library.written(bare), encoding="utf-8"
        )
    assert library.load(tmp_path) == SHIPPED


def test_every_field_of_the_shapes_has_words_or_is_edited_as_text_in_the_rest():
    fields = {row["id"]: row for row in form.described()}
    steps = {row["id"]: row for row in fields["steps"]["fields"]}
    entries = {row["id"]: row for row in steps["entries"]["fields"]}
    assert set(shapes.Procedure().fields) - set(fields) == {"id", "version"}
    assert {"asks", "fills", "chemical", "never_locked"} <= set(shapes.Step().fields) - set(steps)
    assert set(shapes.Entry().fields) - set(entries) == {"renews"}
    assert entries["limits"]["kind"] == "group"
    assert [row["kind"] for row in entries["limits"]["fields"]][:2] == ["band", "band"]
    assert steps["entries"]["row"] == "Entry"
    for words, shape in ((form.WORDS[name], getattr(shapes, name)()) for name in form.WORDS):
        assert set(words) <= {field.data_key or name for name, field in shape.fields.items()}


def test_what_the_form_cannot_show_stays_in_the_rest_and_its_fault_is_named():
    procedure = cleaned()
    procedure["steps"][1] |= {"titel": "Vent", "needs": "everything"}
    draft = form.draft_of(procedure)
    assert "titel: Vent" in draft["steps"][1]["rest"]
    assert "needs: everything" in draft["steps"][1]["rest"]
    fields = dict(faults_of(draft))
    assert "did you mean title?" in fields["steps.1.titel"]
    assert "steps.1.needs" in fields


@pytest.mark.parametrize(
    ("rest", "field", "text"),
    [
        ("asks: [", "steps.0.rest", "not YAML"),
        ("asks: &a [*a]", "steps.0.rest", "without references"),
        ("[" * 40 + "]" * 40, "steps.0.rest", "deep nesting"),
        ("title: Twice", "steps.0.rest", "title has a field of its own"),
        ("only words", "steps.0.rest", "must name each field"),
        ("? [asks]\n: x", "steps.0.rest", "one word, not a list"),
        ("asks: \ud800", "steps.0.rest", "cannot be kept"),
        ("asks: [{interlock: luck}]", "steps.0.asks.0.interlock", "luck is not one of"),
        ("chemical: sideways", "steps.0.chemical", "is not one of in, out"),
    ],
)
def test_a_fault_in_the_text_of_a_step_is_at_that_step(rest, field, text):
    draft = crossed(form.draft_of(cleaned()))
    draft["steps"][0]["rest"] = rest
    found = [said for where, said in faults_of(draft) if where == field]
    assert found, faults_of(draft)
    assert text in found[0]


def test_a_bound_and_an_emptied_field_are_judged_where_they_stand():
    draft = crossed(form.draft_of(cleaned()))
    entry = draft["steps"][1]["entries"][2]
    entry["limits"]["target"] = ["", "about 2"]
    entry["limits"]["stop"][1] = {"block": "calculation: no-such\ninputs: {}"}
    draft["steps"][0]["why"] = ""
    found = dict(faults_of(draft))
    assert "'about 2' is not a decimal number" in found["steps.1.entries.2.limits.target.1"]
    assert found["steps.0.why"] == "Missing."
    entry["limits"]["target"] = ["", "0.02"]
    draft["steps"][0]["why"] = "So."
    found = dict(faults_of(draft))
    assert "unknown calculation" in found["steps.1.entries.2.limits.stop.1.calculation"]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "- a list",
        "words",
        "a: &x [*x]",
        "id: one\nid: two",
        "{",
        "a: \x00",
        "[" * 5000,
        "a: \ud800",
        "? [a]\n: b",
    ],
)
def test_a_file_that_is_no_procedure_is_refused(text):
    draft, faults = library.opened(text)
    assert draft == {}
    assert faults


@pytest.mark.parametrize("value", ["a\x00b", "\ud800"])
def test_what_cannot_be_kept_is_a_fault(value):
    procedure = cleaned()
    procedure["settings"][0]["default"] = value
    assert [fault.text for fault in library.judge(procedure, CAUTIONS)[1]] == [
        "holds a character that cannot be kept"
    ]


def test_nesting_without_end_is_a_fault():
    deep: Any = "1"
    for _ in range(400):
        deep = {"calculation": "charge", "inputs": {"x": deep}}
    procedure = cleaned()
    procedure["steps"][0]["hold"] = {"seconds": deep}
    assert {fault.text for fault in library.judge(procedure, CAUTIONS)[1]} == {"nests too deep"}


def test_an_empty_unit_says_that_a_number_has_none_and_nothing_of_a_choice():
    draft = crossed(form.draft_of(cleaned()))
    room, flow = (row for row in draft["steps"][1]["entries"] if row["id"] in ("room", "flow"))
    room["unit"] = flow["unit"] = ""
    procedure, faults = library.drafted(draft, CAUTIONS)
    assert faults == []
    made = {entry["id"]: entry.get("unit") for entry in procedure["steps"][1]["entries"]}
    assert (made["room"], made["flow"]) == ("", None)


def test_no_difference_is_no_row():
    assert difference(cleaned(), {**cleaned(), "version": 9, "sha256": "0"}) == []


def test_a_difference_is_said_in_words():
    before, after = cleaned(), cleaned()
    after["title"] = "Fermenter caustic clean, two-pass"
    gauge = after["steps"][1]["entries"][2]
    gauge["limits"]["target"][1] = "0.01"
    gauge["optional"] = True
    after["steps"][2]["cautions"].remove("co2-room")
    after["steps"][0]["entries"][0]["options"].pop()
    rows = difference(before, after)
    assert {"where": "Title", "before": before["title"], "after": after["title"], "kind": "changed"} in rows
    step = "Step 2, Open the vent and see it open · Entry 3, Gauge after venting"
    assert {
        "where": f"{step} · Limits · On target, to",
        "before": "0.02",
        "after": "0.01",
        "kind": "changed",
    } in rows
    assert {"where": f"{step} · May be left out", "before": "", "after": "yes", "kind": "added"} in rows
    (caution,) = [row for row in rows if row["where"].endswith("Cautions, met before the step opens")]
    assert (caution["before"], caution["after"]) == ("co2-room, caustic-in-co2", "caustic-in-co2")
    (gone,) = [row for row in rows if row["kind"] == "removed"]
    assert gone["where"].endswith("Answer 2, Not the same")
    assert len(rows) == 5


def test_a_step_that_moved_is_one_row_and_what_waits_for_another_step_now_is_said():
    procedure = {
        "steps": [
            {"id": name, "title": name.title(), "why": "So.", "how": "So."}
            for name in ("rinse", "dose", "look", "end")
        ]
    }
    moved = copy.deepcopy(procedure)
    moved["steps"].insert(0, moved["steps"].pop(2))
    assert difference(procedure, moved) == [
        {"where": "Step 1, Look", "before": "Step 3", "after": "Step 1", "kind": "moved"},
        {"where": "Step 1, Look · Waits for", "before": "Dose", "after": "no step", "kind": "changed"},
        {"where": "Step 2, Rinse · Waits for", "before": "no step", "after": "Look", "kind": "changed"},
        {"where": "Step 4, End · Waits for", "before": "Look", "after": "Dose", "kind": "changed"},
    ]
    without = copy.deepcopy(procedure)
    del without["steps"][1]
    rows = difference(procedure, without)
    assert [(row["where"], row["kind"]) for row in rows] == [
        ("Step 2, Dose", "removed"),
        ("Step 2, Look · Waits for", "changed"),
    ]
    assert difference(without, procedure)[0]["kind"] == "added"
