"""Imports point down the house, as DEVELOPERS.md draws it."""

import re
from pathlib import Path

from tests.architecture.files import PACKAGE, SRC, below, imports, module, named, run_imports

# Each part of the server, and the parts it may import besides itself.
SERVER = {
    "__main__": {"cli"},
    "core": set(),
    "settings": set(),
    "library": {"core"},
    "store": {"core", "library", "settings"},
    "api": {"core", "library", "settings", "store"},
    "app": {"core", "library", "settings", "store", "api"},
    "worker": set(),
    "heartbeat": {"store"},
    "notifying": {"settings", "store"},
    "serving": {"settings", "app", "worker", "heartbeat", "notifying"},
    "copies": {"settings", "store", "app"},
    "cli": {"core", "library", "settings", "store", "api", "app", "serving", "copies", "notifying"},
}

# The wings of the core, and those they may import besides themselves.
CORE = {
    "ground": set(),
    "sums": {"ground"},
    "run": {"ground", "sums"},
    "plant": {"ground", "sums", "run"},
    "brew": {"ground", "sums", "run", "plant"},
    "door": {"ground", "sums", "run", "plant", "brew"},
    "bridge": {"ground", "sums", "run", "plant", "brew", "door"},
}

# The wings of the store, by what is done there; its face and the migrations stand over all of them.
STORE = {
    "base": set(),
    "log": {"base"},
    "fold": {"base", "log"},
    "site": {"base", "log", "fold"},
    "read": {"base", "log", "fold", "site", "photos"},
    "photos": {"log"},
    "notices": {"base", "log", "fold", "site", "read"},
    "copies": {"base", "log", "fold", "site", "photos"},
}

# Each part of the phone's app, likewise: `screens` and `ui` are what a person sees, `state` the signals they show.
PHONE = {
    "shapes": set(),
    "log": set(),
    "engine": set(),
    "messages": set(),
    "sw": {"messages"},
    "api": {"log"},
    "identity": {"api", "log"},
    "sync": {"api", "engine", "identity", "log"},
    "state": {"api", "engine", "identity", "log", "messages", "sw", "sync"},
    "ui": {"messages", "state"},
    "screens": {"identity", "messages", "state", "sw", "sync", "ui"},
    "main": {"engine", "identity", "log", "messages", "screens", "state", "sw", "sync", "ui"},
}

# Each room of the screens and the rooms it shows parts of; "run" is the shell, which has rooms of its own.
# `now` tells what runs and waits, `who` asks who holds or signs; the top leads to every room.
SCREENS = {
    "alarm": set(),
    "now": set(),
    "who": set(),
    "enrol": {"now", "who"},
    "phone": {"enrol", "now"},
    "plant": {"now"},
    "sums": set(),
    "find": {"sums"},
    "shift": {"now", "plant"},
    "run/read": set(),
    "run/caution": {"run/read"},
    "run/enter": {"now", "run/read"},
    "run/ask": {"who", "run/read"},
    "run/close": {"now", "run/ask", "run/read"},
    "run/step": {"now", "run/caution", "run/close", "run/enter", "run/read"},
    "run": {"now", "run/ask", "run/caution", "run/close", "run/enter", "run/read", "run/step"},
    "desk": {"now", "run", "run/caution", "run/read", "run/step"},  # its preview draws a run's own screens
}

# The desk asks the office itself, and does nothing with no signal; every other screen goes by what this phone holds.
ASKS_THE_OFFICE = {"screens/desk": "api"}

# Rooms with a door: others import their index, never a file inside.
DOORS = {"api", "engine", "identity", "log", "messages", "sw", "sync"}
# Doors of their own, to what is loaded only when it is needed: it may be no part of the index, which is loaded at once.
SIDE_DOORS = {"api/evict", "api/upload", "log/back", "log/carry", "log/leap", "log/redacted"}

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


def file_of(target: Path) -> Path | None:
    """The file that an import's path stands for."""
    names = [target, *(target.with_name(target.name + end) for end in (".ts", ".tsx")), target / "index.ts"]
    return next((name for name in names if name in TYPESCRIPT), None)


def circles(imported_by: dict[Path, set[Path]]) -> list[list[str]]:
    """The files that reach themselves by their imports, each circle once: Tarjan's strongly connected components."""
    place: dict[Path, int] = {}
    lowest: dict[Path, int] = {}
    way: list[Path] = []
    found = []

    def visit(path: Path) -> None:
        place[path] = lowest[path] = len(place)
        way.append(path)
        for other in sorted(imported_by[path]):
            if other not in place:
                visit(other)
            if other in way:
                lowest[path] = min(lowest[path], lowest[other])
        if lowest[path] == place[path]:
            circle = way[way.index(path) :]
            del way[way.index(path) :]
            if len(circle) > 1 or path in imported_by[path]:
                found.append(sorted(named(part) for part in circle))

    for path in sorted(imported_by):
        if path not in place:
            visit(path)
    return found


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


