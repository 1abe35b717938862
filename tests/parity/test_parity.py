"""The phone and the server cannot disagree: every session is answered alike by all three runtimes.

Structure, text, integers, truth values and errors are the same; floats agree within 1e-12 relative, since the two C
libraries may differ in the last bit of `exp` and `**`.
"""

import json
import math
from typing import Any

import pytest

from tests.parity.runtimes import ROOT, in_chromium, in_cpython, in_node
from tests.parity.sessions import Session, names, past, sessions
from vesselside.core.sums import calculations

NAMES = names()
MODULES = sorted(
    ".".join(path.relative_to(ROOT / "server").with_suffix("").parts)
    for path in (ROOT / "server/vesselside/core").rglob("*.py")
    if path.name != "__init__.py"
)


@pytest.fixture(scope="module")
def texts() -> list[list[tuple[str, str]]]:
    """The calls as a browser writes JSON: letters as they are, only what must be escaped as an escape."""
    return [
        [(call.name, json.dumps(call.args, ensure_ascii=False)) for call in sessions()[name].calls]
        for name in NAMES
    ]


@pytest.fixture(scope="module")
def cpython(texts) -> dict[str, list[str]]:
    return dict(zip(NAMES, in_cpython(texts), strict=True))


@pytest.fixture(scope="module")
def node(pack, texts):
    answers, imports = in_node(pack, texts, MODULES)
    return dict(zip(NAMES, answers, strict=True)), imports


@pytest.fixture(scope="module")
def chromium(pack, texts) -> dict[str, list[str]]:
    return dict(zip(NAMES, in_chromium(texts), strict=True))


def difference(one: Any, other: Any, place: str = "$") -> str:
    """The first place where two values differ, in words; "" if there is none."""
    if type(one) is not type(other):
        return f"{place}: {one!r} against {other!r}"
    if isinstance(one, dict):
        if one.keys() != other.keys():
            return f"{place}: keys {sorted(one.keys() ^ other.keys())} on one side only"
        pairs = [(f"{place}.{key}", one[key], other[key]) for key in sorted(one)]
    elif isinstance(one, list):
        if len(one) != len(other):
            return f"{place}: {len(one)} against {len(other)} items"
        pairs = [(f"{place}[{index}]", *pair) for index, pair in enumerate(zip(one, other, strict=True))]
    elif isinstance(one, float):
        return (
            ""
            if math.isclose(one, other, rel_tol=1e-12, abs_tol=0.0)
            else f"{place}: {one!r} against {other!r}"
        )
    else:
        return "" if one == other else f"{place}: {one!r} against {other!r}"
    return next(filter(None, (difference(a, b, where) for where, a, b in pairs)), "")


def assert_alike(session: Session, one: list[str], other: list[str]) -> None:
    for call, mine, theirs in zip(session.calls, one, other, strict=True):
        found = difference(json.loads(mine), json.loads(theirs))
        assert not found, f"{call.name} {json.dumps(call.args)[:400]}: {found}"


@pytest.mark.parametrize("name", NAMES)
def test_node_answers_as_cpython_does(name, cpython, node):
    assert_alike(sessions()[name], cpython[name], node[0][name])


@pytest.mark.parametrize("name", NAMES)
def test_chromium_answers_as_cpython_does(name, cpython, chromium):
    assert_alike(sessions()[name], cpython[name], chromium[name])


@pytest.mark.parametrize("row", calculations.listing(), ids=lambda row: row["name"])
def test_calculation_works_within_its_ranges_and_refuses_past_them(row, cpython):
    answers = [json.loads(answer) for answer in cpython[f"calculation: {row['name']}"]]
    refused, within = answers[: len(past(row))], answers[len(past(row)) :]
    assert [answer["error"]["code"] for answer in refused] == ["out-of-range"] * len(refused)
    assert any("ok" in answer for answer in within)


@pytest.mark.parametrize("module", MODULES)
def test_module_runs_on_micropython(module, node):
    assert node[1][module] == ""


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (1, 1.0),
        (True, 1),
        ("1", "1.0"),
        ({"a": 1}, {"b": 1}),
        ([1], [1, 1]),
        (1.0, 1.0 + 1e-11),
        (None, False),
    ],
)
def test_difference_is_seen(one, other):
    assert difference({"deep": [one]}, {"deep": [other]})
