"""Whatever a signed record says, nothing the core is asked about its run fails: not the run, not one list it is on."""

import json
import random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st

from tests.core import mutated
from tests.library.test_walk import LIBRARY
from vesselside.core import bridge

PROCEDURES = [row["id"] for row in LIBRARY.procedures]


def answer(name: str, args: dict[str, Any]) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(bridge.call(name, json.dumps(args)))
    fault = said.get("error", {})
    assert fault.get("code") not in ("core-fault", "bad-call"), (name, fault)
    return said


@pytest.mark.parametrize("procedure", PROCEDURES)
@settings(max_examples=25, deadline=None, print_blob=True, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 2**32))
def test_no_spoilt_record_fails_what_is_asked_about_its_run(procedure: str, seed: int) -> None:
    note(f"seed {seed}")
    events = mutated.spoilt(procedure, random.Random(seed))
    said = {name: answer(name, args) for name, args in mutated.calls(procedure, events)}
    for name, args in mutated.board_of(said["line"]["ok"]):
        answer(name, args)
