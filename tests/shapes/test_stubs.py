"""The stubs say what the code goes by: closed lists its tables, procedures and recipes their own descriptions."""

import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import pytest
from marshmallow import Schema

from tests.shapes import make, stubs
from vesselside.core.brew import moves, recipes
from vesselside.core.door import actions
from vesselside.core.plant import fitness, happenings, states, vessel
from vesselside.core.run import events, findings, instruments, procedure
from vesselside.core.sums import sources
from vesselside.library import shapes as library
from vesselside.library import terms

TABLES = {
    "Verdict": events.VERDICTS,
    "ReviewVerdict": events.REVIEWS,
    "Way": events.WAYS,
    "Role": events.ROLES,
    "Left": events.LEFT,
    "VesselState": states.STATES,
    "StepStatus": procedure.STATUSES,
    "Interlock": tuple(procedure.INTERLOCKS),
    "Fact": tuple(fitness.FACTS),
    "MoveKind": tuple(moves.MOVES),
    "HopUse": recipes.USES,
    "TroubleCode": tuple(findings.TROUBLES),
    "FoldFinding": tuple(findings.FINDINGS),
    "EventKind": tuple(events.KINDS),
    "AdministrationKind": events.ADMINISTRATION,
    "Action": tuple(actions.ACTIONS),
    "InstrumentKind": instruments.KINDS,
    "ProcedureKind": terms.KINDS,
    "VesselKind": terms.VESSEL_KINDS,
    "EntryKind": terms.ENTRY_KINDS,
    "Proof": terms.PROOFS,
    "Signer": terms.SIGNERS,
    "CautionGroup": terms.CAUTION_GROUPS,
}
"""The list that the code goes by; what is not here is closed by mypy alone, where it is made."""

PROCEDURE = {
    "ProcedureFile": library.Procedure,
    "Step": library.Step,
    "Entry": library.Entry,
    "Option": library.Option,
    "Limits": library.Limits,
    "Raise": library.Raise,
    "Works": library.Works,
    "Ask": library.Ask,
    "Answered": library.Answered,
    "VolumeOut": library.Left,
    "Draws": library.Draws,
    "HoldFor": library.Hold,
    "Input": library.Input,
    "SiteFigure": library.Setting,
    "Caution": library.Caution,
}
"""What a library file may hold, shape by shape."""


@pytest.mark.parametrize("name", TABLES)
def test_a_closed_list_is_the_one_the_code_goes_by(name):
    assert stubs.lists()[name] == tuple(TABLES[name])


def test_happenings_are_those_that_a_vessels_life_knows_and_three_that_bear_on_others():
    assert set(stubs.lists()["What"]) == {*vessel._HANDLERS, "drawn", "showed", "ended", "passed"}
    assert set(happenings.PROVED) <= set(stubs.lists()["Proof"])


def test_sources_are_of_the_kinds_named():
    assert {row["kind"] for row in sources.SOURCES.values()} <= set(stubs.lists()["SourceKind"])


def test_no_two_closed_lists_are_the_same():
    """Else one could not be told from the other where a schema gives it."""
    held = [frozenset(values) for values in stubs.lists().values()]
    assert len(set(held)) == len(held)


def asked(shape: type[Schema]) -> dict[str, bool]:
    """The fields of a library shape, and whether each must be there."""
    return {field.data_key or name: bool(field.required) for name, field in shape().fields.items()}


def written(name: str) -> dict[str, bool]:
    shape = stubs.shapes()[name]
    return {key: key in shape.__required_keys__ for key in get_type_hints(shape)}


@pytest.mark.parametrize("name", PROCEDURE)
def test_a_procedure_is_shaped_as_the_library_takes_it(name):
    assert written(name) == asked(PROCEDURE[name])


def test_a_recipe_is_shaped_as_the_core_describes_it():
    told = recipes.described()
    figures = {row["id"]: not row.get("optional") for group in told["groups"] for row in group["fields"]}
    assert written("Recipe") == {"id": True, "version": True, "grist": True, "hops": True} | figures
    rows = {table["id"]: table["columns"] for table in told["tables"]}
    for name, table in (("GristRow", "grist"), ("HopRow", "hops")):
        always = {row["id"]: not row.get("optional") and "uses" not in row for row in rows[table]}
        assert written(name) == always


def test_a_misspelt_key_is_found(tmp_path: Path):
    """What the stub is for: the core reads no key of a run's view that is not there."""
    wrong = tmp_path / "wrong.py"
    wrong.write_text(
        "from vesselside.core.shapes import RunView\n\n\n"
        'def waiting(view: RunView) -> int:\n    return len(view["steps"]["rinse"]["wiats"])\n'
    )
    answer = subprocess.run(
        [sys.executable, "-m", "mypy", "--no-error-summary", "--follow-imports=silent", str(wrong)],
        capture_output=True,
        text=True,
        check=False,
        cwd=stubs.SERVER.parent,
    )
    assert answer.returncode == 1, answer.stderr
    assert 'TypedDict "StepView" has no key "wiats"' in answer.stdout


def test_what_is_made_from_the_stubs_is_up_to_date():
    """Else: `python -m tests.shapes.make`."""
    assert make.SCHEMA.read_text(encoding="utf-8") == make.schema_text()
    assert make.TYPES.read_text(encoding="utf-8") == make.types_text()
    assert make.LATER.read_text(encoding="utf-8") == make.later_text()
