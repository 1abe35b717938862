"""The editor's form of a procedure, made from its shape, and the way between a procedure and what the form holds.

A *draft* is a procedure as the form holds it: the same keys, save that what no field shows is YAML text under
`rest` at its level, a field of kind `block` is YAML text, and a bound that is a sum is `{"block": text}`. So
nothing of a procedure is out of reach, and none is lost on the way there and back. A plain procedure is a draft too.
"""

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from marshmallow import Schema, fields, validate

from vesselside.core.brew import measures
from vesselside.core.sums import calculations

from . import shapes, source, yamltext
from .faults import Path
from .formwords import OPTIONS, ROWS, WHEN, WORDS

Described = dict[str, Any]
Note = Callable[[Path, str], None]
REST = "rest"
LONG = 100
_SIMPLE = ({"setting"}, {"input"}, {"entry"}, {"setting", "plus"}, {"input", "plus"}, {"entry", "plus"})
# Lists of references have screens of their own; what they may name comes with the form or the draft.
_REFERENCES = {"cautions": "cautions", "needs": "needs"}
_CHOICES: dict[tuple[str, str], Callable[[], list[list[str]]]] = {
    ("Works", "calculation"): lambda: [[row["name"], row["title"]] for row in calculations.listing()],
    ("Entry", "measures"): lambda: [[name, option(name)] for name in measures.names()],
}


@cache
def described() -> list[Described]:
    """What a form asks of a procedure: rows `{id, label, help, kind, required, …}`, `fields` inside rows and groups.

    Kinds: line, text, name, choice, whole, flag, many, cautions, caution, needs, bound, band, group, rows, block.
    """
    return _fields(shapes.Procedure())


def _fields(schema: Schema) -> list[Described]:
    shape = type(schema).__name__
    known = {field.data_key or name: field for name, field in schema.fields.items()}
    rows = []
    for key, (label, help_) in WORDS[shape].items():
        row = {"id": key, "label": label, "help": help_, "required": known[key].required}
        when = {"when": list(WHEN[shape, key])} if (shape, key) in WHEN else {}
        rows.append(row | when | _kind(shape, key, known[key]))
    return rows


def _kind(shape: str, key: str, field: fields.Field[Any]) -> Described:
    found: Described
    if isinstance(field, fields.Nested):
        found = {"kind": "group", "fields": _fields(field.schema)}
    elif isinstance(field, fields.List):
        found = _list(key, field)
    elif isinstance(field, fields.Boolean):
        found = {"kind": "flag"}
    elif isinstance(field, fields.Integer):
        found = {"kind": "whole"}
    elif isinstance(field, shapes.Bound):
        found = {"kind": "bound"}
    elif isinstance(field, fields.String):
        found = _string(shape, key, field)
    else:
        found = {"kind": "block"}
    return found


def _list(key: str, field: fields.List[Any]) -> Described:
    inner = field.inner
    if isinstance(inner, fields.Nested):
        return {"kind": "rows", "row": ROWS[key], "fields": _fields(inner.schema)}
    if isinstance(inner, shapes.Bound):
        return {"kind": "band"}
    if key in _REFERENCES:
        return {"kind": _REFERENCES[key]}
    return {"kind": "many", "options": _options(inner)}


def _string(shape: str, key: str, field: fields.String) -> Described:
    listed = _CHOICES.get((shape, key))
    if listed:
        return {"kind": "choice", "options": listed()}
    options = _options(field)
    if options:
        return {"kind": "choice", "options": options}
    if (shape, key) == ("Raise", "caution"):
        return {"kind": "caution"}
    if key == "id":
        return {"kind": "name", "longest": 64}
    longest = next((rule.max for rule in field.validators if isinstance(rule, validate.Length)), None) or 200
    kind = (
        "text" if longest > LONG and not key.startswith(("source", "default", "from", "result")) else "line"
    )
    # Words may not be empty; a unit may, and says by it that the number has none.
    return {"kind": kind, "longest": longest} | ({"blank": True} if key == "unit" else {})


def _options(field: fields.Field[Any]) -> list[list[str]]:
    rule = next((rule for rule in field.validators if isinstance(rule, validate.OneOf)), None)
    return [[name, option(name)] for name in rule.choices] if rule else []


def option(name: str) -> str:
    """A choice as it is read."""
    return OPTIONS.get(name) or name.replace("-", " ").capitalize()


def calculations_described() -> list[Described]:
    """The calculations an entry may be worked out by: what each is given and what it gives."""
    return [
        {
            "name": row["name"],
            "title": row["title"],
            "inputs": [
                {"id": item["id"], "label": item["label"], "unit": item.get("unit", "")}
                for item in row["inputs"]
            ],
            "results": [item[0] for item in row["results"]],
        }
        for row in calculations.listing()
    ]


