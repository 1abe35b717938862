"""The library at a glance: one row a procedure, for those who carry it on.

`python -m vesselside.library.table > tests/library/TABLE.md` writes the page that the tests hold current.
"""

import sys
from collections.abc import Iterator
from typing import Any

from . import Library, load
from .terms import CAUTION_GROUPS, KINDS, PROOFS


def table(library: Library) -> str:
    """The page as Markdown."""
    lines = [
        "# The library",
        "",
        "Made by `python -m vesselside.library.table`; a test holds it current.",
        "",
        "| procedure | kind | steps | hazards | proofs | interlocks | second person | calculations |",
        "| --- | --- | ---: | --- | --- | --- | --- | --- |",
    ]
    procedures = sorted(library.procedures, key=lambda row: (KINDS.index(row["kind"]), row["id"]))
    groups = {caution["id"]: caution["group"] for caution in library.cautions}
    lines.extend(_row(procedure, groups) for procedure in procedures)
    lines += ["", "| caution | group | procedures |", "| --- | --- | ---: |"]
    for caution in sorted(library.cautions, key=lambda row: (CAUTION_GROUPS.index(row["group"]), row["id"])):
        using = sum(caution["id"] in cautions_of(procedure) for procedure in procedures)
        lines.append(f"| {caution['id']} | {caution['group']} | {using} |")
    return "\n".join(lines) + "\n"


def _row(procedure: dict[str, Any], groups: dict[str, str]) -> str:
    steps = procedure["steps"]
    hazards = {groups[caution] for caution in cautions_of(procedure)}
    proofs = {step["proof"] for step in steps if "proof" in step}
    second = [step["id"] for step in steps if step.get("who") == "second"]
    starters = sum(bool(step.get("critical")) for step in steps)
    signs = ", ".join(second + ([f"{starters} for a new starter"] if starters else []))
    cells = [
        procedure["id"],
        procedure["kind"],
        str(len(steps)),
        ", ".join(group for group in CAUTION_GROUPS if group in hazards),
        ", ".join(proof for proof in PROOFS if proof in proofs),
        ", ".join(sorted({ask["interlock"] for step in steps for ask in step.get("asks", [])})),
        signs,
        ", ".join(sorted(set(calculations_of(procedure)))),
    ]
    return "| " + " | ".join(cells) + " |"


def cautions_of(procedure: dict[str, Any]) -> set[str]:
    """Every caution a procedure shows, by step or by a reading."""
    own = {caution for step in procedure["steps"] for caution in step.get("cautions", [])}
    entries = [entry for step in procedure["steps"] for entry in step.get("entries", [])]
    return own | {row["caution"] for entry in entries for row in entry.get("raises", [])}


def calculations_of(part: Any) -> Iterator[str]:
    """Every calculation named anywhere in a procedure."""
    if isinstance(part, dict):
        if isinstance(part.get("calculation"), str):
            yield part["calculation"]
        for value in part.values():
            yield from calculations_of(value)
    elif isinstance(part, list):
        for value in part:
            yield from calculations_of(value)


if __name__ == "__main__":
    sys.stdout.write(table(load()))
