"""Imports point down the house, as DEVELOPERS.md draws it."""

import re
from pathlib import Path

from tests.architecture.files import PACKAGE, SRC, below, imports, module, named

# Each part of the server, and the parts it may import besides itself.
SERVER = {
    "__main__": {"cli"},
    "core": set(),
    "settings": set(),
    "library": {"core"},
    "store": {"core", "library", "settings"},
    "desk": {"core", "library", "settings", "store"},
    "api": {"core", "library", "settings", "store", "desk"},
    "app": {"core", "library", "settings", "store", "desk", "api"},
    "serving": {"settings", "app"},
    "cli": {"core", "library", "settings", "store", "desk", "api", "app", "serving"},
}

# Each part of the phone's app, likewise: `screens` and `ui` are what a person sees, `state` the signals they show.
PHONE = {
    "log": set(),
    "engine": set(),
    "sw": set(),
    "messages": set(),
    "api": {"log"},
    "identity": {"api", "log"},
    "sync": {"api", "engine", "identity", "log"},
    "state": {"api", "engine", "identity", "log", "messages", "sw", "sync"},
    "ui": {"messages", "state"},
    "screens": {"api", "engine", "identity", "log", "messages", "state", "sw", "sync", "ui"},
    "main": {"engine", "identity", "log", "messages", "screens", "state", "sw", "sync", "ui"},
}

# Rooms with a door: others import their index, never a file inside.
DOORS = {"api", "engine", "identity", "log", "messages", "sw", "sync"}

PYTHON = [path for path in below(PACKAGE, ".py") if path.parent != PACKAGE or path.name != "__init__.py"]
TYPESCRIPT = [path for path in below(SRC, ".ts", ".tsx") if not path.name.endswith(".d.ts")]


def server_part(name: str) -> str:
    return name.split(".")[1] if name.startswith("vesselside.") else ""


def phone_part(path: Path) -> str:
    return path.relative_to(SRC).parts[0].split(".")[0]


def imported(path: Path) -> list[Path]:
    """Our own files and folders that a TypeScript file imports, statically, dynamically or as a worker's address."""
    found = re.findall(r"""(?:\bfrom|\bimport|\bimport\(|new URL\()\s*["'](\.[^"'?]*)""", path.read_text())
    targets = [(path.parent / name).resolve() for name in found]
    return [target for target in targets if target.is_relative_to(SRC)]


def upward(
    paths: list[Path], part_of: dict[Path, str], imported_by: dict[Path, set[str]], rooms: dict
) -> list[str]:
    """The imports that do not point down."""
    homeless = sorted({part_of[path] for path in paths} - rooms.keys())
    assert homeless == [], "give them a place in DEVELOPERS.md and here"
    return [
        f"{named(path)} imports {other}"
        for path in paths
        for other in sorted(imported_by[path] - {part_of[path]} - rooms[part_of[path]])
    ]


def test_server_imports_point_down():
    parts = {path: server_part(module(path)) for path in PYTHON}
    others = {path: {server_part(name) for name in imports(path)} - {"", "__version__"} for path in PYTHON}
    assert upward(PYTHON, parts, others, SERVER) == []


def test_phone_imports_point_down():
    parts = {path: phone_part(path) for path in TYPESCRIPT}
    others = {path: {phone_part(target) for target in imported(path)} for path in TYPESCRIPT}
    assert upward(TYPESCRIPT, parts, others, PHONE) == []


def test_rooms_are_entered_by_their_door():
    inside = [
        f"{named(path)} imports {target.relative_to(SRC).as_posix()}"
        for path in TYPESCRIPT
        for target in imported(path)
        if phone_part(target) in DOORS - {phone_part(path)}
        and target.parent != SRC
        and target.suffix != ".ftl"
    ]
    assert inside == []


def test_flask_request_stays_in_the_api():
    """What a request says reaches the rooms below as arguments."""
    found = [
        f"{named(path)}: {name}"
        for path in PYTHON
        if server_part(module(path)) not in {"api", "app"}
        for name in imports(path)
        if name in {"flask.request", "flask.g", "flask.session"}
    ]
    assert found == []