def draft_of(procedure: Mapping[str, Any]) -> dict[str, Any]:
    """A procedure, right or wrong, as the form holds it; `sha256` is left out."""
    return _held(described(), {key: value for key, value in procedure.items() if key != "sha256"}, top=True)


def _held(rows: list[Described], data: Mapping[str, Any], *, top: bool = False) -> dict[str, Any]:
    known = {row["id"]: row for row in rows}
    held: dict[str, Any] = {}
    rest: dict[str, Any] = {}
    for key, value in data.items():
        if top and key in ("id", "version"):
            held[key] = value
        elif key in known and _fits(known[key], value):
            held[key] = _shown(known[key], value)
        else:
            rest[key] = value
    if rest:
        held[REST] = yamltext.written(rest)
    return held


def _fits(row: Described, value: Any) -> bool:
    """Whether the form can show the value; what it cannot goes to the rest as it stands."""
    kind = row["kind"]
    if kind == "group":
        return isinstance(value, dict)
    if kind == "rows":
        return isinstance(value, list) and all(isinstance(item, dict) for item in value)
    if kind == "band":
        return isinstance(value, list) and len(value) == 2
    if kind in ("many", "cautions", "needs"):
        return isinstance(value, list) and all(isinstance(item, str) for item in value)
    if kind == "flag":
        return isinstance(value, bool)
    if kind in ("bound", "block"):
        return True
    return isinstance(value, str) or (isinstance(value, int) and not isinstance(value, bool))


def _shown(row: Described, value: Any) -> Any:
    kind = row["kind"]
    if kind == "group":
        return _held(row["fields"], value)
    if kind == "rows":
        return [_held(row["fields"], item) for item in value]
    if kind == "band":
        return [_bound(item) for item in value]
    if kind == "bound":
        return _bound(value)
    if kind == "block":
        return value if isinstance(value, str) else yamltext.written(value)
    return str(value) if kind == "whole" else value


def _bound(value: Any) -> Any:
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, dict) and set(value) in _SIMPLE and all(isinstance(v, str) for v in value.values()):
        return value
    return {"block": yamltext.written(value)}


def procedure_of(draft: Mapping[str, Any], note: Note) -> dict[str, Any]:
    """The procedure a draft stands for, unjudged; `note(path, text)` for each text that is not YAML."""
    return _Reader(note).level(described(), draft, ())


class _Reader:
    def __init__(self, note: Note) -> None:
        self.note = note

    def level(self, rows: list[Described], held: Mapping[str, Any], path: Path) -> dict[str, Any]:
        """The mapping that one level of the form stands for."""
        known = {row["id"]: row for row in rows}
        data = {
            key: self.value(known[key], value, (*path, key)) if key in known else value
            for key, value in held.items()
            if key != REST and not self._empty(known.get(key), value, held)
        }
        rest = self.text(held.get(REST), (*path, REST))
        if isinstance(rest, dict):
            twice = sorted(set(rest) & set(data))
            for key in twice:
                self.note((*path, REST), f"{key} has a field of its own")
            return {**rest, **data}
        if rest is not None:
            self.note((*path, REST), "must name each field and its value")
        return data

    def _empty(self, row: Described | None, value: Any, held: Mapping[str, Any]) -> bool:
        """Whether a field was left empty; an empty unit says that a number has none, and nothing of a choice."""
        asked = row is not None and ("when" not in row or held.get("kind") in row["when"])
        return value == "" and not (row and row.get("blank") and asked)

    def value(self, row: Described, value: Any, path: Path) -> Any:
        """What one field stands for; what is not as the form holds it is handed on for the shape to judge."""
        kind = row["kind"]
        if kind == "group" and isinstance(value, Mapping):
            return self.level(row["fields"], value, path)
        if kind == "rows" and isinstance(value, list):
            return [
                self.level(row["fields"], item, (*path, at)) if isinstance(item, Mapping) else item
                for at, item in enumerate(value)
            ]
        if kind == "band" and isinstance(value, list):
            return [self.bound(item, (*path, at)) for at, item in enumerate(value)]
        if kind == "bound":
            return self.bound(value, path)
        return self.text(value, path) if kind == "block" else value

    def bound(self, value: Any, path: Path) -> Any:
        """A bound, a sum read from its text; an empty one is open."""
        if isinstance(value, Mapping) and set(value) == {"block"}:
            return self.text(value["block"], path)
        return None if value == "" else value

    def text(self, text: Any, path: Path) -> Any:
        """The YAML of a block as data; what is no text is handed on as it is."""
        if not isinstance(text, str):
            return text
        if not text.strip():
            return None
        read = source.given(text)
        for fault in read.faults:
            self.note(path, f"line {fault.line}: {fault.text}" if fault.line else fault.text)
        return None if read.faults else read.data