def core_wing(name: str) -> str:
    parts = name.split(".")
    return parts[2] if parts[:2] == ["vesselside", "core"] and len(parts) > 2 else ""


def test_the_wings_of_the_core_import_down():
    paths = [path for path in PYTHON if core_wing(module(path)) not in {"", "__init__"}]
    wings = {path: core_wing(module(path)) for path in paths}
    # the shapes are a stub that every wing may name for its types
    free = {"", "VERSION", "OLDEST", "shapes"}
    others = {path: {core_wing(name) for name in imports(path)} - free for path in paths}
    assert upward(paths, wings, others, CORE) == []


def store_wing(name: str) -> str:
    parts = name.split(".")
    return parts[2] if parts[:2] == ["vesselside", "store"] and len(parts) > 2 and parts[2] in STORE else ""


def test_the_wings_of_the_store_import_down():
    paths = [path for path in PYTHON if store_wing(module(path))]
    wings = {path: store_wing(module(path)) for path in paths}
    others = {path: {store_wing(name) for name in imports(path)} - {""} for path in paths}
    assert len(paths) > 20
    assert upward(paths, wings, others, STORE) == []


def circle(arrows: dict[str, set[str]]) -> list[str]:
    """The names of one circle of imports, each importing the next and the last the first; none when there is none."""
    done: set[str] = set()

    def walk(name: str, above: list[str]) -> list[str]:
        if name in above:
            return above[above.index(name) :]
        if name in done:
            return []
        found = next(filter(None, (walk(other, [*above, name]) for other in sorted(arrows[name]))), [])
        done.add(name)
        return found

    return next(filter(None, (walk(name, []) for name in sorted(arrows))), [])


def test_no_module_of_the_server_imports_itself_by_way_of_others():
    """What is only named for the types, under TYPE_CHECKING, is no import."""
    names = {module(path): path for path in PYTHON}
    arrows = {
        name: {other if other in names else other.rpartition(".")[0] for other in run_imports(path)}
        & names.keys()
        for name, path in names.items()
    }
    assert circle(arrows) == []


def test_a_circle_is_seen():
    assert circle({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c"]


def test_phone_imports_point_down():
    parts = {path: phone_part(path) for path in TYPESCRIPT}
    others = {path: {phone_part(target) for target in imported(path)} for path in TYPESCRIPT}
    for folder, part in ASKS_THE_OFFICE.items():
        asking = [path for path in TYPESCRIPT if path.is_relative_to(SRC / folder) and part in others[path]]
        assert asking, f"{folder} no longer needs {part}: take it out here and in DEVELOPERS.md"
        for path in asking:
            others[path] -= {part}
    # the shapes lie below everything, and everything may name them
    free = {path: names - {"shapes"} for path, names in others.items()}
    assert upward(TYPESCRIPT, parts, free, PHONE) == []


def screen_room(path: Path) -> str:
    """The room of a screen's file; "" for the top, which leads to all of them, and for what lies elsewhere."""
    if not path.is_relative_to(SRC / "screens"):
        return ""
    inside = path.relative_to(SRC / "screens").parts[:-1]
    return "/".join(inside[:2] if inside[:1] == ("run",) else inside[:1])


def test_rooms_of_the_screens_show_no_more_of_each_other_than_is_drawn():
    screens = [path for path in TYPESCRIPT if screen_room(path)]
    rooms = {path: screen_room(path) for path in screens}
    others = {
        path: {screen_room(file) for target in imported(path) if (file := file_of(target))} - {""}
        for path in screens
    }
    assert set(rooms.values()) == set(SCREENS), "give them a place here, take out what is gone"
    assert upward(screens, rooms, others, SCREENS) == []


def test_the_phones_files_import_in_no_circle():
    others = {path: {file_of(target) for target in imported(path)} - {None} for path in TYPESCRIPT}
    assert sum(map(len, others.values())) > len(TYPESCRIPT), "the imports were not read"
    assert circles(others) == []


def test_rooms_are_entered_by_their_door():
    inside = [
        f"{named(path)} imports {target.relative_to(SRC).as_posix()}"
        for path in TYPESCRIPT
        for target in imported(path)
        if phone_part(target) in DOORS - {phone_part(path)}
        and target.parent != SRC
        and target.suffix != ".ftl"
        and target.relative_to(SRC).as_posix() not in SIDE_DOORS
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
