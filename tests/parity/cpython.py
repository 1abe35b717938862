"""Reads sessions as JSON from standard input; writes their answers as CPython gives them."""

import importlib
import json
import sys


def session(calls: list[list[str]]) -> list[str]:
    """The answers, as JSON text, to one session's calls (name, JSON text), from a core imported afresh."""
    for name in [name for name in sys.modules if name.startswith("vesselside.core")]:
        del sys.modules[name]
    bridge = importlib.import_module("vesselside.core.bridge")
    return [bridge.call(name, args) for name, args in calls]


json.dump([session(calls) for calls in json.load(sys.stdin)], sys.stdout)
