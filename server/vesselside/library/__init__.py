"""Procedures and cautions as data: read from YAML, judged field by field, hashed.

`load()` gives the library or says all that is wrong with it; `check()` only says what is wrong;
`judge()` judges one procedure that came as JSON, such as one written in the browser; `drafted()` one as the
editor's form holds it, and `opened()` reads a file into such a draft.
"""

import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path as File
from typing import Any, NamedTuple

from marshmallow import Schema, ValidationError

from . import form, references
from .digest import sha256
from .faults import Fault, LibraryError, Path, flattened, spelled
from .shapes import Caution, Procedure
from .source import Source, given, read
from .yamltext import written

__all__ = [
    "FOLDER",
    "Fault",
    "Library",
    "LibraryError",
    "check",
    "check_files",
    "drafted",
    "judge",
    "load",
    "opened",
    "sha256",
    "written",
]

FOLDER = File(__file__).parent
"""The library that ships."""
DEEPEST = 24


class Library(NamedTuple):
    """All procedures, each with its `sha256`, and all cautions, both in order of id."""

    procedures: list[dict[str, Any]]
    cautions: list[dict[str, Any]]


def load(folder: File | None = None) -> Library:
    """The library in `folder`, by default the one that ships. LibraryError when any file has a fault."""
    library, faults = _read(folder) if folder else _shipped()
    if faults:
        raise LibraryError(faults)
    return Library(*map(list, library))


def check(folder: File | None = None) -> list[Fault]:
    """Every fault of the library in `folder`, in order of file and line."""
    return list((_read(folder) if folder else _shipped())[1])


@cache
def _shipped() -> tuple[Library, list[Fault]]:
    """What ships, read once: it takes a second or two, and changes with the program alone."""
    return _read(FOLDER)


def judge(procedure: object, cautions: Iterable[str]) -> tuple[dict[str, Any], list[Fault]]:
    """A procedure from outside, shaped and with its `sha256`, and its faults.

    `cautions` are the ids there are. With faults the procedure is empty: nothing half judged is handed on.
    """
    faults: list[Fault] = []

    def note(path: Path, text: str) -> None:
        faults.append(Fault("procedure", 0, spelled(path), text, path))

    if isinstance(procedure, dict):
        procedure = {key: value for key, value in procedure.items() if key != "sha256"}
    _kept(procedure, (), note)
    shaped = {} if faults else _shaped(Procedure(), procedure, note)
    if not faults:
        references.judge(shaped, cautions, note)
    return ({}, faults) if faults else ({**shaped, "sha256": sha256(shaped)}, faults)


def _kept(part: object, path: Path, note: references.Note) -> None:
    """Note what no database or canonical JSON can keep, and what nests deeper than any procedure does."""
    if len(path) > DEEPEST:
        note(path[:1], "nests too deep")
    elif isinstance(part, Mapping):
        for key, value in part.items():
            _kept(value, (*path, str(key)), note)
    elif isinstance(part, list):
        for at, value in enumerate(part):
            _kept(value, (*path, at), note)
    elif isinstance(part, str) and re.search("[\x00\ud800-\udfff]", part):
        note(path, "holds a character that cannot be kept")


def drafted(draft: Mapping[str, Any], cautions: Iterable[str]) -> tuple[dict[str, Any], list[Fault]]:
    """The procedure an editor's draft stands for, as `judge` gives it, and its faults; text that is no YAML is one."""
    faults: list[Fault] = []

    def note(path: Path, text: str) -> None:
        faults.append(Fault("procedure", 0, spelled(path), text, path))

    procedure, judged = judge(form.procedure_of(draft, note), cautions)
    return ({}, faults + judged) if faults else (procedure, judged)


def opened(text: str) -> tuple[dict[str, Any], list[Fault]]:
    """The draft of a procedure file's text; faults only when it is no YAML or no procedure at all."""
    read = given(text)
    if not read.faults and not isinstance(read.data, dict):
        read.fault((), "a procedure file names fields and their values")
    return ({}, read.faults) if read.faults else (form.draft_of(read.data), [])


def check_files(files: Iterable[File]) -> list[Fault]:
    """Every fault of procedure files that stand alone, judged with the cautions that ship."""
    known = [caution["id"] for caution in load().cautions]
    found = []
    for file in files:
        read_file = read(file, file.parent)
        data = {} if read_file.faults else _shaped(Procedure(), read_file.data, read_file.fault)
        if data and not read_file.faults:
            references.judge(data, known, read_file.fault)
        found += read_file.faults
    return found


def _shaped(schema: Schema, data: object, note: references.Note) -> dict[str, Any]:
    """`data` in the shape of `schema`, or nothing, each fault noted."""
    try:
        return dict(schema.load(data))  # type: ignore[arg-type]  # judging what is no mapping is its work too
    except ValidationError as error:
        for path, text in flattened(error.messages):
            note(path, text)
        return {}


def _read(folder: File) -> tuple[Library, list[Fault]]:
    cautions = _folder(folder, "cautions", Caution())
    procedures = _folder(folder, "procedures", Procedure())
    known = [source.name.rpartition("/")[2].removesuffix(".yaml") for source, _ in cautions]
    settings: dict[str, tuple[str, dict[str, Any]]] = {}
    for source, data in procedures:
        if not source.faults:
            references.judge(data, known, source.fault)
            _agree(source, data, settings)
    faults = [fault for source, _ in (*cautions, *procedures) for fault in source.faults]
    library = Library(
        [{**data, "sha256": sha256(data)} for _, data in procedures], [data for _, data in cautions]
    )
    return library, sorted(faults)


def _folder(folder: File, kind: str, schema: Schema) -> list[tuple[Source, dict[str, Any]]]:
    found = []
    for file in sorted((folder / kind).glob("*.yaml")):
        source = read(file, folder)
        data = {} if source.faults else _shaped(schema, source.data, source.fault)
        if data and data["id"] != file.stem:
            source.fault(("id",), f"the file is called {file.stem}, so the id must be {file.stem}")
        found.append((source, data))
    return found


def _agree(source: Source, data: dict[str, Any], settings: dict[str, tuple[str, dict[str, Any]]]) -> None:
    """A setting is one site figure: procedures that share it must say the same of it."""
    for at, row in enumerate(data.get("settings", [])):
        elsewhere, first = settings.setdefault(row["id"], (source.name, row))
        for field in sorted({*first, *row}):
            if first.get(field) != row.get(field):
                source.fault(("settings", at, field), f"{row['id']} is said otherwise in {elsewhere}")
