"""Writes what is made from the stubs, the JSON Schema and the TypeScript types: `python -m tests.shapes.make`."""

import json
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import msgspec

from tests.shapes import stubs

ROOT = Path(__file__).parents[2]
SCHEMA = ROOT / "server/vesselside/api/shapes.json"
TYPES = ROOT / "pwa/src/shapes/made.ts"
LATER = ROOT / "pwa/src/shapes/later.ts"
"""The values of the closed lists that the page does not need at once."""
FORMAT = ("node_modules/@biomejs/biome/bin/biome", "format", "--stdin-file-path=src/shapes/made.ts")


@cache
def schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of every shape and closed list: `{"$defs": …}`."""
    _, made = msgspec.json.schema_components(list(stubs.shapes().values()), ref_template="#/$defs/{name}")
    closed = {frozenset(values): name for name, values in stubs.lists().items()}
    defs = {name: {"title": name, "enum": list(values)} for name, values in stubs.lists().items()}
    defs |= {name: _by_name(part, closed) for name, part in made.items()}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "$defs": dict(sorted(defs.items()))}


def _by_name(part: Any, closed: dict[frozenset[str], str]) -> Any:
    """A schema that names each closed list instead of giving it."""
    if isinstance(part, list):
        return [_by_name(one, closed) for one in part]
    if not isinstance(part, dict):
        return part
    name = closed.get(frozenset(part.get("enum", ())))
    if name:
        return {"$ref": f"#/$defs/{name}"}
    # a pair is closed by the most items it may have; a schema that is `false` is more than apispec can pass on
    return {key: _by_name(value, closed) for key, value in part.items() if value is not False}


def schema_text() -> str:
    """The schema as it is checked in: a line a shape."""
    made = schema()
    rows = [
        f" {json.dumps(name)}: {json.dumps(part, ensure_ascii=False)}" for name, part in made["$defs"].items()
    ]
    head = json.dumps(made["$schema"])
    return f'{{"$schema": {head}, "$defs": {{\n' + ",\n".join(rows) + "\n}}\n"


def types_text() -> str:
    """The TypeScript types as they are checked in."""
    return _through(_through(schema_text(), "tools/shapes.mjs"), *FORMAT)


def later_text() -> str:
    """The closed lists of the desk as they are checked in."""
    return _through(_through(schema_text(), "tools/shapes.mjs", "later"), *FORMAT)


def _through(given: str, *command: str) -> str:
    """What a program of the front end makes of a text."""
    answer = subprocess.run(
        ["node", *command], cwd=ROOT / "pwa", input=given, capture_output=True, text=True, check=True
    )
    return answer.stdout


def main() -> None:
    """Write them all."""
    SCHEMA.write_text(schema_text(), encoding="utf-8")
    TYPES.parent.mkdir(exist_ok=True)
    TYPES.write_text(types_text(), encoding="utf-8")
    LATER.write_text(later_text(), encoding="utf-8")


if __name__ == "__main__":
    main()
