"""Fields of an answer in a shape that the core or the store writes down: `shapes.json`, made from their stubs."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from apispec import APISpec
from marshmallow import ValidationError, fields

HERE = "#/$defs/"
THERE = "#/components/schemas/"


@cache
def shapes() -> dict[str, dict[str, Any]]:
    """Every shape as JSON Schema, by name."""
    held: dict[str, dict[str, Any]] = json.loads(Path(__file__).with_name("shapes.json").read_bytes())[
        "$defs"
    ]
    return held


class Shaped(fields.Raw):
    """A value that is answered as it is, described by the shape of that name."""

    def __init__(self, shape: str, **more: Any) -> None:
        super().__init__(**more)
        if shape not in shapes():
            raise ValueError(f"There is no shape {shape}")
        self.shape = shape


class Sent(Shaped):
    """An object that is sent in a shape; here only that it is one is judged, the rest where it is taken in."""

    def _deserialize(self, value: Any, *_: Any, **__: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("Not a valid mapping type.")
        return value


def many(shape: str) -> fields.List[Any]:
    """A list of values of one shape."""
    return fields.List(Shaped(shape), required=True)


def describe(spec: APISpec, converter: Any) -> None:
    """Have the OpenAPI document name the shape of each such field, and hold each shape that is named."""

    def named(field: Any, **_: Any) -> dict[str, str]:
        if not isinstance(field, Shaped):
            return {}
        _take(spec, field.shape)
        return {"$ref": THERE + field.shape}

    # before the one that lets a field be null, which looks at what is there
    converter.attribute_functions.insert(0, named)


def _take(spec: APISpec, name: str) -> None:
    if name in spec.components.schemas:
        return
    found: set[str] = set()
    spec.components.schema(name, _there(shapes()[name], found))
    for other in sorted(found):
        _take(spec, other)


def _there(part: Any, found: set[str]) -> Any:
    """A part of a schema with its references turned to where the document holds them; `found` gets their names."""
    if isinstance(part, list):
        return [_there(one, found) for one in part]
    if not isinstance(part, dict):
        return part
    made = {key: _there(value, found) for key, value in part.items()}
    if isinstance(part.get("$ref"), str):
        name = part["$ref"].removeprefix(HERE)
        found.add(name)
        made["$ref"] = THERE + name
    return made
