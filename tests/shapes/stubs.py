"""The shapes as the stubs write them, read as Python; nothing at run time can import them otherwise."""

import sys
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any, Literal, get_args, get_origin, is_typeddict

SERVER = Path(__file__).parents[2] / "server"
STUBS = ("vesselside.core.shapes", "vesselside.library.editing", "vesselside.store.answers")
"""The stubs, those below first."""


@cache
def module(name: str) -> ModuleType:
    """One stub as a module."""
    found = ModuleType(name)
    path = SERVER / (name.replace(".", "/") + ".pyi")
    # a stub may name one that stands before it, and hints are read by way of sys.modules
    sys.modules[name] = found
    exec(compile(path.read_text(encoding="utf-8"), str(path), "exec"), found.__dict__)  # our own file
    return found


@cache
def named() -> dict[str, Any]:
    """Every public shape and closed list, by its name."""
    found: dict[str, Any] = {}
    for name in STUBS:
        for key, value in vars(module(name)).items():
            here = getattr(value, "__module__", "") in (name, "typing")
            if here and not key.startswith("_") and (is_typeddict(value) or get_origin(value) is Literal):
                found.setdefault(key, value)
    return found


def shapes() -> dict[str, Any]:
    """The shapes by name."""
    return {name: value for name, value in named().items() if is_typeddict(value)}


def lists() -> dict[str, tuple[str, ...]]:
    """The closed lists by name, in their order."""
    return {name: get_args(value) for name, value in named().items() if not is_typeddict(value)}
