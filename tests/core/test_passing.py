"""What lets a step be passed: enough of a series, or the right to pass by what the procedure calls optional."""

from copy import deepcopy

from .builder import PROCEDURE, Pen
from .sessions import codes, fold


def test_a_series_waits_until_it_has_as_many_as_it_must():
    procedure = deepcopy(PROCEDURE)
    procedure["steps"][1]["entries"][0] |= {"series": True, "least": 3}
    pen = Pen()
    events = pen.clean()[:4]

    def waits():
        return [row["text"] for row in fold(events, procedure)["steps"]["strength"]["waits"]]

    events.append(pen.entry("strength", "percent", "2.0", "%"))
    assert waits() == ["Enter: Strength (1 of 3 so far)"]
    events += [pen.entry("strength", "percent", value, "%") for value in ("2.1", "1.9")]
    assert waits() == []


def test_passing_by_an_optional_step_is_anyones_and_no_finding_any_other_skip_is_both():
    pen = Pen()
    events = pen.clean()[:4]
    done = fold([*events, pen.write("step.skipped", step="tidy", reason="Not needed", person="ash")])
    assert done["steps"]["tidy"]["status"] == "skipped"
    assert codes(done) == codes(fold(events))
    brewer = [*pen.clean()[:4], pen.write("step.skipped", step="strength", reason="no meter")]
    assert codes(fold(brewer)) == ["skipped"]
    starter = [*pen.clean()[:4], pen.write("step.skipped", step="strength", reason="no meter", person="ash")]
    assert codes(fold(starter)) == ["unauthorised"]
    nobody = fold([*events, pen.write("step.skipped", step="tidy", reason="x", person="nobody")])
    assert nobody["steps"]["tidy"]["status"] == "open"
