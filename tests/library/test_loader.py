"""The loader names every fault by file, line and field, and hands on nothing it has not judged."""

import hashlib
import json
from pathlib import Path

import pytest

from vesselside.library import LibraryError, check, judge, load

from .conftest import PROCEDURE, Write


def _line(text: str, nth: int = 1) -> int:
    """The line of the small procedure on which `text` stands, the nth time."""
    found = [at for at, line in enumerate(PROCEDURE.splitlines(), 1) if text in line]
    return found[nth - 1]


def _said(folder: Path) -> list[str]:
    return [str(fault) for fault in check(folder)]


def test_a_right_library_loads_without_fault(library: Write) -> None:
    folder = library()
    assert check(folder) == []
    loaded = load(folder)
    assert [row["id"] for row in loaded.procedures] == ["rinse"]
    assert [row["id"] for row in loaded.cautions] == ["hot"]


def test_figures_stay_the_text_they_were_written_as(library: Write) -> None:
    folder = library('stop: ["30", "70"]', "stop: [30.0, 70]")
    limits = load(folder).procedures[0]["steps"][0]["entries"][0]["limits"]
    assert limits["stop"] == ["30.0", "70"]
    assert limits["target"] == [{"setting": "least"}, "60"]


def test_sha256_is_of_the_canonical_bytes_without_itself(library: Write) -> None:
    # RFC 8785: for text, integers, booleans and ASCII keys it is json with sorted keys and no spaces.
    row = load(library()).procedures[0]
    given = row.pop("sha256")
    canonical = json.dumps(row, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    assert given == hashlib.sha256(canonical).hexdigest()


def test_a_typing_slip_is_named_with_its_line_and_a_guess(library: Write) -> None:
    folder = library("    title: Warm the liquor", "    titel: Warm the liquor")
    line = _line("title: Warm the liquor")
    said = _said(folder)
    assert f"procedures/rinse.yaml:{line}: steps[0].titel: unknown field (did you mean title?)" in said
    assert any("steps[0].title: Missing" in text for text in said)
    assert len(said) == 2


def test_load_refuses_with_every_fault_at_once(library: Write) -> None:
    folder = library("kind: cleaning", "kind: cleansing", caution=("alarm: false", "alarm: perhaps"))
    with pytest.raises(LibraryError) as caught:
        load(folder)
    assert {(fault.file, fault.field) for fault in caught.value.faults} == {
        ("procedures/rinse.yaml", "kind"),
        ("cautions/hot.yaml", "alarm"),
    }


@pytest.mark.parametrize(
    ("old", "new", "field", "text"),
    [
        ("cautions: [hot]", "cautions: [hott]", "steps[0].cautions[0]", "unknown caution hott (did you mean hot?)"),
        ("needs: [warm]", "needs: [wram]", "steps[1].needs[0]", "unknown step wram (did you mean warm?)"),
        ("needs: [warm]", "needs: [look]", "steps[1].needs[0]", "look does not come before this step"),
        ("{setting: least}", "{setting: lest}", "limits.target[0]", "unknown setting lest (did you mean least?)"),
        ("{setting: least}", '{entry: "look.seen"}', "limits.target[0]", "unknown entry look.seen"),
        ("{setting: least}", "{input: least}", "limits.target[0]", "unknown input least"),
        ("{setting: least}", "{calculation: no-such, inputs: {}}", "target[0].calculation", "unknown calculation"),
        ("{setting: least}", "{seting: least}", "limits.target[0]", "must name one of setting"),
        ("{setting: least}", '{setting: least, pluss: "1"}', "limits.target[0]", "unknown field pluss"),
        ("{setting: least}", "about 40", "limits.target[0]", "is not a decimal number"),
        ('default: "40.0"', 'default: "65"', "entries[0].limits", "limits are out of order"),
        ('stop: ["30", "70"]', 'stop: ["30", "55"]', "entries[0].limits", "limits are out of order"),
        ("          halt: Wait.\n", "", "entries[0].limits", "halt must say what to do"),
        ("          low: Warm it.\n", "", "entries[0].limits", "low must say what to do"),
        ("        unit: °C\n        places", "        places", "entries[0]", "a reading needs unit"),
        ("    unit: °C\n    default", "    unit: K\n    default", "limits.target[0]", "is in K, wanted in °C"),
        ("verdict: stop, advice: Again.", "verdict: stop", "options[1]", "an answer judged stop needs advice"),
        ("verdict: target", "verdict: advise, advice: Hm.", "entries[0].options", "no answer is on target"),
        ("instrument: thermometer", "instrument: thumb", "entries[0].instrument", "is not one of"),
        ("places: 1\n", "places: 1\n        least: 3\n", "entries[0].least", "only a series has a least number"),
        ("title: Look", "title: Look\n    asks: [{interlock: luck}]", "asks[0].interlock", "luck is not one of"),
        ("title: Look", "title: Look\n    asks: [{interlock: fill, of: x.y, warns: true}]", "[0].of", "neither gyle"),
        ("title: Look", "title: Look\n    asks: [{interlock: fill, of: gyle}]", "asks[0].of", "only a warning"),
        ("title: Look", "title: Look\n    asks: [{interlock: contact}]", "asks[0].interlock", "needs a hold"),
        ("title: Look", "title: Look\n    fills: true", "steps[1].fills", "must ask fill or add"),
        ("title: Look", "title: Look\n    never_locked: true", "steps[1].never_locked", "is anytime and needs no step"),
        ("title: Look", "title: Look\n    chemical: on", "steps[1].chemical", "is not one of in, out"),
        ("title: Look", "title: Look\n    shows: [luck]", "shows[0]", "luck is not one of"),
        ("label: Wall", "label: Wall\n        renews: [never]", "renews[0]", "no answer is called never"),
        ("id: look", "id: warm", "steps[1].id", "warm is there twice"),
        ("title: Look", "title: Look <b>now</b>", "steps[1].title", "must be plain text"),
        ("why: To see.", 'why: " "', "steps[1].why", "must say something"),
        ("version: 1", "version: 0", "version", "greater than or equal to 1"),
        ("kind: cleaning", "kind: trouble\nleaves: soiled", "leaves", "leaves its vessel as it is"),
        ("target: [{setting: least}, ", "target: [null, ", "settings[0].id", "no step uses the setting least"),
    ],
)  # fmt: skip
def test_each_fault_is_found_where_it_stands(
    library: Write, old: str, new: str, field: str, text: str
) -> None:
    said = check(library(old, new))
    found = [fault for fault in said if fault.field.endswith(field) and text in fault.text]
    assert len(found) == 1, said
    assert found[0].line >= 1


WORKED = """\
  - id: sum
    title: Work it out
    why: For the next step.
    how: On the phone.
    entries:
      - {id: weight, label: Weight, kind: reading, unit: g, places: 1, series: true}
      - {id: litres, label: Litres, kind: reading, unit: L, places: 1}
      - id: worked
        label: Worked
        kind: reading
        unit: UNIT
        places: 2
        works: {calculation: CALCULATION, inputs: {INPUTS}, proposes: true}
"""


@pytest.mark.parametrize(
    ("calculation", "unit", "inputs", "said"),
    [
        ("tare-study", "g", "empties: {series: sum.weight}, error_ml: '13.2'", ""),
        (
            "tare-study",
            "g",
            "empties: {series: sum.litres}, error_ml: '13.2'",
            "must be a series of readings",
        ),
        ("tare-study", "g", "empties: '15', error_ml: '13.2'", "must be a series of readings"),
        ("blend-brews", '""', "brews: {series: sum.weight}", "needs a series for each of 2 columns, not 1"),
        ("blend-brews", '""', "brews: {series: [sum.litres, sum.worked]}", "must be a series of readings"),
        ("tare-study", "kg", "empties: {series: sum.weight}, error_ml: '13.2'", "is in g, wanted in kg"),
        ("cask-priming", "g", "beer_l: {entry: sum.litres}, sugar: glucose", ""),
        ("cask-priming", "g", "beer_l: {entry: sum.litres}, sugar: honey", "must be one of sucrose, glucose"),
        (
            "cask-priming",
            "g",
            "beer_l: {series: sum.weight}, sugar: glucose",
            "takes one number, not a series",
        ),
        ("cask-priming", "g", "beer_l: {entry: sum.weight}, sugar: glucose", "is in g, wanted in L"),
        ("cask-priming", "g", "bier_l: {entry: sum.litres}", "unknown input bier_l (did you mean beer_l?)"),
        (
            "cask-primings",
            "g",
            "beer_l: '41'",
            "unknown calculation cask-primings (did you mean cask-priming?)",
        ),
    ],
)
def test_a_sum_is_given_what_it_takes(
    library: Write, calculation: str, unit: str, inputs: str, said: str
) -> None:
    step = WORKED.replace("CALCULATION", calculation).replace("UNIT", unit).replace("INPUTS", inputs)
    faults = [fault.text for fault in check(library("  - id: look\n", step + "  - id: look\n"))]
    assert [text for text in faults if said not in text or not said] == []
    assert len(faults) == bool(said)


def test_a_limit_without_source_is_a_fault(library: Write) -> None:
    folder = library(
        "          halt: Wait.\n          source: common practice, no source\n", "          halt: Wait.\n"
    )
    assert [fault.field for fault in check(folder)] == ["steps[0].entries[0].limits.source"]


def test_an_unknown_source_id_is_a_fault(library: Write) -> None:
    folder = library(
        "halt: Wait.\n          source: common practice, no source",
        "halt: Wait.\n          source: no-such-one",
    )
    assert any("unknown source no-such-one" in text for text in _said(folder))


def test_a_key_given_twice_is_a_fault_not_the_last_one_winning(library: Write) -> None:
    folder = library("title: Look", "title: Look\n    title: Look again")
    assert [fault.text for fault in check(folder)] == ["given twice"]


def test_a_file_that_is_no_yaml_says_where(library: Write) -> None:
    folder = library("kind: cleaning", "kind: [cleaning")
    (fault,) = check(folder)
    assert fault.file == "procedures/rinse.yaml"
    assert fault.line >= _line("kind: cleaning")
    assert fault.text.startswith("not YAML")


def test_an_empty_file_is_a_fault(library: Write) -> None:
    folder = library()
    (folder / "procedures" / "blank.yaml").write_text("", encoding="utf-8")
    assert [str(fault) for fault in check(folder)] == ["procedures/blank.yaml:1: the file is empty"]


def test_the_file_is_called_after_its_id(library: Write) -> None:
    (fault,) = check(library(name="other"))
    assert fault.field == "id"


def test_procedures_that_share_a_setting_must_agree(library: Write) -> None:
    folder = library()
    text = PROCEDURE.replace("id: rinse", "id: soak").replace('default: "40.0"', 'default: "45.0"')
    (folder / "procedures" / "soak.yaml").write_text(text, encoding="utf-8")
    (fault,) = check(folder)
    assert str(fault) == (
        f"procedures/soak.yaml:{_line('default')}: settings[0].default: "
        "least is said otherwise in procedures/rinse.yaml"
    )


def test_a_procedure_from_outside_is_judged_alike(library: Write) -> None:
    row = load(library()).procedures[0]
    again, faults = judge(row, ["hot"])
    assert faults == []
    assert again == row
    again, faults = judge({**row, "titel": "x"}, ["hot"])
    assert again == {}
    assert [str(fault) for fault in faults] == ["procedure: titel: unknown field (did you mean title?)"]


@pytest.mark.parametrize("given", [None, [], "text", {"steps": [3]}, {"steps": {"a": 1}}])
def test_what_is_no_procedure_at_all_is_a_fault_and_no_crash(given: object) -> None:
    shaped, faults = judge(given, [])
    assert shaped == {}
    assert faults
